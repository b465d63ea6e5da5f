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

TEST_CASE("a hole under a bound is told with all other keys of its row") {
    const book::Opened opened =
        trial::open("table \"t\" \"T\"\n  gives current\n"
                    "  by a : current at most, b : conductor_size, c : yes_no\n"
                    "  10 A | 8 AWG | yes | 1 A\n  20 A | 8 AWG | no | 2 A\n");
    REQUIRE(trial::codes(opened.diagnostics) == "table-hole");
    CHECK(opened.diagnostics.list()[0].help ==
          "write the row of 10 A for 8 AWG, no too, with -- if the code has no value there");
}

// Rows of a layer are held to what those of a table are.
TEST_CASE(
    "rows that a layer adds or takes out leave no hole under a bound, and are rows that stand") {
    const std::string table =
        "table 9.1 \"T\"\n  gives current\n"
        "  by a : current at most, c : one of (x, y, z)\n"
        "  10 A | x | 1 A\n  10 A | y | --\n  20 A | x | 3 A\n  20 A | y | 4 A\n"
        "  30 A | x | 5 A\n";
    const auto change = [&](const std::string &text) {
        return trial::codes(trial::open(table, {text}).diagnostics);
    };
    CHECK(change("add to table 9.1\n  25 A | x | 6 A\n  25 A | y | 7 A\n").empty());
    CHECK(change("add to table 9.1\n  15 A | x | 6 A\n") == "table-hole");
    CHECK(change("add to table 9.1\n  15 A | x | 6 A\n  15 A | y | --\n").empty());
    CHECK(change("delete row [10 A, x] of table 9.1\n") == "table-hole");
    CHECK(
        change("delete row [10 A, x] of table 9.1\n\ndelete row [10 A, y] of table 9.1\n").empty());
    CHECK(change("delete row [20 A, x] of table 9.1\n") == "table-hole");
    CHECK(change("delete row [20 A, y] of table 9.1\n").empty());
    CHECK(change("delete row [20 A, z] of table 9.1\n") == "no-target");
    CHECK(change("delete row [30 A, y] of table 9.1\n") == "no-target");
    CHECK(change("delete row [30 A, x] of table 9.1\n\ndelete row [30 A, x] of table 9.1\n") ==
          "no-target");
    CHECK(change("add to table 9.1\n  10 A | y | 6 A\n") == "stands-already");
    CHECK(change("add to table 9.1\n  10 A | z | --\n  20 A | z | 6 A\n").empty());
}

TEST_CASE("rows of an exact table are added by the keys that they have together") {
    std::string table = "table 9.1 \"T\"\n  gives current\n  by a : current, b : current\n";
    for (int i = 1; i <= 10; ++i)
        table += "  " + std::to_string(i) + " A | 1 A | 1 A\n";
    const book::Opened opened =
        trial::open(table, {"add to table 9.1\n  11 A | 2 A | 3 A\n  12 A | 1 A | 4 A\n"});
    REQUIRE(opened.book);
    CHECK(std::count_if(opened.book->tables.back().cells.begin(),
                        opened.book->tables.back().cells.end(),
                        [](double cell) { return cell == cell; }) == 12);
    const book::Opened none =
        trial::open(table, {"change table 9.1 [11 A, 1 A] from 1 A to 2 A\n"});
    REQUIRE(trial::codes(none.diagnostics) == "no-target");
    CHECK(none.diagnostics.list()[0].help == "it has: 1 A, 2 A, 3 A, 4 A, 5 A, 6 A, 7 A, 8 A, …");
}

TEST_CASE("a row that is called as a head line is, is a row") {
    const std::string table = "table 9.1 \"T\"\n  gives current\n"
                              "  by a : one of (c, d, e), c : yes_no\n"
                              "  c | yes | no\n  c | 1 A | 2 A\n  d | 3 A | 4 A\n";
    CHECK(trial::codes(trial::open(table, {"add to table 9.1\n  e | 5 A | 6 A\n"}).diagnostics)
              .empty());
}

TEST_CASE("rows whose keys would span more cells than a table may are refused") {
    std::string table = "table 9.1 \"T\"\n  gives number\n  by a : number, b : number\n";
    std::string rows = "add to table 9.1\n";
    for (int i = 0; i < 400; ++i) {
        table += "  " + std::to_string(i) + " | " + std::to_string(i) + " | 1\n";
        rows += "  " + std::to_string(i + 400) + " | " + std::to_string(i + 400) + " | 1\n";
    }
    CHECK(trial::codes(trial::open(table, {rows}).diagnostics) == "too-large");
}

TEST_CASE("a citation finds its table whole: 310.1 is not 310.10") {
    const std::string table =
        "table 310.10 \"T\"\n  gives current\n  by a : current\n  10 A | 1 A\n\n";
    CHECK(trial::open(table + trial::rule_that("table 310.10 [load] at most 1 A")).book);
    CHECK_FALSE(trial::open(table + trial::rule_that("table 310.1 [load] at most 1 A")).book);
}
