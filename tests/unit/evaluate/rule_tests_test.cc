// The tests beside the rules: what a failing one is told, which ones are run, and what they reach.

#include "evaluate/check_tests.h"
#include "evaluate/rule_tests.h"
#include "evaluate/situation.h"
#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;

const std::string words = trial::vocabulary +
                          "\nimply crate \"What blue says\"\n"
                          "  sealed = if colour is blue then yes otherwise unknown\n";

const std::string rules = R"(table 310.16 "T"
  gives current
  by    wire : conductor_size
  8 AWG | 40 A
  6 AWG | --
  4 AWG | 60 A

rule 1.1 "Loads"
  topic  loads
  for    crate
  shall  load at most table 310.16 [wire] and count(p in pieces) at most 2
  says   "Too much."
  listed (1) "Red" where colour is red
  listed (2) "Green" where colour is green
  except 1 "Approved" where approved
  except 2 not encoded "Something of old" where made less than 2000-01-01

rule 1.2 "Seals"
  topic  seals
  for    crate
  says   "Open."
  path (1) "Sealed" where sealed
  path (2) "Wide" where width at least 1 ft

)";

// What the failing tests are told, a line each.
std::string failures(const std::string &tests) {
    const trial::Compiled c = trial::compiled(trial::open(rules + tests, {}, words));
    std::string out;
    for (const evaluate::TestFailure &f : evaluate::run_rule_tests(*c.book, c.program).failures)
        out += (out.empty() ? "" : "\n") + f.message;
    return out;
}

const std::string red =
    "test loads \"Red\"\n  given job.work = new, crate.colour = red, crate.wire "
    "= 8 AWG, crate.approved = no, crate.made = 2020-01-01, complete "
    "crate.pieces";

} // namespace

TEST_CASE("tests: one that holds is told nothing") {
    CHECK(failures(red + ", crate.load = 40 A\n  expect complies (1.1(1))\n"
                         "  with crate.load = 41 A expect violates\n"
                         "  without crate.wire expect undetermined\n"
                         "  with crate.approved = yes expect not_applicable\n")
              .empty());
}

TEST_CASE("tests: one that is wrong about itself is told so and is not run") {
    CHECK(failures("test lods \"Misspelt\"\n  given crate.load = 3 A\n  expect complies\n") ==
          "no rule of this book has the topic `lods`; did you mean `loads`?");
    CHECK(failures("test loads \"Misspelt\"\n  given crate.laod = 3 A\n  expect maybe\n") ==
          "`laod` is no field of crate; did you mean `load`?\n"
          "`maybe` is no verdict; verdicts: complies, violates, not_applicable, undetermined");
}

TEST_CASE("tests: facts that contradict each other are told, and have no verdict") {
    CHECK(failures("test seals \"Blue\"\n  given crate.colour = blue, crate.sealed = no\n"
                   "  expect violates\n") ==
          "the given facts contradict each other about `sealed`");
}

TEST_CASE("tests: another citation than the finding carries is a failure") {
    CHECK(failures(red + ", crate.load = 40 A\n  expect complies (1.1(2))\n") ==
          "expected the citation 1.1(2), the finding carries 1.1(1)");
}

TEST_CASE("tests: a verdict that is open where another is expected tells what is open") {
    const std::string says = "expected complies, the rule 1.1 says undetermined; open: ";
    CHECK(failures(red + "\n  expect complies\n") == says + "crate.load");
    CHECK(failures(red + ", crate.load = 41 A\n  without crate.approved, crate.colour\n"
                         "  expect complies\n") == says + "crate.colour, crate.approved");
    CHECK(failures("test loads \"One piece\"\n  given job.work = new, crate.colour = red, "
                   "crate.wire = 8 AWG, crate.approved = no, crate.made = 2020-01-01, "
                   "crate.load = 40 A, piece.loose = no\n  expect complies\n") ==
          says + "is crate.pieces complete");
    CHECK(failures(red + ", crate.load = 40 A\n  with crate.wire = 6 AWG expect complies\n") ==
          says + "table 310.16 has no entry for 6 AWG");
    CHECK(failures(red + ", crate.load = 41 A\n  with crate.made = 1999-01-01 expect violates\n") ==
          "expected violates, the rule 1.1 says undetermined; open: something not encoded");
}

TEST_CASE("tests: an item that no fact is told of is there nevertheless") {
    CHECK(failures("test loads \"A crate\"\n  given job.work = new\n  expect undetermined\n")
              .empty());
    CHECK(failures("test loads \"An old crate\"\n  given job.work = existing\n"
                   "  expect not_applicable\n")
              .empty());
}

TEST_CASE("tests: a fact that is left out twice is left out") {
    CHECK(failures("test seals \"Sealed\"\n  given job.work = new, crate.sealed = yes\n"
                   "  expect complies\n"
                   "  without crate.sealed, crate.sealed expect undetermined\n")
              .empty());
}

TEST_CASE("tests: what can't be given is told with what can") {
    const std::vector<std::pair<std::string, std::string>> wrong = {
        {"another job", "there is one job"},
        {"complete crate.peices", "`peices` is no list of crate; did you mean `pieces`?"},
        {"complete crate.zzzzzz", "`zzzzzz` is no list of crate; crate has: pieces"},
        {"drum.load = 3 A", "`drum` is no item"},
        {"crate.load = yes", "crate.load is a current, and \"yes\" stands here"},
        {"crate.load = 3", "crate.load is a current, and a number stands here; it is written with "
                           "its unit: A, mA, kA"},
        {"crate.load = 3 V", "crate.load is a current, and a voltage stands here"},
        {"crate.load = 8 AWG", "crate.load is a current, and a conductor_size stands here"},
        {"crate.made = 3", "crate.made is a date, and a number stands here"},
        {"crate.sealed = red", "crate.sealed is a yes_no, and \"red\" stands here; write `yes` or "
                               "`no`"},
        {"crate.colour = gren", "\"gren\" is no choice of crate.colour; did you mean \"green\"?"},
        {"crate.load = --", "crate.load is a current, and nothing stands here; a fact that is not "
                            "known is left out"},
    };
    for (const auto &[fact, message] : wrong) {
        const std::string told =
            failures("test loads \"Wrong\"\n  given " + fact + "\n  expect complies\n");
        INFO(fact << ": " << told);
        CHECK(told.starts_with(message));
    }
    CHECK(failures("test loads \"Wrong\"\n  given crate.zzzzzzzz = 3 A\n  expect complies\n")
              .starts_with("`zzzzzzzz` is no field of crate; crate has: work, load, "));
}

TEST_CASE("tests: those for some editions are run in these alone") {
    const auto cases = [](const std::string &edition) {
        const std::vector<book::NamedText> texts = {
            {"words.rules", words},
            {"empty.rules", ""},
            {"one.rules", "edition trial-1\n  title \"One\"\n  publisher \"Nobody\"\n"},
            {"two.rules", "edition trial-2\n  title \"Two\"\n  publisher \"Nobody\"\n"},
            {"both.rules",
             "part of trial-1, trial-2\n\n" + rules +
                 "test seals \"Sealed\" in trial-2\n  given job.work = new, crate.sealed = yes\n"
                 "  expect complies\n"
                 "test seals \"Open\"\n  given job.work = new, crate.sealed = no, crate.width = 6 "
                 "in\n  expect violates\n"}};
        const trial::Compiled c = trial::compiled(book::open_book(edition, texts));
        const evaluate::TestOutcome outcome = evaluate::run_rule_tests(*c.book, c.program);
        CHECK(outcome.failures.empty());
        return outcome.cases;
    };
    CHECK(cases("trial-1") == 1);
    CHECK(cases("trial-2") == 2);
}

TEST_CASE("tests: rules, parts and cells that they reach are counted, the others named") {
    const trial::Compiled c = trial::compiled(
        trial::open(rules + red + ", crate.load = 40 A\n  expect complies\n", {}, words));
    const evaluate::TestOutcome outcome = evaluate::run_rule_tests(*c.book, c.program);
    const evaluate::Coverage &reached = outcome.reached;
    CHECK(reached.rules().reached == 1);
    CHECK(reached.rules().all == 2);
    CHECK(reached.parts().reached == 1); // listed (1)
    CHECK(reached.parts().all == 5);     // one of the exceptions is not encoded
    CHECK(reached.tested(0));
    CHECK_FALSE(reached.tested(1));
    std::size_t table = 0;
    while (c.book->tables[table].name != "310.16" || c.book->tables[table].cells.size() != 3)
        ++table;
    CHECK(reached.read(table, 0));
    CHECK_FALSE(reached.read(table, 1));
    const std::vector<std::string> unreached = reached.unreached();
    const auto names = [&](const std::string &text) {
        return std::find(unreached.begin(), unreached.end(), text) != unreached.end();
    };
    CHECK(names("no test reaches listed (2) of rule 1.1 (loads)"));
    CHECK(names("no test reaches except 1 of rule 1.1 (loads)"));
    CHECK_FALSE(names("no test reaches except 2 of rule 1.1 (loads)"));
    CHECK(names("no test reaches rule 1.2 (seals)"));
    CHECK(names("table 310.16: 1 of 2 cells reached"));
}

TEST_CASE("tests: cells are counted if they are filled, in whichever table") {
    const auto count = [](const std::string &tests) {
        const trial::Compiled c = trial::compiled(trial::open(rules + tests, {}, words));
        return evaluate::run_rule_tests(*c.book, c.program).reached.cells();
    };
    const evaluate::Coverage::Counts none = count("");
    const evaluate::Coverage::Counts one = count(red + ", crate.load = 40 A\n  expect complies\n");
    CHECK(one.all == none.all);
    CHECK(one.reached == none.reached + 1);
    CHECK(one.reached < one.all);
}

TEST_CASE("tests: an exception without a number is named by what it is") {
    const trial::Compiled c = trial::compiled(trial::open(
        "rule 1.1 \"R\"\n  topic r\n  for crate\n  shall sealed\n  says \"No.\"\n  except "
        "\"Approved\" where approved\ntest r \"Sealed\"\n  given job.work = new, crate.sealed = "
        "yes\n  expect complies\n"));
    const std::vector<std::string> unreached =
        evaluate::run_rule_tests(*c.book, c.program).reached.unreached();
    CHECK(std::find(unreached.begin(), unreached.end(), "no test reaches except of rule 1.1 (r)") !=
          unreached.end());
}

TEST_CASE("tests: a table of which every cell is reached is not named") {
    const trial::Compiled c = trial::compiled(trial::open(
        "table 1.9 \"T\"\n  gives current\n  by wire : conductor_size\n  8 AWG | 40 A\n" +
        trial::rule_that("load at most table 1.9 [wire]", "single") +
        "test single \"40 A\"\n  given job.work = new, crate.wire = 8 AWG, crate.load = 40 A\n"
        "  expect complies\n"));
    for (const std::string &text : evaluate::run_rule_tests(*c.book, c.program).reached.unreached())
        CHECK(text.find("1.9") == std::string::npos);
}

TEST_CASE("tests: facts that can't be make no job") {
    const trial::Compiled c = trial::compiled(
        trial::open(rules + "test seals \"Wrong\"\n  given crate.sealed = 3 A\n  expect complies\n",
                    {}, words));
    const std::vector<const ast::TestDecl *> tests = evaluate::tests_of(*c.book);
    REQUIRE(tests.size() == 1);
    Diagnostics faults;
    CHECK_FALSE(evaluate::job_of(*c.book, *tests[0], tests[0]->cases[0], 1, faults));
    CHECK(trial::codes(faults) == "wrong-type");
}
