// Layers: each change that an amendment can make, applied and refused.

#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;

// The text that the amendments change.
const std::string base = R"(rule 210.8(A) "Crates"
  topic    boxed
  for      crate
  limit    highest = 250 V
  limit    far = 4 ft 6 in
  reading  strict = yes "Taken strictly"
  where    supply at most highest and width at most far and strict
  shall    sealed
  says     "Not sealed."
  listed   (1) "Red" where colour is red
  listed   (2) "Green" where colour is green
  except   1 "Approved" where approved

rule 210.9 "Twin"
  topic    twin_a
  for      crate
  shall    sealed
  says     "x"

rule 210.9 "Twin"
  topic    twin_b
  for      crate
  shall    sealed
  says     "x"

table 310.16 "T"
  gives current
  by    wire : conductor_size, sealed : yes_no
  sealed | yes  | no
  8 AWG  | 40 A | 35 A
  6 AWG  | --   | 45 A

rule 310.15 "Load"
  topic    loaded
  for      crate
  shall    load at most table 310.16 [wire, sealed]
  says     "Too much."

define crate.spare : current "Spare"
  = rating - load

rule 400.1 "Spare"
  topic    spare
  for      crate
  shall    spare at least 0 A
  says     "Nothing to spare."
)";

std::string codes(const std::string &change) {
    return trial::codes(trial::open(base, {change}).diagnostics);
}

report::Finding finding(const std::string &change, const std::string &topic,
                        const std::string &facts) {
    static std::vector<std::unique_ptr<trial::Compiled>> kept; // a report points into its book
    std::vector<std::string> changes;
    if (!change.empty())
        changes.push_back(change);
    kept.push_back(std::make_unique<trial::Compiled>(trial::compiled(base, changes)));
    const report::Report r = trial::check(*kept.back(), trial::crate(facts));
    for (const report::Finding &f : r.findings) {
        if (r.book->rules[f.rule].topic == topic)
            return f;
    }
    FAIL("no finding of " << topic);
    return {};
}

std::string verdict(const std::string &change, const std::string &topic, const std::string &facts) {
    return report::verdict_name(finding(change, topic, facts).verdict);
}

const std::string red = R"("supply":"240 V","width":"4 ft","colour":"red","sealed":false,)"
                        R"("approved":false)";

} // namespace

TEST_CASE("without a layer the base decides") {
    const report::Finding f = finding("", "boxed", red);
    CHECK(f.verdict == Verdict::violates);
    CHECK(f.citation == "210.8(A)(1)");
    CHECK(f.layer == "trial-1");
}

TEST_CASE("delete a rule, a listed part, an exception") {
    CHECK(trial::open(base, {"delete rule 210.8(A)\n"}).book->rules.size() == 5 - 1);
    CHECK(verdict("delete rule 210.8(A)(1)\n", "boxed", red) == "not_applicable");
    const std::string approved = R"("supply":"240 V","width":"4 ft","colour":"red","sealed":false,)"
                                 R"("approved":true)";
    CHECK(verdict("", "boxed", approved) == "not_applicable");
    CHECK(verdict("delete exception 1 of rule 210.8(A)\n", "boxed", approved) == "violates");
}

TEST_CASE("delete is refused where the target is missing or ambiguous") {
    CHECK(codes("delete rule 210.80\n") == "no-target");
    CHECK(codes("delete rule 210.8\n") == "no-target");
    CHECK(codes("delete rule 210.8(A)(7)\n") == "no-target");
    CHECK(codes("delete exception 2 of rule 210.8(A)\n") == "no-target");
    CHECK(codes("delete rule 210.9\n") == "ambiguous-target");
    CHECK(codes("delete rule 210.9 topic twin_b\n").empty());
    CHECK(codes("delete rule 210.9 topic boxed\n") == "no-target");
    CHECK(codes("delete rule 210.8(A)\n\ndelete rule 210.8(A)\n") == "no-target");
}

TEST_CASE("change a limit: the old value is checked, the layer is named") {
    const std::string change = "change highest of rule 210.8(A) from 250 V to 239 V\n";
    const report::Finding f = finding(change, "boxed", red);
    CHECK(f.verdict == Verdict::not_applicable);
    CHECK(codes("change highest of rule 210.8(A) from 251 V to 239 V\n") == "wrong-old-value");
    CHECK(codes("change highest of rule 210.8(A) from 250 A to 239 V\n") == "wrong-old-value");
    CHECK(codes("change higest of rule 210.8(A) from 250 V to 239 V\n") == "no-target");
    CHECK(codes("change far of rule 210.8(A) from 54 in to 24 in\n").empty());
    CHECK(codes("change highest of rule 210.9 from 250 V to 239 V\n") == "ambiguous-target");
    CHECK_FALSE(codes("change highest of rule 210.8(A) from 250 V to 239 A\n").empty());
}

TEST_CASE("a wrong old value shows where the true one stands") {
    const book::Opened opened =
        trial::open(base, {"change far of rule 210.8(A) from 5 ft to 24 in\n"});
    const std::string text = trial::faults(opened);
    INFO(text);
    CHECK(text.find("layer-1.rules:4:") != std::string::npos);
    CHECK(text.find("trial.rules:9:") != std::string::npos);
}

TEST_CASE("change a reading") {
    CHECK(verdict("change strict of rule 210.8(A) from yes to no\n", "boxed", red) ==
          "not_applicable");
    CHECK(codes("change strict of rule 210.8(A) from no to yes\n") == "wrong-old-value");
}

TEST_CASE("change a cell: value, empty and back, the layer is named") {
    const std::string facts = R"("wire":"8 AWG","sealed":true,"load":"38 A")";
    CHECK(verdict("", "loaded", facts) == "complies");
    const std::string change = "change table 310.16 [8 AWG, yes] from 40 A to 35 A\n";
    CHECK(verdict(change, "loaded", facts) == "violates");
    CHECK(verdict("change table 310.16 [8 AWG, yes] from 40 A to --\n", "loaded", facts) ==
          "undetermined");
    CHECK(verdict("change table 310.16 [6 AWG, yes] from -- to 30 A\n", "loaded",
                  R"("wire":"6 AWG","sealed":true,"load":"38 A")") == "violates");
    CHECK(codes("change table 310.16 [8 AWG, yes] from 41 A to 35 A\n") == "wrong-old-value");
    CHECK(codes("change table 310.16 [8 AWG, yes] from -- to 35 A\n") == "wrong-old-value");
    CHECK(codes("change table 310.16 [6 AWG, yes] from 40 A to 35 A\n") == "wrong-old-value");
    CHECK(codes("change table 310.16 [4 AWG, yes] from 40 A to 35 A\n") == "no-target");
    CHECK(codes("change table 310.17 [8 AWG, yes] from 40 A to 35 A\n") == "no-target");
    CHECK(codes("change table 310.16 [8 AWG] from 40 A to 35 A\n") == "wrong-count");
    CHECK(codes("change table 310.16 [8 AWG, yes] from 40 A to 35 V\n") == "wrong-type");
    CHECK(codes(change + "\n" + change) == "wrong-old-value");
}

TEST_CASE("narrow a rule: it keeps its text and applies to less") {
    const std::string change = "narrow rule 210.8(A) to where width at most 1 ft\n";
    const report::Finding f = finding(change, "boxed", red);
    CHECK(f.verdict == Verdict::not_applicable);
    CHECK(f.layer == "layer-1");
    CHECK(codes("narrow rule 210.80 to where sealed\n") == "no-target");
    CHECK(codes("narrow rule 210.8(A) to where load\n") == "wrong-type");
}

TEST_CASE("delay a rule: by the date of the permit") {
    const trial::Compiled c =
        trial::compiled(base, {"delay rule 210.8(A) until 2023-01-01\n\n"
                               "delete rule 210.9 topic twin_a\n\ndelete rule 210.9\n\n"
                               "delete rule 310.15\n\ndelete rule 400.1\n"});
    const auto on = [&](const std::string &date) {
        return trial::verdict(c, "{\"work\":\"new\"," + date + "\"crates\":[{" + red + "}]}");
    };
    CHECK(on("\"permit_date\":\"2022-12-31\",") == "not_applicable");
    CHECK(on("\"permit_date\":\"2023-01-01\",") == "violates");
    CHECK(on("") == "undetermined");
    CHECK(codes("delay rule 210.80 until 2023-01-01\n") == "no-target");
    CHECK_FALSE(codes("delay rule 210.8(A) until 5 A\n").empty());
}

TEST_CASE("add to a rule: exceptions, parts and conditions, each label once") {
    const report::Finding f = finding(
        "add to rule 210.8(A)\n  except 2 \"Wide\" where width more than 3 ft\n", "boxed", red);
    CHECK(f.verdict == Verdict::not_applicable);
    CHECK(f.decided_by.find("Exception No. 2") != std::string::npos);
    CHECK(f.layer == "layer-1");
    const std::string blue = R"("supply":"240 V","width":"4 ft","colour":"blue","sealed":false,)"
                             R"("approved":false)";
    CHECK(verdict("", "boxed", blue) == "not_applicable");
    const report::Finding listed = finding(
        "add to rule 210.8(A)\n  listed (3) \"Blue\" where colour is blue\n", "boxed", blue);
    CHECK(listed.citation == "210.8(A)(3)");
    CHECK(listed.verdict == Verdict::violates);
    CHECK(codes("add to rule 210.8(A)\n  except 1 \"Again\" where sealed\n") == "stands-already");
    CHECK(codes("add to rule 210.8(A)\n  listed (2) \"Again\" where sealed\n") == "stands-already");
    CHECK(codes("add to rule 210.8(A)\n  shall sealed\n") == "not-an-addition");
    CHECK(codes("add to rule 210.80\n  except 2 \"x\" where sealed\n") == "no-target");
}

TEST_CASE("deleting one exception renumbers nothing") {
    const std::string change =
        "add to rule 210.8(A)\n  except 2 \"Two\" where width more than 3 ft\n\n"
        "delete exception 1 of rule 210.8(A)\n";
    CHECK(finding(change, "boxed", red).decided_by.find("No. 2") != std::string::npos);
}

TEST_CASE("replace a rule, a definition") {
    const std::string change = "replace rule 210.8(A) from 0ee67ecd\n  topic boxed\n  for crate\n"
                               "  shall width at most 1 ft\n  says \"Too wide.\"\n";
    const report::Finding f = finding(change, "boxed", red);
    CHECK(f.says == "Too wide.");
    CHECK(f.layer == "layer-1");
    CHECK(
        codes(
            "replace rule 210.8(B)\n  topic boxed\n  for crate\n  shall sealed\n  says \"x\"\n") ==
        "no-target");
    CHECK(
        codes(
            "replace rule 210.8(A)\n  topic other\n  for crate\n  shall sealed\n  says \"x\"\n") ==
        "no-target");
    const std::string facts = R"("rating":"50 A","load":"45 A")";
    CHECK(verdict("", "spare", facts) == "complies");
    CHECK(verdict("replace define crate.spare : current from 286db3e0\n  = rating * 80 % - load\n",
                  "spare", facts) == "violates");
    CHECK(codes("replace define crate.spar : current\n  = rating\n") == "no-target");
}

TEST_CASE("a layer's own rule stands beside the others, under its own topic") {
    const std::string own = "rule 90.100 \"Own\"\n  topic own\n  for crate\n  shall sealed\n"
                            "  says \"Own words.\"\n";
    CHECK(finding(own, "own", red).layer == "layer-1");
    CHECK(
        codes("rule 90.100 \"Own\"\n  topic boxed\n  for crate\n  shall sealed\n  says \"x\"\n") ==
        "topic-twice");
}

TEST_CASE("layers are applied in order: the second changes what the first left") {
    const std::vector<std::string> layers = {
        "change highest of rule 210.8(A) from 250 V to 300 V\n",
        "change highest of rule 210.8(A) from 300 V to 200 V\n"};
    CHECK(trial::open(base, layers).book);
    CHECK(trial::codes(trial::open(base, {layers[1], layers[0]}).diagnostics)
              .find("wrong-old-value") == 0);
}

TEST_CASE("a change that fails leaves no book, not half of one") {
    const book::Opened opened =
        trial::open(base, {"delete rule 210.8(A)\n\nchange spare of rule 400.1 from 1 A to 2 A\n"});
    CHECK(opened.book == nullptr);
    CHECK(opened.diagnostics.size() == 1);
}

TEST_CASE("an edition changes nothing, and an amendment only what it is to") {
    CHECK(trial::codes(trial::open(base + "\ndelete rule 210.8(A)\n").diagnostics) ==
          "change-in-edition");
    const std::vector<book::NamedText> texts = {
        {"w.rules", trial::vocabulary},
        {"t.rules", trial::edition_head + base},
        {"a.rules", "amendment a to nec-2020\n  title \"T\"\n\ndelete rule 210.8(A)\n"}};
    CHECK(trial::codes(book::open_book("trial-1+a", texts).diagnostics) == "wrong-base");
}

TEST_CASE("deleting a rule that another reads is told") {
    const std::string reader = "rule 500.1 \"Reader\"\n  topic reader\n  for crate\n"
                               "  where applies(boxed)\n  shall sealed\n  says \"x\"\n";
    CHECK(trial::open(base + "\n" + reader).book);
    CHECK_FALSE(trial::open(base + "\n" + reader, {"delete rule 210.8(A)\n"}).book);
}
