// What amendments do to text that is rarer: clauses and what stands within them, parts without a
// number or a condition, labels that are alike, and the layer that a text came from.

#include "trial.h"

#include "book/digest.h"
#include "book/show.h"

#include "catch.h"

namespace {

using namespace groundrule;

const std::string base = R"(clause 210.1 "Supplied crates"
  topic  supplied
  for    crate
  limit  highest = 250 V
  where  volts : supply at most highest

rule 210.2
  topic  within_clause
  within supplied
  shall  sealed
  says   "Open."

rule 210.8 "Crates"
  topic  boxed
  for    crate
  where  wide : width at most 4 ft and heat at most 40 °C
  shall  sealed
  says   "Not sealed."
  listed (1) "Red" where colour is red
  listed (2) "Green" where colour is green
  except (1) "Approved" where approved
  except 1 "Light" where load at most 1 A
  except not encoded "Of the authority"

rule 210.9 "Wired"
  topic  wired
  for    crate
  binds  new, replaced
  limit  smallest_share = 0.0000004
  shall  share at least smallest_share
  says   "Too small a share."

gap 220.5 "Not here"

administrative 220.6 "Fees"

gap 230.5 "Nor here"

rule 230.1 "Loads"
  topic  loads
  for    crate
  shall  load at most 10 A
  says   "Too much."
)";

std::string codes(const std::string &change) {
    return trial::codes(trial::open(base, {change}).diagnostics);
}

// The only finding of a rule, under a name for its verdict.
std::string verdict(const std::vector<std::string> &changes, const std::string &topic,
                    const std::string &facts, const std::string &work = "new") {
    const trial::Compiled c = trial::compiled(base, changes);
    const report::Report r =
        trial::check(c, "{\"work\":\"" + work + "\",\"crates\":[{" + facts + "}]}");
    for (const report::Finding &f : r.findings) {
        if (c.book->rules[f.rule].topic == topic)
            return report::verdict_name(f.verdict);
    }
    return "no finding";
}

const book::Book &opened(const std::string &change) {
    static std::vector<book::Opened> kept;
    kept.push_back(trial::open(base, {change}));
    INFO(trial::faults(kept.back()));
    REQUIRE(kept.back().book);
    return *kept.back().book;
}

// "what: from > to", one line a change.
std::string told(const std::string &change) {
    std::string out;
    for (const book::LayerChange &c : opened(change).changes)
        out += (out.empty() ? "" : "\n") + c.what + ": " + c.from + " > " + c.to;
    return out;
}

} // namespace

TEST_CASE("widening a rule widens the conditions of its clause for it, and not for others") {
    const std::string wider = "widen rule 210.2 to where colour is red\n";
    const std::string high = R"("supply":"300 V","sealed":false,"colour":)";
    CHECK(verdict({}, "within_clause", high + "\"red\"") == "not_applicable");
    CHECK(verdict({wider}, "within_clause", high + "\"red\"") == "violates");
    CHECK(verdict({wider}, "within_clause", high + "\"blue\"") == "not_applicable");
    const std::string printed = book::printed_book(opened(wider));
    CHECK(printed.find("volts : supply at most highest or colour is red @layer-1") !=
          std::string::npos);
    CHECK(printed.find("where    volts : supply at most highest  #") != std::string::npos);
    const book::Opened again = book::open_book("whole.rules", {{"whole.rules", printed}});
    REQUIRE(again.book);
    CHECK(book::digest_of(*again.book) == book::digest_of(opened(wider)));
    CHECK(codes("widen rule 230.1 to where sealed\n") == "nothing-to-widen");
}

TEST_CASE(
    "a clause that a layer deletes leaves the rules within it without a scope, which is told") {
    CHECK(codes("delete rule 210.1\n") == "unknown-name");
    CHECK(codes("delete rule 210.1\n\ndelete rule 210.2\n").empty());
}

TEST_CASE("an exception that is not written out gets a condition when it is narrowed") {
    const std::string exception = "exception of rule 210.8 to where heat at most 5 °C\n";
    const std::string red = R"("width":"4 ft","colour":"red","sealed":false,"approved":false,)"
                            R"("load":"2 A","heat":"20 °C")";
    CHECK(verdict({}, "boxed", red) == "undetermined");
    CHECK(verdict({"narrow " + exception}, "boxed", red) == "violates");
    CHECK(told("narrow " + exception) ==
          "exception without a number of rule 210.8 (boxed): not encoded \"Of the authority\" > "
          "not encoded \"Of the authority\" where heat at most 5 °C");
    // As it may hold for anything, it is as wide as it can be.
    CHECK(verdict({"widen " + exception}, "boxed", red) == "undetermined");
}

TEST_CASE("what is joined to a chain of conditions becomes a link of it") {
    CHECK(told("narrow condition wide of rule 210.8 to where load at most 5 A\n") ==
          "condition wide of rule 210.8 (boxed): width at most 4 ft and heat at most 40 °C > width "
          "at most 4 ft and heat at most 40 °C and load at most 5 A");
    CHECK(told("widen condition wide of rule 210.8 to where load at most 5 A\n") ==
          "condition wide of rule 210.8 (boxed): width at most 4 ft and heat at most 40 °C > "
          "(width at most 4 ft and heat at most 40 °C) or load at most 5 A");
}

TEST_CASE("a condition that is narrowed to nest deeper than a file may is refused") {
    std::string deep = "approved";
    for (int i = 0; i < 98; ++i)
        deep = "not " + deep;
    const std::string rule = "rule 1.1 \"Deep\"\n  topic deep\n  for crate\n  where c : sealed\n"
                             "  shall sealed\n  says \"x\"\n";
    const auto narrowed = [&](const std::string &to) {
        return trial::codes(
            trial::open(rule, {"narrow condition c of rule 1.1 to where " + to + "\n"})
                .diagnostics);
    };
    CHECK(narrowed(deep).empty());
    CHECK(narrowed("not not " + deep) == "too-deep");
}

TEST_CASE("a number that is the start of another, and a part that is labelled as an exception is, "
          "are told apart") {
    CHECK(codes("delete rule 210.81\n") == "no-target");
    CHECK(codes("delete rule 210.8(3)\n") == "no-target");
    CHECK(codes("delete rule 210.2\n\ndelete rule 230.9\n") == "no-target");
    const std::string without = "delete rule 210.8(1)\n";
    const book::Book &b = opened(without);
    const auto boxed = std::find_if(b.rules.begin(), b.rules.end(),
                                    [](const book::Rule &r) { return r.topic == "boxed"; });
    REQUIRE(boxed != b.rules.end());
    REQUIRE(boxed->listed.size() == 1);
    CHECK(boxed->listed[0].label == "(2)");
    CHECK(boxed->exceptions.size() == 3);
    CHECK(opened("delete range 210.8(1) to 210.8(2)\n").rules.size() == 4);
    CHECK(opened("delete range 210.8(1) to 210.8(2)\n").changes.size() == 2);
}

TEST_CASE("parts without a number stand beside each other") {
    CHECK(codes("add to rule 210.8\n  except \"Heavy\" where load more than 9 A\n").empty());
    CHECK(codes("add to rule 210.8\n  except not encoded \"Of the authority\"\n") == "label-twice");
}

TEST_CASE("an article goes with what is not written out in it, and leaves what is administrative") {
    const book::Book &b = opened("delete article 220\n");
    CHECK(b.gaps.size() == 1);
    CHECK(b.administrative.size() == 1);
    CHECK(b.rules.size() == 4);
    CHECK(told("delete article 220\n") == "220.5 (not written out): Not here > ");
    CHECK(told("delete article 230\n") == "230.5 (not written out): Nor here > \n"
                                          "rule 230.1 (loads): Loads > ");
    CHECK(told("delete rule 230.1\n\ndelete article 230\n") ==
          "rule 230.1 (loads): Loads > \n230.5 (not written out): Nor here > ");
    CHECK(told("gap 240.1 \"Nothing of this\"\n") == "240.1 (not written out):  > Nothing of this");
    CHECK(codes("delete article 240\n") == "no-target");
    CHECK(codes("delete article 220\n\ndelete article 220\n") == "no-target");
}

TEST_CASE("parts are told as they are written, with or without a title, condition and text") {
    const std::string rule = "rule 1.1 \"Parts\"\n  topic parts\n  for crate\n  says \"x\"\n"
                             "  permits (1) where sealed\n  permits \"Red\" where colour is red\n"
                             "  except not encoded where approved\n  except 1 not encoded\n"
                             "  except 2 \"Light\" where load at most 1 A\n";
    const auto changed = [&](const std::string &change) {
        const book::Opened opened = trial::open(rule, {change});
        std::string out = trial::codes(opened.diagnostics);
        for (std::size_t i = 0; opened.book && i < opened.book->changes.size(); ++i)
            out += (i == 0 ? "" : "\n") + opened.book->changes[i].from + " > " +
                   opened.book->changes[i].to;
        return out;
    };
    CHECK(changed("delete all exceptions of rule 1.1\n") ==
          "not encoded where approved > \nnot encoded > \n\"Light\" where load at most 1 A > ");
    CHECK(changed("delete rule 1.1(1)\n") == "where sealed > ");
    CHECK(changed("add to rule 1.1\n  note \"A word.\"\n") == " > A word.");
    CHECK(changed("change requirement of rule 1.1 from 00000000 to sealed\n") == "no-target");
    CHECK(changed("delete rule 1.1(3)\n") == "no-target");
}

TEST_CASE("a range of rules leaves clauses, and what is gone already") {
    const std::string range = "delete range 210.2 to 210.9\n";
    CHECK(told("delete rule 210.8\n\n" + range) ==
          "rule 210.8 (boxed): Crates > \nrule 210.2 (within_clause): within_clause > \n"
          "rule 210.9 (wired): Wired > ");
    CHECK(opened(range).rules.size() == 1);
}

TEST_CASE("the old value of a limit is compared on its grid") {
    const auto change = [](const std::string &from) {
        return codes("change smallest_share of rule 210.9 from " + from + " to 0.5\n");
    };
    CHECK(change("0.0000004").empty());
    CHECK(change("0.0000003") == "wrong-old-value");
    CHECK(change("0.00004 %").empty());
    CHECK(change("smallest_share") == "wrong-old-value");
}

TEST_CASE("what can't be found because its declaration is broken is not told as missing") {
    const std::string broken =
        "rule 1.1 \"Seals\"\n  topic seals\n  for crate\n  shall sealed and\n  says \"x\"\n\n"
        "item vat in job as\n\n"
        "table 1.2 \"T\"\n  gives current\n  by a : current\n  1 A | 1 V\n\n"
        "rule 1.3 \"Whole\"\n  topic whole\n  for crate\n  shall sealed\n  says \"x\"\n";
    const auto added = [&](const std::string &change) {
        const std::string before = trial::codes(trial::open(broken).diagnostics);
        const std::string after = trial::codes(trial::open(broken, {change}).diagnostics);
        return after == before ? "nothing more" : after;
    };
    CHECK(added("delete rule 1.1\n") == "nothing more");
    CHECK(added("delete section 1.1\n") == "nothing more");
    CHECK(added("replace rule 1.1 \"Seals\" from 00000000\n  topic seals\n  for crate\n"
                "  shall sealed\n  says \"x\"\n") == "nothing more");
    CHECK(added("add to item vat\n  high : length measure \"How high?\"\n") == "nothing more");
    CHECK(added("change table 1.2 [1 A] from 1 A to 2 A\n") == "nothing more");
    CHECK(added("add to item barrel\n  high : length measure \"How high?\"\n").find("no-target") !=
          std::string::npos);
    CHECK(added("delete rule 1.4\n").find("no-target") != std::string::npos);
}
