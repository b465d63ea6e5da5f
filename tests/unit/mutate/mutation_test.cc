// Mutants of small books: which are made, and which of them tests notice.

#include "mutate/survivors.h"

#include "catch.h"

#include <algorithm>

namespace mutate = groundrule::mutate;
using groundrule::mutate::Mutation;
using groundrule::mutate::Refusal;
using survivors::all_of;
using survivors::Lines;
using survivors::survivors_of;
using survivors::told;

namespace {

std::string limited(const std::string &cases) {
    return "rule 1.1 \"A probe\"\n  topic probe\n  for crate\n  limit widest = 4 ft 6 in\n"
           "  shall width at most widest\n  says \"Too wide.\"\n\n"
           "test probe \"Width\"\n  given crate.work = new, crate.width = 4 ft 6 in\n"
           "  expect complies\n" +
           cases;
}

} // namespace

TEST_CASE("a limit that is tested at and just over it leaves no survivor") {
    const Mutation held =
        survivors_of(limited("  with crate.width = 4 ft 6.5 in expect violates\n"));
    CHECK(told(held) == Lines{});
    CHECK(held.mutants == 5); // the limit up and down, two comparisons, the requirement
    CHECK(held.killed() == 5);
}

TEST_CASE("a limit that is tested far over it may be larger") {
    const Mutation loose = survivors_of(limited("  with crate.width = 6 ft expect violates\n"));
    CHECK(told(loose) == Lines{"limit: widest = 4 ft 6 in -> widest = 4 ft 7 in"});
    const auto &survivor = loose.survivors.front();
    CHECK(survivor.subject == "rule 1.1 (probe)");
}

TEST_CASE("figures move by one of the last digit that is written, sizes to the next one made") {
    CHECK(all_of("load at most 40 A") == Lines{"comparison: at most -> less than",
                                               "comparison: at most -> more than",
                                               "figure: 40 A -> 39 A", "figure: 40 A -> 41 A",
                                               "requirement: load at most 40 A -> left out"});
    const auto figures = [](const std::string &condition) {
        Lines out = all_of(condition);
        std::erase_if(out, [](const std::string &s) {
            return !s.starts_with("figure") && !s.starts_with("unit");
        });
        return out;
    };
    CHECK(figures("share at most 100 %") ==
          Lines{"figure: 100 % -> 101 %", "figure: 100 % -> 99 %"});
    CHECK(figures("share at most 0.9") == Lines{"figure: 0.9 -> 0.8", "figure: 0.9 -> 1.0"});
    CHECK(figures("width at most 0 in") == Lines{"figure: 0 in -> 1 in"});
    CHECK(figures("width at most 1 1/4 in") ==
          Lines{"figure: 1 1/4 in -> 1 0/4 in", "figure: 1 1/4 in -> 1 2/4 in"});
    CHECK(figures("width at most 6 ft") ==
          Lines{"figure: 6 ft -> 5 ft", "figure: 6 ft -> 7 ft", "unit: 6 ft -> 6 in"});
    CHECK(figures("wire at least 8 AWG") ==
          Lines{"figure: 8 AWG -> 10 AWG", "figure: 8 AWG -> 6 AWG"});
    CHECK(figures("made at least 2020-01-01") ==
          Lines{"figure: 2020-01-01 -> 2019-12-31", "figure: 2020-01-01 -> 2020-01-02"});
}

TEST_CASE("logic, choices and ranges lose one piece at a time") {
    CHECK(all_of("sealed and approved") ==
          Lines{"logic: and -> or", "logic: approved -> left out",
                "logic: approved -> not approved", "logic: sealed -> left out",
                "logic: sealed -> not sealed", "requirement: sealed and approved -> left out"});
    Lines listed = all_of("colour is one of (red, blue)");
    CHECK(listed.size() == 4);
    listed.pop_back(); // the requirement itself
    CHECK(listed ==
          Lines{"choice: blue -> left out", "choice: is -> is not", "choice: red -> left out"});
    CHECK(all_of("colour is not green") == Lines{"choice: green -> left out",
                                                 "choice: is not -> is",
                                                 "requirement: colour is not green -> left out"});
    const Lines range = all_of("load from 1 A to 9 A");
    CHECK(std::count(range.begin(), range.end(), "logic: from -> left out") == 1);
    CHECK(std::count(range.begin(), range.end(), "logic: to -> left out") == 1);
    CHECK(std::count(range.begin(), range.end(), "logic: and -> or") == 0);
}

TEST_CASE("a cell is killed only by a look-up that lands on it") {
    const std::string rules =
        "table 1.2 \"Ratings\"\n  gives current\n  by width : length at most\n"
        "  10 in | 10 A\n  20 in | 20 A\n\n" +
        trial::rule_that("load at most table 1.2 [width]") +
        "test probe \"Narrow\"\n  given crate.work = new, crate.width = 10 in, crate.load = 10 A\n"
        "  expect complies\n  with crate.load = 10.5 A expect violates\n"
        "  with crate.width = 10.5 in, crate.load = 15 A expect complies\n";
    CHECK(told(survivors_of(rules)) ==
          Lines{"table bound: 20 in -> 19 in", "table bound: 20 in -> 20 ft",
                "table bound: 20 in -> 21 in", "table cell: 20 A -> 19 A",
                "table cell: 20 A -> 21 A"});
}

TEST_CASE("what stands once for several rules is one mutant, and any rule's test kills it") {
    const std::string rules =
        "clause 1.3 \"Sealed crates\"\n  topic sealed_crates\n  for crate\n"
        "  limit widest = 5 A\n  where sealed\n\n"
        "rule 1.1 \"Load\"\n  topic first\n  within sealed_crates\n"
        "  shall load at most widest\n  says \"No.\"\n\n"
        "rule 1.2 \"Rating\"\n  topic second\n  within sealed_crates\n"
        "  shall rating at most widest\n  says \"No.\"\n\n"
        "test first \"Sealed\"\n  given crate.work = new, crate.sealed = yes, crate.load = 5 A\n"
        "  expect complies\n  with crate.load = 5.5 A expect violates\n"
        "  with crate.sealed = no expect not_applicable\n";
    CHECK(told(survivors_of(rules)) == Lines{"comparison: at most -> less than",
                                             "comparison: at most -> more than",
                                             "requirement: rating at most widest -> left out"});
}

TEST_CASE("a layer answers for what it says itself") {
    const std::string base = limited("  with crate.width = 6 ft expect violates\n");
    const Mutation layer = survivors_of(
        base, {"change widest of rule 1.1 from 4 ft 6 in to 3 ft\n\n"
               "test probe \"Narrower\"\n  given crate.work = new, crate.width = 3 ft\n"
               "  expect complies\n  with crate.width = 5 ft expect violates\n"});
    CHECK(told(layer) == Lines{"limit: widest = 3 ft -> widest = 4 ft"});
    CHECK(layer.mutants == 3);
}

TEST_CASE("what only a message tells is not changed") {
    const Mutation m = survivors_of("define crate.twice : current\n  = load * 2\n\n"
                                    "rule 1.1 \"A probe\"\n  topic probe\n  for crate\n"
                                    "  shall sealed\n  says \"Twice is {twice}.\"\n\n");
    CHECK(told(m) == Lines{"logic: sealed -> not sealed", "requirement: sealed -> left out"});
}

TEST_CASE("a failing test, and a file that is not there, are refused") {
    Mutation out;
    const auto failing = trial::open(limited("  with crate.width = 1 ft expect violates\n"));
    REQUIRE(failing.book != nullptr);
    CHECK(mutate::mutate(*failing.book, {}, out) == Refusal::failing_tests);
    CHECK(mutate::mutate(*failing.book, {"other.rules", 1}, out) == Refusal::no_such_file);
    CHECK(out.mutants == 0);
}

TEST_CASE("the number of threads changes nothing") {
    const auto opened = groundrule::book::open_book("nec-2017+tia-17-2");
    REQUIRE(opened.book != nullptr);
    Mutation one;
    Mutation four;
    REQUIRE(mutate::mutate(*opened.book, {"", 1}, one) == Refusal::none);
    REQUIRE(mutate::mutate(*opened.book, {"", 4}, four) == Refusal::none);
    CHECK(one.mutants == four.mutants);
    CHECK(told(one) == told(four));
}
