// Two layers that change one text: the upper one names what the lower one left, or its policy says
// whose text counts.

#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;

const std::string base = R"(table 1.1 "T"
  gives current
  by    wire : conductor_size
  8 AWG | 40 A

rule 1.2 "Load"
  topic  loaded
  for    crate
  binds  new, replaced
  limit  highest = 20 A
  where  open : not sealed
  shall  load at most highest
  says   "Too much."
  listed (1) "Red" where colour is red

rule 1.3 "Wires"
  topic  wires
  for    crate
  shall  load at most table 1.1 [wire]
  says   "Too much."
)";

const std::string rule = "  topic  wires\n  for    crate\n  shall  load at most ";

// A change of the lower layer, one of the upper layer that names the edition's text, and which of
// them is the stricter one.
struct Case {
    std::string lower;
    std::string upper;
    std::string stricter;
};
const std::vector<Case> cases = {
    {"change table 1.1 [8 AWG] from 40 A to 35 A\n", "change table 1.1 [8 AWG] from 40 A to 30 A\n",
     "upper"},
    {"change table 1.1 [8 AWG] from 40 A to 30 A\n", "change table 1.1 [8 AWG] from 40 A to 35 A\n",
     "lower"},
    {"change highest of rule 1.2 from 20 A to 15 A\n",
     "change highest of rule 1.2 from 20 A to 10 A\n", "upper"},
    {"change highest of rule 1.2 from 20 A to 10 A\n",
     "change highest of rule 1.2 from 20 A to 15 A\n", "lower"},
    {"change binds of rule 1.2 from new, replaced to new, replaced, existing\n",
     "change binds of rule 1.2 from replaced, new to new\n", "lower"},
    {"change binds of rule 1.2 from new, replaced to new, existing\n",
     "change binds of rule 1.2 from new, replaced to replaced\n", "unclear"},
    {"change force of rule 1.3 from shall to should\n",
     "change force of rule 1.3 from shall to information\n", "lower"},
    {"change condition open of rule 1.2 from DIGEST to not sealed and approved\n",
     "change condition open of rule 1.2 from DIGEST to not sealed or approved\n", "upper"},
    {"change requirement of rule 1.3 from DIGEST to load at most 5 A\n",
     "change requirement of rule 1.3 from DIGEST to load at most 6 A\n", "lower"},
    {"change part (1) of rule 1.2 from DIGEST to \"Blue\" where colour is blue\n",
     "change part (1) of rule 1.2 from DIGEST to \"Any\" where colour is one of (blue, red)\n",
     "upper"},
    {"replace rule 1.3 \"Wires\" from DIGEST\n" + rule + "5 A\n  says   \"x\"\n",
     "replace rule 1.3 \"Wires\" from DIGEST\n" + rule + "6 A\n  says   \"x\"\n", "lower"},
};

// The digest that an upper layer has to name, as its fault tells.
std::string with_digest(std::string change) {
    const std::size_t at = change.find("DIGEST");
    if (at == std::string::npos)
        return change;
    change.replace(at, 6, "00000000");
    const book::Opened opened = trial::open(base, {change});
    REQUIRE(trial::codes(opened.diagnostics) == "wrong-old-value");
    const std::string &help = opened.diagnostics.list()[0].help;
    return change.replace(at, 8, help.substr(help.size() - 8));
}

book::Opened opened(const Case &c, const std::string &policy) {
    return book::open_book(
        "trial-1+lower+upper",
        {{"words.rules", trial::vocabulary},
         {"trial.rules", trial::edition_head + base},
         {"lower.rules", "amendment lower to trial-1\n  title \"L\"\n\n" + with_digest(c.lower)},
         {"upper.rules",
          "amendment upper to trial-1\n  title \"U\"\n" + policy + "\n" + with_digest(c.upper)}});
}

} // namespace

TEST_CASE("layers at odds: without a policy the lower layer's text has to be named") {
    for (const Case &c : cases) {
        INFO(c.lower << c.upper);
        const book::Opened none = opened(c, "");
        CHECK(trial::codes(none.diagnostics) == "layers-disagree");
        CHECK(none.diagnostics.list()[0].message.find("was changed by lower below") !=
              std::string::npos);
    }
}

TEST_CASE("layers at odds: `conflict local` puts the upper layer's text in place") {
    for (const Case &c : cases) {
        INFO(c.lower << c.upper);
        const book::Opened local = opened(c, "  conflict local\n");
        INFO(trial::faults(local));
        REQUIRE(local.book);
        CHECK(local.book->changes.back().layer == 2);
    }
}

TEST_CASE("layers at odds: `conflict stricter` keeps the text that demands more") {
    for (const Case &c : cases) {
        INFO(c.lower << c.upper);
        const book::Opened stricter = opened(c, "  conflict stricter\n");
        if (c.stricter == "unclear") {
            CHECK(trial::codes(stricter.diagnostics) == "stricter-unclear");
            continue;
        }
        INFO(trial::faults(stricter));
        REQUIRE(stricter.book);
        const book::LayerChange &last = stricter.book->changes.back();
        const bool kept = last.to == "the text below, which is the stricter one";
        CHECK((last.layer == 2 && !kept ? "upper" : "lower") == c.stricter);
    }
}

TEST_CASE("layers at odds: in one layer the second change has to name what the first left") {
    for (const Case &c : cases) {
        INFO(c.lower << c.upper);
        CHECK(trial::codes(trial::open(base, {with_digest(c.lower) + "\n" + with_digest(c.upper)})
                               .diagnostics) == "wrong-old-value");
    }
}
