// Tables: their shape, and how they are looked up.

#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;

std::string codes(const std::string &rows, const std::string &keys = "a : current") {
    return trial::codes(
        trial::open("table \"t\" \"T\"\n  gives current\n  by " + keys + "\n" + rows).diagnostics);
}

// What a look-up gives for a load: a value, or "none".
std::string looked_up(const std::string &table, const std::string &expression,
                      const std::string &facts) {
    const trial::Compiled c =
        trial::compiled(table + "\nrule 1.1 \"R\"\n  topic probe\n  for crate\n  shall " +
                        expression + " at least 0 A\n  says \"{" + expression + "}\"\n");
    const report::Report r = trial::check(c, trial::crate(facts));
    return r.findings.front().says;
}

std::string by_load(const std::string &match, const std::string &load) {
    const std::string table = "table 310.16 \"T\"\n  gives current\n  by a : current" + match +
                              "\n  10 A | 1 A\n  20 A | 2 A\n  30 A | --\n  40 A | 4 A\n";
    return looked_up(table, "table 310.16 [load]", "\"load\":\"" + load + "\"");
}

} // namespace

TEST_CASE("an exact key is found on the grid and nowhere else") {
    CHECK(by_load("", "10 A") == "1 A");
    CHECK(by_load("", "20.0000001 A") == "2 A");
    CHECK(by_load("", "20.000001 A") == "unknown");
    CHECK(by_load("", "5 A") == "unknown");
}

TEST_CASE("rows at most are upper bounds: the first row not under the value") {
    CHECK(by_load(" at most", "0 A") == "1 A");
    CHECK(by_load(" at most", "10 A") == "1 A");
    CHECK(by_load(" at most", "10.000001 A") == "2 A");
    CHECK(by_load(" at most", "40 A") == "4 A");
    CHECK(by_load(" at most", "40.000001 A") == "unknown");
}

TEST_CASE("rows at least are lower bounds: the last row not over the value") {
    CHECK(by_load(" at least", "9.999999 A") == "unknown");
    CHECK(by_load(" at least", "10 A") == "1 A");
    CHECK(by_load(" at least", "19.999999 A") == "1 A");
    CHECK(by_load(" at least", "1000 A") == "4 A");
}

TEST_CASE("an empty cell is no value, with every way of matching") {
    CHECK(by_load("", "30 A") == "unknown");
    CHECK(by_load(" at most", "25 A") == "unknown");
    CHECK(by_load(" at least", "35 A") == "unknown");
}

TEST_CASE("a look-up of an unknown key is unknown and asks for the key") {
    const trial::Compiled c =
        trial::compiled("table 310.16 \"T\"\n  gives current\n  by a : current\n  10 A | 1 A\n\n" +
                        trial::rule_that("table 310.16 [load] at most 3 A"));
    const auto open = trial::check(c, trial::crate("")).findings.front();
    REQUIRE(open.missing.size() == 1);
    CHECK(open.missing.front().fact == "crate.load");
    const auto none = trial::check(c, trial::crate(R"("load":"11 A")")).findings.front();
    REQUIRE(none.missing.size() == 1);
    CHECK(none.missing.front().kind == "no_value");
}

TEST_CASE("keys across and down meet in one cell, and heads may repeat") {
    const std::string table = "table 310.16 \"T\"\n  gives current\n"
                              "  by w : conductor_size, s : yes_no, h : temperature\n"
                              "  s | yes   | yes   | no\n  h | 60 °C | 75 °C | 60 °C\n"
                              "  8 AWG | 1 A | 2 A | 3 A\n  6 AWG | 4 A | -- | 6 A\n";
    const auto at = [&](const char *wire, const char *sealed, const char *heat) {
        return looked_up(table, "table 310.16 [wire, sealed, heat]",
                         std::string("\"wire\":\"") + wire + "\",\"sealed\":" + sealed +
                             ",\"heat\":\"" + heat + "\"");
    };
    CHECK(at("8 AWG", "true", "75 °C") == "2 A");
    CHECK(at("6 AWG", "false", "60 °C") == "6 A");
    CHECK(at("6 AWG", "true", "75 °C") == "unknown");
    CHECK(at("8 AWG", "false", "75 °C") == "unknown");
}

TEST_CASE("several columns are told apart by name") {
    const std::string table = "table 310.16 \"T\"\n  gives low : current, high : current\n"
                              "  by a : current\n  10 A | 1 A | 2 A\n";
    CHECK(looked_up(table, "table 310.16 [load].high", R"("load":"10 A")") == "2 A");
    CHECK_FALSE(
        trial::open(table + "\n" + trial::rule_that("table 310.16 [load] at most 1 A")).book);
    CHECK_FALSE(
        trial::open(table + "\n" + trial::rule_that("table 310.16 [load].middle at most 1 A"))
            .book);
    CHECK_FALSE(
        trial::open(table + "\n" + trial::rule_that("table 310.16 [load, load].high at most 1 A"))
            .book);
    CHECK_FALSE(
        trial::open(table + "\n" + trial::rule_that("table 310.16 [supply].high at most 1 A"))
            .book);
}

TEST_CASE("a table of the wrong shape is told") {
    CHECK(codes("  1 A | 1 A | 2 A\n") == "table-shape");
    CHECK(codes("  1 A\n") == "table-shape");
    CHECK(codes("  -- | 1 A\n") == "table-shape");
    CHECK(codes("  b\n  1 A | 1 A\n", "a : current, b : current") == "table-shape");
    CHECK(codes("  a\n  b\n  1 A\n", "a : current, b : current") == "table-shape table-shape");
    CHECK(codes("  b | 1 A | 2 A\n  c | 1 A\n  1 A | 1 A | 2 A\n",
                "a : current, b : current, c : current") == "table-shape");
    CHECK(codes("  b | 1 A | 2 A\n", "a : current, b : current") == "table-shape");
}

TEST_CASE("rows out of order, twice, or of another type are told") {
    CHECK(codes("  2 A | 1 A\n  1 A | 1 A\n") == "table-order");
    CHECK(codes("  1 A | 1 A\n  1 A | 2 A\n") == "cell-twice");
    CHECK(codes("  1 V | 1 A\n") == "wrong-type");
    CHECK(codes("  1 A | 1 V\n") == "wrong-type");
    CHECK(codes("  red | 1 A\n") == "wrong-type");
    CHECK(codes("  yes | 1 A\n", "a : yes_no at most") == "wrong-type");
    CHECK(trial::codes(trial::open("list \"l\" \"L\" of current\n  = 2 A, 1 A\n").diagnostics) ==
          "table-order");
    CHECK(trial::codes(trial::open("list \"l\" \"L\" of current\n  = 1 A, 1 A\n").diagnostics) ==
          "table-order");
}

TEST_CASE("a citation finds its table whole: 310.1 is not 310.10") {
    const std::string table =
        "table 310.10 \"T\"\n  gives current\n  by a : current\n  10 A | 1 A\n\n";
    CHECK(trial::open(table + trial::rule_that("table 310.10 [load] at most 1 A")).book);
    CHECK_FALSE(trial::open(table + trial::rule_that("table 310.1 [load] at most 1 A")).book);
}
