// Text on lines, and places of it as editors and readers want them.

#include "report/diagnostics_json.h"
#include "report/paragraph.h"
#include "report/values.h"
#include "trial.h"

#include <nlohmann/json.hpp>

#include "catch.h"

namespace {

using namespace groundrule;
using Json = nlohmann::json;

} // namespace

TEST_CASE("a text of several lines on one") {
    CHECK(report::on_one_line("a  b\n\t c\r\nd") == "a b c d");
    CHECK(report::on_one_line("\n a") == "a");
    CHECK(report::on_one_line("") == "");
}

TEST_CASE("the words of the book at a place, and none where there is none") {
    const trial::Compiled c = trial::compiled(trial::rule_that("load\n    at most\n  5 A"));
    const book::Rule &rule = c.book->rules.front();
    CHECK(report::written(*c.book, c.book->nodes[rule.requirement].span) == "load at most 5 A");
    CHECK(report::written(*c.book, {}) == "");
}

TEST_CASE("faults for editors: at their place, or at the beginning of what they are about") {
    const book::Opened opened = trial::open(trial::rule_that("lod at most 5 A"));
    Diagnostics faults = opened.diagnostics;
    Diagnostic nowhere;
    nowhere.code = "wrong-type";
    nowhere.where = "job.json";
    nowhere.message = "no job";
    faults.add(nowhere);
    const Json files = Json::parse(report::to_lsp_json(faults, opened.sources));
    REQUIRE(files.size() == 2);
    CHECK(files[1]["uri"] == "job.json");
    const Json &job = files[1]["diagnostics"][0];
    CHECK(job["range"] == Json::parse(R"({"start":{"line":0,"character":0},)"
                                      R"("end":{"line":0,"character":0}})"));
    CHECK(job["code"] == "wrong-type");
    CHECK(files[0]["uri"] == "trial.rules");
    const Json &rule = files[0]["diagnostics"][0];
    CHECK(rule["code"] == "unknown-name");
    CHECK(rule["range"]["start"] == Json::parse(R"({"line":7,"character":8})"));
    CHECK(rule["range"]["end"] == Json::parse(R"({"line":7,"character":11})"));
}
