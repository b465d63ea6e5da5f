// What a comparison tells of each kind of change: where, from what, to what, and in which
// direction.

#include "trial.h"

#include "book/compare.h"
#include "book/digest.h"

#include "catch.h"

namespace {

using namespace groundrule;
using book::Aspect;
using book::Effect;
using book::RuleKind;

const std::string base = R"(type shade : one of (pale, dark, black)

group gloomy of shade = (dark, black)

item lamp in job as lamps "A lamp"
  shade : shade   choice   "Which shade?"
  draw  : current measure  "How much does it draw?"

rule 2.1 "Lamps"
  topic    lamps
  for      lamp
  shall    draw at most 2 A
  says     "Too much."
  listed   (1) "Gloomy ones" where shade is gloomy

rule 210.8(A) "Crates"
  topic    boxed
  for      crate
  limit    highest = 250 V
  limit    far = 4 ft 6 in
  where    volts : supply at most highest
  where    width at most far
  shall    sealed
  says     "Not sealed at {supply}."
  listed   (1) "Red" where colour is red
  listed   (2) "Green" where colour is green
  except   1 "Approved" where approved
  note     "A note."

table 310.16 "T"
  gives current
  by    wire : conductor_size, sealed : yes_no
  sealed | yes  | no
  8 AWG  | 40 A | 35 A
  6 AWG  | --   | 45 A

list 240.6(A) "L" of current
  = 15 A, 20 A, 30 A

define crate.carries : current "What the wire carries"
  = table 310.16 [wire, sealed]

define crate.carries_sealed : current
  = table 310.16 [wire, yes]

rule 310.15 "Load"
  topic    loaded
  for      crate
  shall    load at most carries
  says     "Too much."

rule 310.17 "Sealed load"
  topic    loaded_sealed
  for      crate
  shall    load at most carries_sealed
  says     "Too much."

rule 400.1 "Ways"
  topic    ways
  for      crate
  says     "Not permitted."
  permits  (1) "Small" where width at most 1 ft
  permits  (2) "Cool" where heat at most 40 °C

rule 400.2 "Only where another applies"
  topic    follower
  for      crate
  where    applies(boxed)
  shall    load at most 10 A
  says     "Too much."

rule 500.1 "Nothing of all this"
  topic    apart
  for      crate
  shall    rating at least load
  says     "Too small."
)";

struct Compared {
    book::Opened before;
    book::Opened after;
    book::Comparison comparison;
};

const Compared &compared(const std::string &older, const std::string &newer,
                         const std::vector<std::string> &layers = {}) {
    static std::vector<std::unique_ptr<Compared>> kept; // a comparison points into its books
    kept.push_back(
        std::make_unique<Compared>(Compared{trial::open(older), trial::open(newer, layers), {}}));
    Compared &c = *kept.back();
    INFO(trial::faults(c.before) << trial::faults(c.after));
    REQUIRE(c.before.book);
    REQUIRE(c.after.book);
    c.comparison = book::compare(*c.before.book, *c.after.book);
    return c;
}

const book::Comparison &with(const std::string &change) {
    return compared(base, base, {change}).comparison;
}

std::string replaced(std::string text, const std::string &from, const std::string &to) {
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

const book::Comparison &edited(const std::string &from, const std::string &to) {
    return compared(base, replaced(base, from, to)).comparison;
}

// "changed boxed stricter", one line a rule.
std::string rules(const book::Comparison &c) {
    std::string out;
    for (const book::RuleChange &r : c.rules)
        out += std::string(out.empty() ? "" : "\n") + book::rule_kind_name(r.kind) + " " + r.topic +
               " " + book::effect_name(r.effect);
    return out;
}

// "limit far: 4 ft 6 in > 2 ft (laxer)", one line a change.
std::string changes(const std::vector<book::Change> &list) {
    std::string out;
    for (const book::Change &c : list)
        out += std::string(out.empty() ? "" : "\n") + book::aspect_name(c.aspect) + " " + c.name +
               ": " + c.from + " > " + c.to + " (" + book::effect_name(c.effect) + ")";
    return out;
}

std::string only(const book::Comparison &c) {
    REQUIRE(c.rules.size() == 1);
    return changes(c.rules.front().changes);
}

} // namespace

TEST_CASE("a book and itself, or the same text laid out otherwise, differ in nothing") {
    CHECK(compared(base, base).comparison.same());
    CHECK(edited("shall    sealed\n", "shall\n           (sealed)   # really\n").same());
    CHECK(edited("load at most carries\n", "carries at least load\n").rules.size() == 1);
}

TEST_CASE("limits are told with both values, and in the direction that their use gives them") {
    const book::Comparison &scope = with("change far of rule 210.8(A) from 4 ft 6 in to 2 ft\n");
    CHECK(rules(scope) == "changed boxed laxer\nchanged_through follower laxer");
    CHECK(scope.rules[1].through == std::vector<std::string>{"where 210.8(A) applies"});
    CHECK(changes(scope.rules[0].changes) == "limit far: 4 ft 6 in > 2 ft (laxer)");
    CHECK(scope.rules[0].changes[0].layer == "layer-1");
    const book::Comparison &two = with("change far of rule 210.8(A) from 4 ft 6 in to 2 ft\n\n"
                                       "change highest of rule 210.8(A) from 250 V to 300 V\n");
    CHECK(changes(two.rules[0].changes) ==
          "limit highest: 250 V > 300 V (stricter)\nlimit far: 4 ft 6 in > 2 ft (laxer)");
    CHECK(two.rules[0].effect == Effect::open);
}

TEST_CASE("scope: conditions, listed parts and exceptions") {
    const auto boxed = [](const book::Comparison &c) {
        return std::string(book::effect_name(c.rules.at(0).effect)) + "\n" +
               changes(c.rules.at(0).changes);
    };
    CHECK(boxed(edited("  where    width at most far\n", "")) ==
          "stricter\ncondition : width at most far >  (stricter)");
    CHECK(boxed(with("narrow rule 210.8(A) to where rating at least 5 A\n")) ==
          "laxer\ncondition :  > rating at least 5 A (laxer)");
    CHECK(boxed(edited("volts : supply at most highest", "volts : supply less than highest")) ==
          "laxer\ncondition volts: supply at most highest > supply less than highest (laxer)");
    CHECK(boxed(with("delete rule 210.8(A)(2)\n")) ==
          "laxer\nlisted (2): Green: colour is green >  (laxer)");
    CHECK(boxed(with("add to rule 210.8(A)\n  listed (3) \"Blue\" where colour is blue\n")) ==
          "stricter\nlisted (3):  > Blue: colour is blue (stricter)");
    CHECK(boxed(with("delete exception 1 of rule 210.8(A)\n")) ==
          "stricter\nexception Exception No. 1: Approved: approved >  (stricter)");
    CHECK(boxed(with("add to rule 210.8(A)\n  except 2 \"Wide\" where width more than 3 ft\n")) ==
          "laxer\nexception Exception No. 2:  > Wide: width more than 3 ft (laxer)");
    CHECK(boxed(edited("where approved", "where approved and sealed")) ==
          "stricter\nexception Exception No. 1: Approved: approved > Approved: approved and sealed "
          "(stricter)");
    CHECK(boxed(edited("colour is red", "colour is one of (red, blue)")) ==
          "stricter\nlisted (1): Red: colour is red > Red: colour is not green (stricter)");
}

TEST_CASE("narrowing a requirement is laxer, narrowing a permission stricter") {
    CHECK(rules(with("narrow rule 500.1 to where sealed\n")) == "changed apart laxer");
    const book::Comparison &permission = with("delete rule 400.1(2)\n");
    CHECK(rules(permission) == "changed ways stricter");
    CHECK(only(permission) == "permission (2): Cool: heat at most 40 °C >  (stricter)");
    CHECK(only(edited("heat at most 40 °C", "heat at most 30 °C")) ==
          "permission (2): Cool: heat at most 40 °C > Cool: heat at most 30 °C (stricter)");
    CHECK(rules(with("add to rule 400.1\n  permits (3) \"Blue\" where colour is blue\n")) ==
          "changed ways laxer");
}

TEST_CASE("requirements and force") {
    CHECK(only(edited("rating at least load", "rating more than load")) ==
          "requirement : rating at least load > rating more than load (stricter)");
    CHECK(only(edited("rating at least load", "rating at least load * 80 %")) ==
          "requirement : rating at least load > rating at least load * 0.8 (open)");
    CHECK(only(edited("shall    rating at least load", "should   rating at least load")) ==
          "force : shall > should (laxer)");
    CHECK(only(edited("  for      crate\n  shall    rating",
                      "  binds    new, altered, replaced\n  for      crate\n  shall    rating")) ==
          "work : new, altered > new, altered, replaced (stricter)");
}

TEST_CASE("words alone are told apart from what a verdict depends on") {
    const book::Comparison &c = edited("Not sealed at {supply}.", "Open at {supply}.");
    CHECK(rules(c) == "reworded boxed none");
    CHECK(only(c) == "message : Not sealed at {supply}. > Open at {supply}. (none)");
    CHECK(only(edited("A note.", "Another.")) ==
          "note : A note. >  (none)\nnote :  > Another. (none)");
    CHECK(rules(edited("rule 500.1", "rule 500.3")) == "renumbered apart none");
}

TEST_CASE("rules of one book only") {
    const book::Comparison &gone = with("delete rule 500.1\n");
    CHECK(rules(gone) == "removed apart laxer");
    CHECK(gone.rules[0].after == nullptr);
    CHECK(rules(with("rule 1.1 \"Own\"\n  topic own\n  for crate\n  shall sealed\n  says \"x\"\n"
                     "\nrule 1.2 \"Advice\"\n  topic advice\n  for crate\n  should sealed\n"
                     "  says \"x\"\n")) == "added own stricter\nadded advice none");
}

TEST_CASE("a cell that one layer changes lists exactly the rules that rest on it") {
    const book::Comparison &sealed = with("change table 310.16 [8 AWG, yes] from 40 A to 35 A\n");
    CHECK(rules(sealed) ==
          "changed_through loaded stricter\nchanged_through loaded_sealed stricter");
    REQUIRE(sealed.shared.size() == 1);
    CHECK(changes(sealed.shared[0].changes) == "cell [8 AWG, yes]: 40 A > 35 A (open)");
    CHECK(sealed.shared[0].changes[0].layer == "layer-1");
    CHECK(sealed.shared[0].dependants == std::vector<std::string>{"loaded", "loaded_sealed"});
    // A look-up with a constant key reads only its own column.
    const book::Comparison &open = with("change table 310.16 [8 AWG, no] from 35 A to 36 A\n");
    CHECK(rules(open) == "changed_through loaded laxer");
    CHECK(rules(with("change table 310.16 [6 AWG, yes] from -- to 30 A\n")) ==
          "changed_through loaded open\nchanged_through loaded_sealed open");
}

TEST_CASE("definitions and groups: the rules that use them follow") {
    const book::Comparison &definition = with("replace define crate.carries : current from "
                                              "e1685a66\n  = table 310.16 [wire, sealed] * 2\n");
    CHECK(rules(definition) == "changed_through loaded open");
    CHECK(definition.rules[0].through == std::vector<std::string>{"crate.carries"});
    const book::Comparison &group = with("replace group gloomy of shade from b6fd5ac8 = (dark)\n");
    CHECK(rules(group) == "changed_through lamps laxer");
    REQUIRE(group.shared.size() == 1);
    CHECK(changes(group.shared[0].changes) == "choice : black >  (open)");
    CHECK(group.shared[0].dependants == std::vector<std::string>{"lamps"});
}

TEST_CASE("a rule that only tells follows what its message reads") {
    const std::string telling = replaced(base, "rule 500.1 \"Nothing",
                                         "rule 500.2 \"Told\"\n"
                                         "  topic    told\n"
                                         "  for      crate\n"
                                         "  information\n"
                                         "  says     \"{carries}\"\n"
                                         "\n"
                                         "rule 500.1 \"Nothing");
    const book::Comparison &c = compared(telling, telling,
                                         {"replace define crate.carries : current from e1685a66\n  "
                                          "= table 310.16 [wire, sealed] * 2\n"})
                                    .comparison;
    CHECK(rules(c) == "changed_through loaded open\nchanged_through told none");
}

TEST_CASE("a renumbered table changes no rule, and a new row of a list is an entry") {
    const book::Comparison &table = edited("table 310.16 \"T\"\n", "table 310.16 \"T\" numbered "
                                                                   "310.15(B)(16) in trial-1\n");
    CHECK(table.rules.empty());
    REQUIRE(table.shared.size() == 1);
    CHECK(table.shared[0].before == "Table 310.16");
    CHECK(table.shared[0].after == "Table 310.15(B)(16)");
    const book::Comparison &list = edited("15 A, 20 A, 30 A", "10 A, 15 A, 20 A, 30 A");
    REQUIRE(list.shared.size() == 1);
    CHECK(changes(list.shared[0].changes) == "entry :  > 10 A (open)");
}

TEST_CASE("whatever moves the digest is told") {
    const std::vector<std::pair<std::string, std::string>> edits = {
        {"250 V", "251 V"},
        {"4 ft 6 in", "4 ft 7 in"},
        {"at most highest", "less than highest"},
        {"where approved", "where not approved"},
        {"colour is green", "colour is blue"},
        {"(dark, black)", "(dark)"},
        {"| 40 A |", "| 41 A |"},
        {"| --   |", "| 44 A |"},
        {"15 A, 20 A", "15 A, 25 A"},
        {"[wire, yes]", "[wire, no]"},
        {"applies(boxed)", "not applies(boxed)"},
        {"\"Small\" where width at most 1 ft", "\"Small\" where width at most 2 ft"},
        {"rule 500.1", "rule 500.2"},
        {"draw at most 2 A", "draw at most 2 A or shade is dark"}};
    for (const auto &[from, to] : edits) {
        INFO(from << " to " << to);
        const Compared &c = compared(base, replaced(base, from, to));
        CHECK(book::digest_of(*c.before.book) != book::digest_of(*c.after.book));
        CHECK_FALSE(c.comparison.same());
        CHECK_FALSE(c.comparison.rules.size() + c.comparison.shared.size() == 0);
    }
}
