// What fuzzing found, each fault by itself.

#include "trial.h"

#include "catch.h"

using namespace groundrule;

TEST_CASE("a rule for an unknown item displaces nothing, and only the item is told") {
    const book::Opened opened = trial::open(trial::rule_that("sealed") +
                                            "rule 1.2 \"Other\"\n  topic other\n  for crat\n"
                                            "  displaces probe\n  shall sealed\n  says \"x\"\n");
    CHECK(trial::codes(opened.diagnostics) == "unknown-name");
}

TEST_CASE("the fault of a job that is not UTF-8 is told in UTF-8") {
    const book::Opened opened = trial::open("");
    REQUIRE(opened.book);
    Diagnostics faults;
    facts::job_from_json(*opened.book, "{\"id\":\"\xff\xc3(\"}", "job.json", faults);
    CHECK(trial::codes(faults) == "not-json");
    CHECK(first_bad_utf8(render(faults, {})) == std::string::npos);
}
