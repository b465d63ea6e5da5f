// Which mutants are made of each form of the language, and of tables and lists.

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

// Those of one kind.
Lines of_kind(const std::string &kind, Lines lines) {
    std::erase_if(lines, [&](const std::string &s) { return !s.starts_with(kind + ": "); });
    return lines;
}

Lines of_kind(const std::string &kind, const std::string &condition) {
    return of_kind(kind, all_of(condition));
}

const std::string ratings = "list 240.6(A) \"Ratings\" of current\n  = 1 A, 2 A, 4 A\n\n"
                            "list 240.7 \"Nobody's\" of current\n  = 7 A\n\n";

Refusal refusal_of(const std::string &test) {
    const auto opened = trial::open(trial::rule_that("sealed") + test);
    INFO(trial::faults(opened));
    REQUIRE(opened.book != nullptr);
    Mutation out;
    return mutate::mutate(*opened.book, {"trial.rules", 1}, out);
}

} // namespace

TEST_CASE("rounding goes the other way, or is left out") {
    CHECK(all_of("round_down(load to 5 A) at most 10 A") ==
          Lines{"comparison: at most -> less than", "comparison: at most -> more than",
                "figure: 10 A -> 11 A", "figure: 10 A -> 9 A", "figure: 5 A -> 4 A",
                "figure: 5 A -> 6 A",
                "requirement: round_down(load to 5 A) at most 10 A -> left out",
                "rounding: round_down -> round_up", "rounding: round_down(load to 5 A) -> load"});
    CHECK(of_kind("rounding", "round_up(load to 5 A) at most 10 A") ==
          Lines{"rounding: round_up -> round_down", "rounding: round_up(load to 5 A) -> load"});
    CHECK(of_kind("rounding", "round_nearest(load to 5 A) at most 10 A") ==
          Lines{"rounding: round_nearest -> round_down",
                "rounding: round_nearest(load to 5 A) -> load"});
}

TEST_CASE("a product with a number may be a quotient, one of two quantities may not") {
    CHECK(of_kind("arithmetic", "load * 2 at most 10 A") == Lines{"arithmetic: * -> /"});
    CHECK(of_kind("arithmetic", "load / 2 at most 10 A") == Lines{"arithmetic: / -> *"});
    CHECK(of_kind("arithmetic", "load * supply at most 10 VA") == Lines{});
    CHECK(of_kind("arithmetic", "load + rating at most 10 A") == Lines{"arithmetic: + -> -"});
    CHECK(of_kind("arithmetic", "(load - rating) * 2 at most 10 A") ==
          Lines{"arithmetic: * -> /", "arithmetic: - -> +"});
    CHECK(of_kind("function", "larger_of(load, rating) at most 10 A") ==
          Lines{"function: larger_of -> smaller_of"});
}

TEST_CASE("a search goes from the other end, over the other kind, and without its filter") {
    CHECK(of_kind("search", "any(p in pieces where p.loose : p.draw at least 2 A)") ==
          Lines{"search: any -> all", "search: where p.loose -> left out"});
    CHECK(of_kind("search",
                  told(survivors_of(ratings + trial::rule_that("load at most largest(s in list "
                                                               "240.6(A) where s less than "
                                                               "rating)")))) ==
          Lines{"search: largest -> smallest", "search: where s less than rating -> left out"});
    CHECK(of_kind("search", "min(p in pieces : p.draw) at least 2 A") ==
          Lines{"search: min -> max"});
}

TEST_CASE("whether a list is complete, and whether another rule applies, is negated") {
    CHECK(of_kind("logic", "complete(pieces)") ==
          Lines{"logic: complete(pieces) -> not complete(pieces)"});
    // Asked twice, the other rule's scope is one thing all the same.
    const std::string other = "rule 1.2 \"Other\"\n  topic other\n  for crate\n"
                              "  where applies(probe)\n  shall approved or applies(probe)\n"
                              "  says \"No.\"\n\n";
    CHECK(of_kind("logic", told(survivors_of(trial::rule_that("sealed") + other))) ==
          Lines{"logic: applies(probe) -> left out", "logic: applies(probe) -> not applies(probe)",
                "logic: applies(probe) -> not applies(probe)", "logic: approved -> left out",
                "logic: approved -> not approved", "logic: or -> and",
                "logic: sealed -> not sealed"});
}

TEST_CASE("what stands in brackets, and a parameter, are changed as others are") {
    CHECK(of_kind("logic", "(sealed) and approved").size() == 5);
    const Lines lines =
        of_kind("logic", told(survivors_of("define both(s : yes_no, t : yes_no) : yes_no\n"
                                           "  = s and t\n\n" +
                                           trial::rule_that("both(sealed, approved)"))));
    CHECK(std::count(lines.begin(), lines.end(), "logic: s -> not s") == 1);
    CHECK(std::count(lines.begin(), lines.end(), "logic: and -> or") == 1);
}

TEST_CASE("the side of an `if` that a reading or a constant switches off is not changed") {
    const std::string rule = "rule 1.1 \"A probe\"\n  topic probe\n  for crate\n"
                             "  reading strict = yes \"Read strictly.\"\n  limit spare = 7 A\n"
                             "  shall load at most (if strict then 5 A otherwise 50 A)\n"
                             "  says \"No.\"\n\n";
    CHECK(of_kind("figure", told(survivors_of(rule))) ==
          Lines{"figure: 5 A -> 4 A", "figure: 5 A -> 6 A"});
    // A limit that nothing reads decides nothing.
    CHECK(of_kind("limit", told(survivors_of(rule))) ==
          Lines{"limit: strict = yes -> strict = no"});
    CHECK(of_kind("figure", "load at most (if no then 5 A otherwise 50 A)") ==
          Lines{"figure: 50 A -> 49 A", "figure: 50 A -> 51 A", "figure: no -> yes"});
    CHECK(of_kind("figure", "load at most (if sealed then 5 A otherwise 50 A)").size() == 4);
}

TEST_CASE("no figure is made that could not be written") {
    CHECK(of_kind("figure", "load at most 9007199254 A") ==
          Lines{"figure: 9007199254 A -> 9007199253 A"});
    CHECK(of_kind("figure", "wire at least 18 AWG") == Lines{"figure: 18 AWG -> 16 AWG"});
    CHECK(of_kind("figure", "wire at most 2000 kcmil") ==
          Lines{"figure: 2000 kcmil -> 1750 kcmil"});
    const std::string lamps = "item lamp in job as lamps \"A lamp\"\n"
                              "  kind : one of (only)  choice  \"Which kind?\"\n\n"
                              "rule 1.1 \"Lamps\"\n  topic lamps\n  for lamp\n"
                              "  shall kind = only\n  says \"No.\"\n\n";
    CHECK(told(survivors_of(lamps)) ==
          Lines{"logic: kind = only -> not kind = only", "requirement: kind = only -> left out"});
}

TEST_CASE("a value of a list moves between its neighbours, where a rule searches the list") {
    const std::string rule = trial::rule_that("rating at most smallest(s in list 240.6(A) where s "
                                              "at least load) and load at most largest(s in list "
                                              "240.6(A))");
    CHECK(of_kind("list value", told(survivors_of(ratings + rule))) ==
          Lines{"list value: 1 A -> 0 A", "list value: 2 A -> 3 A", "list value: 4 A -> 3 A",
                "list value: 4 A -> 5 A"});
    const std::string test = "test probe \"Second\"\n  given crate.work = new, crate.load = 2 A, "
                             "crate.rating = 2 A\n  expect complies\n"
                             "  with crate.rating = 2.5 A expect violates\n";
    CHECK(of_kind("list value", told(survivors_of(ratings + rule + test))) ==
          Lines{"list value: 1 A -> 0 A", "list value: 4 A -> 3 A", "list value: 4 A -> 5 A"});
}

TEST_CASE("of a table, cells that are written in columns that a rule reads are changed") {
    const std::string table = "table 1.2 \"T\"\n  gives low : current, high : current\n"
                              "  by width : length at most\n  10 in | 10 A | 1 A\n"
                              "  20 in | --   | 2 A\n\n";
    CHECK(of_kind("table cell", told(survivors_of(table + trial::rule_that("load at most table 1.2 "
                                                                           "[width].low")))) ==
          Lines{"table cell: 10 A -> 11 A", "table cell: 10 A -> 9 A"});
}

TEST_CASE("a value that is implied is noticed by a test that gives it, though no rule reads it") {
    const auto with = [](const std::string &given) {
        return of_kind("figure",
                       told(survivors_of("imply crate \"A standard\"\n"
                                         "  rating = if sealed then 20 A otherwise unknown\n\n" +
                                         trial::rule_that("load at most rating", "reader") +
                                         trial::rule_that("approved") +
                                         "test probe \"Sealed\"\n  given crate.work = new, "
                                         "crate.sealed = yes, crate.approved = yes" +
                                         given +
                                         "\n  expect complies\n"
                                         "  with crate.approved = no expect violates\n")));
    };
    CHECK(with("") == Lines{"figure: 20 A -> 19 A", "figure: 20 A -> 21 A"});
    CHECK(with(", crate.rating = 20 A") == Lines{});
}

TEST_CASE("a mutant that one rule's test has killed is not tried on the next one's") {
    const std::string rules =
        "clause 1.3 \"Sealed crates\"\n  topic sealed_crates\n  for crate\n  where sealed\n\n"
        "rule 1.1 \"Load\"\n  topic first\n  within sealed_crates\n"
        "  shall load at most 5 A\n  says \"No.\"\n\n"
        "rule 1.2 \"Rating\"\n  topic second\n  within sealed_crates\n"
        "  shall rating at most 5 A\n  says \"No.\"\n\n";
    std::string tests;
    for (const auto &[topic, fact] :
         std::vector<std::pair<std::string, std::string>>{{"first", "load"}, {"second", "rating"}})
        tests += "test " + topic +
                 " \"Sealed\"\n  given crate.work = new, crate.sealed = yes, crate." + fact +
                 " = 5 A\n  expect complies\n  with crate." + fact +
                 " = 5.5 A expect violates\n  with crate.sealed = no expect not_applicable\n\n";
    CHECK(told(survivors_of(rules + tests)) == Lines{});
}

TEST_CASE("tests that say what can't be are refused as failing ones are") {
    const std::string given = "test probe \"T\"\n  given crate.work = new, crate.sealed = yes\n";
    CHECK(refusal_of(given + "  expect complies\n") == Refusal::none);
    CHECK(refusal_of(given + "  expect violates\n") == Refusal::failing_tests);
    CHECK(refusal_of(given + "  expect sometimes\n") == Refusal::failing_tests);
    CHECK(refusal_of("test prob \"T\"\n  given crate.work = new\n  expect complies\n") ==
          Refusal::failing_tests);
    CHECK(refusal_of("test probe \"T\"\n  given crate.wrok = new\n  expect complies\n") ==
          Refusal::failing_tests);
}

TEST_CASE("a file is found by its name, by its end, and by a longer path to it") {
    const auto opened = groundrule::book::open_book(
        "trial-1", {{"words.rules", trial::vocabulary},
                    {"empty.rules", "# nothing yet\n"},
                    {"city/trial.rules", trial::edition_head + trial::rule_that("sealed")}});
    REQUIRE(opened.book != nullptr);
    const auto made = [&](const std::string &file) {
        Mutation out;
        const Refusal refusal = mutate::mutate(*opened.book, {file, 1}, out);
        return refusal == Refusal::none ? static_cast<int>(out.mutants) : -1;
    };
    CHECK(made("city/trial.rules") == 2);
    CHECK(made("trial.rules") == 2);
    CHECK(made("/home/city/trial.rules") == 2);
    CHECK(made("rial.rules") == -1);
    CHECK(made("empty.rules") == 0);
    CHECK(made("") >= 2); // with what the words imply
}
