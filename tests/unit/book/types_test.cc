// Names, types and dimensions, and what leads back to itself.

#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;
using trial::rule_that;

std::string codes(const std::string &rules) {
    return trial::codes(trial::open(rules).diagnostics);
}

// The message of the only fault of a condition.
std::string message(const std::string &condition) {
    const book::Opened opened = trial::open(rule_that(condition));
    INFO(trial::faults(opened));
    REQUIRE(opened.diagnostics.size() == 1);
    return opened.diagnostics.list().front().message;
}

std::string cycle_of(const std::string &rules) {
    const book::Opened opened = trial::open(rules);
    if (opened.book)
        return "";
    REQUIRE(trial::codes(opened.diagnostics) == "cycle");
    return opened.diagnostics.list().front().message;
}

bool names(const std::string &text, const std::string &a, const std::string &b) {
    return text.find(a) != std::string::npos && text.find(b) != std::string::npos;
}

} // namespace

TEST_CASE("adding amperes to volts says so") {
    const std::string m = message("load + supply at most 50 A");
    INFO(m);
    CHECK(names(m, "current", "voltage"));
}

TEST_CASE("comparing needs one dimension on both sides, and names both") {
    CHECK(names(message("load at most 50 V"), "current", "voltage"));
    CHECK(names(message("load at most 50"), "current", "number"));
    CHECK(names(message("load * supply at most 50 A"), "power", "current"));
    CHECK(names(message("wire at least 8"), "conductor_size", "number"));
    CHECK(names(message("heat at most 30 °C rise"), "temperature", "temperature_difference"));
}

TEST_CASE("truths, choices and sizes have no arithmetic, choices no order") {
    for (const char *condition :
         {"sealed + sealed = 1", "wire + wire at least 8 AWG", "colour at least colour",
          "load and sealed", "not load", "sealed at most sealed", "heat + heat at most 3 °C",
          "heat * 2 at most 3 °C", "load", "sealed is red", "colour is 3 A"})
        CHECK_FALSE(codes(rule_that(condition)).empty());
}

TEST_CASE("a misspelt name is answered with the nearest known one") {
    const auto help = [](const std::string &condition) {
        const book::Opened opened = trial::open(rule_that(condition));
        REQUIRE(opened.diagnostics.size() == 1);
        return opened.diagnostics.list().front().help;
    };
    CHECK(names(help("laod at most 50 A"), "did you mean", "load"));
    CHECK(names(help("colour is gren"), "did you mean", "green"));
    CHECK(names(help("all(p in peices : p.loose)"), "did you mean", "pieces"));
    CHECK(names(help("any(p in pieces : p.lose)"), "did you mean", "loose"));
}

TEST_CASE("nothing can ask whether a value is known") {
    CHECK(codes(rule_that("load = unknown")) == "unknown-value");
    CHECK_FALSE(codes(rule_that("load is unknown")).empty());
}

TEST_CASE("the same name twice is told") {
    const std::string define = "define crate.spare : current\n  = rating - load\n\n";
    CHECK(codes(define + define) == "defined-twice");
    CHECK(codes("define crate.load : current\n  = rating\n") == "defined-twice");
    CHECK(codes(rule_that("sealed") + rule_that("sealed")) == "topic-twice");
    CHECK(codes("group dark of work = (new)\n\ngroup dark of work = (new)\n") == "declared-twice");
    CHECK(codes("list \"l\" \"L\" of current\n  = 1 A\n\ntable \"t\" \"T\"\n  gives current\n"
                "  by a : number\n  1 | 1 A\n\ntable \"t\" \"T\"\n  gives current\n"
                "  by a : number\n  1 | 1 A\n") == "declared-twice");
}

TEST_CASE("a list that stands already is told") {
    const std::string list = "list \"l\" \"L\" of current\n  = 1 A\n\n";
    CHECK(codes(list + list) == "declared-twice");
}

TEST_CASE("a rule needs a topic, an item, a requirement and a message") {
    CHECK_FALSE(codes("rule 1.1 \"R\"\n  for crate\n  shall sealed\n  says \"x\"\n").empty());
    CHECK_FALSE(codes("rule 1.1 \"R\"\n  topic t\n  shall sealed\n  says \"x\"\n").empty());
    CHECK_FALSE(
        codes("rule 1.1 \"R\"\n  topic t\n  for crat\n  shall sealed\n  says \"x\"\n").empty());
    CHECK(codes("rule 1.1 \"R\"\n  topic t\n  for crate\n  says \"x\"\n") == "no-requirement");
    CHECK(codes("rule 1.1 \"R\"\n  topic t\n  for crate\n  shall sealed\n") == "no-message");
}

TEST_CASE("definitions that lead back to themselves are told with the way") {
    const std::string m = cycle_of("define crate.a : current\n  = b + 1 A\n\n"
                                   "define crate.b : current\n  = a + 1 A\n\n" +
                                   rule_that("a at most 3 A"));
    INFO(m);
    CHECK(names(m, "crate.a", "crate.b"));
    CHECK_FALSE(
        cycle_of("define f(x : current) : current\n  = f(x)\n\n" + rule_that("f(load) at most 3 A"))
            .empty());
    CHECK_FALSE(cycle_of("define f(x : current) : current\n  = g(x)\n\n"
                         "define g(x : current) : current\n  = f(x)\n\n" +
                         rule_that("f(load) at most 3 A"))
                    .empty());
}

TEST_CASE("rules that ask whether each other applies are told, a chain is not") {
    const auto rule = [](const std::string &topic, const std::string &other) {
        return "rule 1.1 \"R\"\n  topic " + topic + "\n  for crate\n  where applies(" + other +
               ")\n  shall sealed\n  says \"x\"\n\n";
    };
    CHECK(names(cycle_of(rule("first", "second") + rule("second", "first")), "first", "second"));
    CHECK_FALSE(cycle_of(rule("first", "first")).empty());
    CHECK(
        cycle_of(rule("first", "second") + rule("second", "probe") + rule_that("sealed")).empty());
}

TEST_CASE("facts that imply themselves are told") {
    const std::string words = trial::vocabulary +
                              "\nimply crate \"A\"\n  load = rating\n\nimply crate \"B\"\n"
                              "  rating = load\n";
    const book::Opened opened = trial::open(rule_that("sealed"), {}, words);
    CHECK(opened.book == nullptr);
    CHECK(trial::codes(opened.diagnostics) == "cycle");
}

TEST_CASE("a rule may not displace one that is for an item above its own") {
    const std::string below = "rule 2.1 \"S\"\n  topic special\n  displaces probe\n  for piece\n"
                              "  shall loose\n  says \"x\"\n\n";
    CHECK(codes(rule_that("sealed") + below) == "not-above");
}

TEST_CASE("all faults of a book are told in one run") {
    const book::Opened opened = trial::open(rule_that("laod at most 3 A", "first") +
                                            rule_that("load + supply = 3 A", "second") +
                                            rule_that("colour is gren", "third"));
    CHECK(opened.diagnostics.size() == 3);
    CHECK(opened.book == nullptr);
}

TEST_CASE("an unknown edition or amendment is answered with the known ones") {
    const book::Opened opened = book::open_book("nec-1999");
    REQUIRE(opened.diagnostics.size() >= 1);
    const std::string text = trial::faults(opened);
    INFO(text);
    for (const std::string &name : book::shipped_editions())
        CHECK(text.find(name) != std::string::npos);
    CHECK_FALSE(book::open_book("nec-2020+nowhere-1").book);
    CHECK_FALSE(book::open_book("").book);
    CHECK_FALSE(book::open_book("nec-2020+").book);
}
