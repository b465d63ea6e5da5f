// What is told about the text of a layer as a whole: its tests, what they do not reach, and names
// and numbers that stand for two things.

#include "trial.h"

#include "evaluate/review.h"
#include "evaluate/rule_tests.h"
#include "evaluate/untested.h"
#include "text/limits.h"

#include "catch.h"

namespace {

using namespace groundrule;

const std::string base = R"(group lively of crate_colour = (red, green)

rule 210.8(A) "Crates"
  topic    boxed
  for      crate
  limit    highest = 250 V
  where    volts : supply at most highest
  shall    sealed
  says     "Not sealed."
  listed   (1) "Red" where colour is red
  listed   (2) "Green" where colour is green
  except   1 "Approved" where approved

rule 210.9 "Wires"
  topic    wires
  for      crate
  shall    load at most carries
  says     "Too much."

rule 210.10 "Ratings"
  topic    ratings
  for      crate
  where    bright : shade is lively
  shall    rating at most rating_for(load)
  says     "Too large."

table 310.16 "T"
  gives current
  by    wire : conductor_size, sealed : yes_no
  sealed | yes  | no
  8 AWG  | 40 A | 35 A
  6 AWG  | 55 A | 45 A

list 240.6(A) "L" of current
  = 15 A, 20 A, 30 A

define crate.carries : current "What the wire carries"
  = table 310.16 [wire, sealed]

define rating_for(i : current) : current
  = smallest(s in list 240.6(A) where s at least i)
)";

const std::string words =
    trial::vocabulary + "\ntype crate_colour : one of (red, green, blue)\n\n" +
    "item drum in job as drums \"A drum\"\n  tight : yes_no measure \"Is it tight?\"\n";

// The warnings and faults of the topmost layer, one a line: its code, its line in the layer's own
// text, and its message.
std::string told_of(const std::vector<std::string> &amendments, const std::string &edition) {
    std::string vocabulary = words;
    const std::string at = "  approved :";
    vocabulary.insert(vocabulary.find(at),
                      "  shade    : crate_colour                choice     \"Which shade?\"\n");
    const book::Opened opened = trial::open(edition, amendments, vocabulary);
    if (!opened.book)
        return trial::faults(opened);
    Diagnostics all;
    evaluate::review(*opened.book, all);
    all.sort();
    std::string out;
    for (const Diagnostic &d : all.list()) {
        const SourceText &source = opened.book->sources[d.span.file];
        if (source.name() == "layer-" + std::to_string(amendments.size()) + ".rules")
            out += (out.empty() ? "" : "\n") + d.code + " " +
                   std::to_string(source.place(d.span.begin).line - 3) + ": " + d.message;
    }
    return out;
}

std::string told(const std::string &amendment, const std::string &edition = base) {
    return told_of({amendment}, edition);
}

const std::string test_of_boxed = "test boxed \"A red crate\"\n  given  job.work = new, "
                                  "crate.colour = red, crate.supply = 120 V, "
                                  "crate.sealed = no, crate.approved = no\n  expect violates\n";
const std::string test_of_wires =
    "test wires \"35 A\"\n  given  job.work = new, crate.wire = 8 AWG, crate.sealed = no, "
    "crate.load = 35 A\n  expect complies\n";
const std::string test_of_ratings =
    "test ratings \"20 A\"\n  given  job.work = new, crate.shade = red, crate.load = 16 A, "
    "crate.rating = 20 A\n  expect complies\n";

} // namespace

TEST_CASE("untested: a change of a rule that no test of the layer is about") {
    const std::string change = "change highest of rule 210.8(A) from 250 V to 300 V\n";
    CHECK(told(change) == "untested 1: no test reaches this: none is about rule 210.8(A) (boxed)");
    CHECK(told(change + test_of_wires) ==
          "untested 1: no test reaches this: none is about rule 210.8(A) (boxed)");
    CHECK(told(change + test_of_boxed).empty());
    CHECK(told("delete exception 1 of rule 210.8(A)\n") ==
          "untested 1: no test reaches this: none is about rule 210.8(A) (boxed)");
    CHECK(
        told("rule 90.1 \"Drums\"\n  topic drums\n  for drum\n  shall tight\n  says \"Open.\"\n") ==
        "untested 1: no test reaches this: none is about rule 90.1 (drums)");
}

TEST_CASE("untested: what asks for nothing, and what is gone, needs no test") {
    CHECK(told("administrative 80.1 \"Fees\"\n").empty());
    CHECK(told("add to rule 210.8(A)\n  note \"A note.\"\n").empty());
    CHECK(told("delete rule 210.8(A)\n").empty());
    CHECK(told("change highest of rule 210.8(A) from 250 V to 300 V\ndelete rule 210.8(A)\n")
              .empty());
}

TEST_CASE("untested: text for several rules is told once, and reached in any of them") {
    const std::string narrower = "narrow article 210 to where made at least 2020-01-01\n";
    CHECK(told(narrower) ==
          "untested 1: no test reaches this: none is about any of the 3 rules that "
          "it changes, rule 210.8(A) (boxed) among them");
    CHECK(told("narrow article 210 to where width at most 6 ft\ntest wires \"Narrow\"\n  given "
               "job.work = new, crate.wire = 8 AWG, crate.sealed = no, crate.load = 35 A, "
               "crate.width = 6 ft\n  expect complies\n")
              .empty());
    const std::string excuse =
        "add to article 210\n  except 9 \"Made early\" where width at most 1 ft\n";
    CHECK(
        told(excuse + test_of_boxed) ==
        "untested 2: no test reaches this: in none does exception 9 of rule 210.8(A) (boxed) hold\n"
        "test-fails 5: expected violates, the rule 210.8(A) says undetermined; open: crate.width");
    CHECK(told(excuse + "test wires \"Excused\"\n  given job.work = new, crate.width = 1 ft\n"
                        "  expect not_applicable\n")
              .empty());
}

TEST_CASE("untested: an exception or part that holds in no test") {
    const std::string excuse =
        "add to rule 210.8(A)\n  except 2 \"Cool\" where heat at most 5 °C\n";
    const std::string test =
        "test boxed \"A red crate\"\n  given job.work = new, crate.colour = red, "
        "crate.supply = 120 V, crate.sealed = no, crate.approved = no, "
        "crate.heat = 20 °C\n  expect violates\n";
    CHECK(
        told(excuse + test) ==
        "untested 2: no test reaches this: in none does exception 2 of rule 210.8(A) (boxed) hold");
    CHECK(told(excuse + test + "  with crate.heat = 5 °C expect not_applicable\n").empty());
    const std::string narrower = "narrow exception 1 of rule 210.8(A) to where heat at most 5 °C\n";
    CHECK(
        told(narrower + test) ==
        "untested 1: no test reaches this: in none does exception 1 of rule 210.8(A) (boxed) hold");
    CHECK(told("add to rule 210.8(A)\n  listed (3) \"Blue\" where colour is blue\n" +
               test_of_boxed) ==
          "untested 2: no test reaches this: in none does part (3) of rule 210.8(A) (boxed) hold");
    CHECK(told("hand_over rule 210.8(A) to \"Other code\" where colour is red and made at least "
               "2020-01-01\n" +
               test_of_wires)
              .starts_with("untested 1: no test reaches this: none is about rule 210.8(A)"));
}

TEST_CASE(
    "untested: what is not written out can't hold, and what displaces a rule has tests itself") {
    const std::string cool =
        "test boxed \"A red crate\"\n  given job.work = new, crate.colour = red, "
        "crate.supply = 120 V, crate.sealed = no, crate.approved = no, "
        "crate.heat = 20 °C\n  expect violates\n";
    CHECK(told("add to rule 210.8(A)\n  except 2 not encoded \"Cool\" where heat at most 5 °C\n" +
               cool)
              .empty());
    CHECK(told("rule 90.2 \"Cool crates\"\n  topic cool\n  displaces boxed\n  for crate\n  where "
               "heat at most 5 °C\n  shall approved\n  says \"Not approved.\"\ntest cool \"Cool\"\n"
               "  given job.work = new, crate.heat = 3 °C, crate.approved = yes\n"
               "  expect complies\n" +
               cool)
              .empty());
}

TEST_CASE("untested: of a text for several rules it is enough that it holds in a test of one") {
    const std::string excuse =
        "add to article 210\n  except 9 \"Made early\" where width at most 1 ft\n";
    const std::string wide = "test boxed \"Wide\"\n  given job.work = new, crate.colour = red, "
                             "crate.supply = 120 V, crate.sealed = no, crate.approved = no, "
                             "crate.width = 2 ft\n  expect violates\n";
    const std::string narrow =
        "test wires \"Excused\"\n  given job.work = new, crate.width = 1 ft\n"
        "  expect not_applicable\n";
    const std::string narrow_first =
        "test boxed \"Narrow\"\n  given job.work = new, crate.width = 1 ft\n"
        "  expect not_applicable\n";
    const std::string wide_later =
        "test wires \"Wide\"\n  given job.work = new, crate.wire = 8 AWG, "
        "crate.sealed = no, crate.load = 35 A, crate.width = 2 ft\n"
        "  expect complies\n";
    CHECK(told(excuse + narrow_first + wide_later).empty());
    CHECK(told(excuse + wide + narrow).empty());
    CHECK(told(excuse + narrow + wide).empty());
}

TEST_CASE("untested: of several layers it is the topmost whose text is looked at") {
    const std::string cool =
        "test boxed \"A red crate\"\n  given job.work = new, crate.colour = red, "
        "crate.supply = 120 V, crate.sealed = no, crate.approved = no, "
        "crate.heat = 20 °C\n  expect violates\n";
    CHECK(
        told_of({"change highest of rule 210.8(A) from 250 V to 300 V\n",
                 "narrow exception 1 of rule 210.8(A) to where heat at most 5 °C\n" + cool},
                base) ==
        "untested 1: no test reaches this: in none does exception 1 of rule 210.8(A) (boxed) hold");
}

TEST_CASE("untested: an edition has no layer whose text could be looked at") {
    const trial::Compiled c = trial::compiled(trial::open(base, {}, [] {
        std::string all = words;
        all.insert(all.find("  approved :"), "  shade : crate_colour choice \"Which shade?\"\n");
        return all;
    }()));
    Diagnostics diagnostics;
    evaluate::find_untested(*c.book, evaluate::run_rule_tests(*c.book, c.program).reached,
                            diagnostics);
    CHECK(diagnostics.size() == 0);
}

TEST_CASE("never: text for several rules is idle if it is so in all of them") {
    const std::string excuse = " \"High\" where supply more than 300 V\n"; // boxed: at most 250 V
    const std::string test =
        "test wires \"Excused\"\n  given job.work = new, crate.supply = 400 V\n"
        "  expect not_applicable\n";
    CHECK(told("add to article 210\n  except 9" + excuse + test).empty());
    CHECK(told("add to rule 210.8(A)\n  except 9" + excuse + test_of_boxed)
              .find("never 2: the exception 9 of rule 210.8(A) (boxed) can never hold") !=
          std::string::npos);
}

TEST_CASE("untested: rows and cells that no test reads") {
    CHECK(told("change table 310.16 [6 AWG, no] from 45 A to 40 A\n" + test_of_wires) ==
          "untested 1: no test reaches this: none reads the row [6 AWG, no] of table 310.16");
    CHECK(told("change table 310.16 [8 AWG, no] from 35 A to 36 A\n" + test_of_wires).empty());
    CHECK(
        told("add to table 310.16\n  12 AWG | 20 A | 15 A\n  10 AWG | 30 A | 25 A\n" +
             test_of_wires) ==
        "untested 2: no test reaches this: none reads the rows [12 AWG], [10 AWG] of table 310.16");
    CHECK(told("delete row [6 AWG] of table 310.16\n") ==
          "untested 1: no test reaches this: none is about a rule that rests on the table 310.16");
    CHECK(told("delete row [6 AWG] of table 310.16\n" + test_of_wires).empty());
    CHECK(told("change table 310.16 [6 AWG, no] from 45 A to --\n" + test_of_wires).empty());
}

TEST_CASE("untested: rows under several keys are named by all of them, and but the first few") {
    const std::string edition =
        base + "table 310.15 \"G\"\n  gives low : current, high : current\n"
               "  by wire : conductor_size, shade : crate_colour\n"
               "  8 AWG | red | 40 A | 45 A\n  8 AWG | green | 35 A | 40 A\n\n"
               "rule 210.11 \"Grid\"\n  topic grid\n  for crate\n  shall load at most table 310.15 "
               "[wire, shade].low\n  says \"Too much.\"\n";
    const std::string test =
        "test grid \"35 A\"\n  given job.work = new, crate.wire = 8 AWG, crate.shade = green, "
        "crate.load = 35 A\n  expect complies\n";
    const std::string add = "add to table 310.15\n";
    const std::string two = "  10 AWG | red | -- | 30 A\n  10 AWG | green | 20 A | 25 A\n";
    const std::string none = "untested 2: no test reaches this: none reads the row";
    CHECK(told(add + two + test, edition) ==
          none + "s [10 AWG, red].high, [10 AWG, green] of table 310.15");
    const std::string four = "  14 AWG | red | 12 A | 15 A\n  14 AWG | green | 10 A | 14 A\n"
                             "  12 AWG | red | 15 A | 20 A\n  12 AWG | green | 14 A | 18 A\n";
    const std::string many = told(add + four + two + test, edition);
    INFO(many);
    CHECK(many.ends_with("and 2 more of table 310.15"));
}

TEST_CASE("untested: what rules rest on, while no test is about such a rule") {
    const std::string rests =
        "untested 1: no test reaches this: none is about a rule that rests on the ";
    CHECK(told("add to list 240.6(A)\n  = 25 A\n") == rests + "list 240.6(A)");
    CHECK(told("add to list 240.6(A)\n  = 25 A\n" + test_of_ratings).empty());
    CHECK(told("add to group lively = (blue)\n" + test_of_wires) == rests + "group lively");
    CHECK(told("add to group lively = (blue)\n" + test_of_ratings).empty());
    const std::string fewer =
        "define crate.half : current\n  = load / 2\nrule 90.1 \"Half\"\n  topic "
        "half\n  for crate\n  shall half at most 9 A\n  says \"Too much.\"\n";
    CHECK(told(fewer) == rests + "definition crate.half\nuntested 3: no test reaches this: none is "
                                 "about rule 90.1 (half)");
    CHECK(told(fewer + "test half \"18 A\"\n  given job.work = new, crate.load = 18 A\n  expect "
                       "complies\n")
              .empty());
}

TEST_CASE("a test of a layer that fails is a fault, those of the edition are not run for it") {
    const std::string of_edition = base +
                                   "\ntest boxed \"Wrong here, and no concern of the layer\"\n"
                                   "  given job.work = new, crate.colour = red\n"
                                   "  expect complies\n";
    const std::string change = "change highest of rule 210.8(A) from 250 V to 300 V\n";
    CHECK(told(change + test_of_boxed, of_edition).empty());
    CHECK(told(change + "test boxed \"Too high\"\n  given job.work = new, crate.colour = red, "
                        "crate.supply = 301 V\n  expect violates\n") ==
          "test-fails 4: expected violates, the rule 210.8(A) says not_applicable");
}

TEST_CASE("hides-name: a limit or reading with the name of a fact or definition") {
    CHECK(
        told("add to rule 210.8(A)\n  limit heat = 20 °C\n" + test_of_boxed) ==
        "hides-name 2: the limit `heat` hides the fact crate.heat: in rule 210.8(A) the name means "
        "the limit");
    CHECK(
        told("add to rule 210.8(A)\n  reading carries = yes \"A reading.\"\n" + test_of_boxed) ==
        "hides-name 2: the reading `carries` hides the definition crate.carries: in rule 210.8(A) "
        "the name means the reading");
    CHECK(told("add to rule 210.8(A)\n  limit tight = 20 °C\n" + test_of_boxed).empty());
}

TEST_CASE("same-number: a rule set beside one that stands, for the same kind of item") {
    const auto own = [](const std::string &item, const std::string &more) {
        return "rule 210.9 \"Own\"\n  topic own\n" + more + "  for " + item + "\n  shall " +
               (item == "crate" ? "sealed" : "tight") +
               "\n  says \"No.\"\ntest own \"One\"\n  given "
               "job.work = new, " +
               (item == "crate" ? "crate.sealed" : "drum.tight") + " = no\n  expect violates\n";
    };
    CHECK(told(own("crate", "")) == "same-number 1: rule 210.9 (wires) stands already and binds "
                                    "the same kind of item; now both "
                                    "hold");
    CHECK(told(own("drum", "")).empty());
    CHECK(told(own("crate", "  displaces wires\n")).find("same-number") == std::string::npos);
}

TEST_CASE("review: a book whose program is too deep is told that, and nothing else") {
    std::string chain = "define f0(a : number) : number = a + 1\n";
    for (std::size_t i = 1; i < limits::definition_depth + 2; ++i)
        chain += "define f" + std::to_string(i) + "(a : number) : number = f" +
                 std::to_string(i - 1) + "(a + 1)\n";
    const book::Opened opened = trial::open(
        chain + trial::rule_that("f" + std::to_string(limits::definition_depth + 1) +
                                 "(share) at least 1 and load at most 3 A and load at least 4 A"));
    REQUIRE(opened.book);
    Diagnostics all;
    evaluate::review(*opened.book, all);
    CHECK(trial::codes(all) == "too-deep");
}
