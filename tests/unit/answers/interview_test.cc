// Interviews: what an answer may be, where it goes in the document, and what is asked behind it.

#include "answers/books.h"
#include "answers/interview.h"

#include <nlohmann/json.hpp>

#include "catch.h"

namespace {

using namespace groundrule;
using Json = nlohmann::json;

answers::Interview begun(const trial::Ready &ready, const std::string &json,
                         const answers::InterviewOptions &options = {}) {
    Diagnostics faults;
    auto out = answers::Interview::begin(*ready.compiled.book, ready.compiled.program, *ready.dense,
                                         json, "job", options, faults);
    INFO(render(faults, {}));
    REQUIRE(out);
    return std::move(*out);
}

// "crate.load crates[0]", or nothing.
std::string asks(const answers::Interview &interview) {
    const answers::Question *q = interview.question();
    return q == nullptr ? "" : q->missing.fact + " " + q->missing.item;
}

// The code of what is wrong with an answer; empty if it is taken.
std::string refused(answers::Interview &interview, const std::string &text) {
    Diagnostics faults;
    const bool taken = interview.answer(text, faults);
    CHECK(taken == !faults.has_errors());
    return trial::codes(faults);
}

std::string rule_for(const std::string &item, const std::string &number, const std::string &lines) {
    return "rule 1." + number + " \"R\"\n  topic topic_" + number + "\n  for " + item + "\n  " +
           lines + "\n  says \"No.\"\n\n";
}

} // namespace

TEST_CASE("interview: an answer that is none of the fact is refused and changes nothing") {
    struct Example {
        const char *condition;
        const char *answer;
        const char *code;
        const char *stored; // as JSON
    };
    const Example examples[] = {{"sealed", "maybe", "wrong-type", ""},
                                {"sealed", "no", "", R"({"sealed":false})"},
                                {"sealed", "yes", "", R"({"sealed":true})"},
                                {"share at least 0.5", "0.75", "", R"({"share":0.75})"},
                                {"share at least 0.5", "75 %", "", R"({"share":"75 %"})"},
                                {"share at least 0.5", "much", "not-a-value", ""},
                                {"load at most 10 A", "12 A", "", R"({"load":"12 A"})"},
                                {"load at most 10 A", "12", "no-unit", ""},
                                {"colour is red", "blue", "", R"({"colour":"blue"})"},
                                {"colour is red", "pink", "unknown-choice", ""}};
    for (const Example &x : examples) {
        INFO(x.condition << ": " << x.answer);
        const trial::Ready ready(trial::compiled(trial::rule_that(x.condition)));
        answers::Interview interview = begun(ready, trial::crate(""));
        const std::string question = asks(interview);
        CHECK(refused(interview, x.answer) == x.code);
        const bool taken = *x.code == '\0';
        CHECK(asks(interview) == (taken ? "" : question));
        CHECK(Json::parse(interview.job_json())["crates"][0] ==
              Json::parse(taken ? x.stored : "{}"));
        if (!taken)
            continue;
        CHECK(refused(interview, "yes") == "nothing-asked");
        interview.skip(); // of nothing
        CHECK(asks(interview) == "");
    }
}

TEST_CASE(
    "interview: what can't be a number of items is refused, and so is one that says nothing") {
    const trial::Ready ready(
        trial::compiled(trial::rule_that("all(p in pieces : p.draw at most 10 A)")));
    answers::Interview interview = begun(ready, trial::crate(""));
    for (const char *text : {"", "+", "many", "-1", "2x", "65", "99999999999999999999", "2 broken",
                             "0+", "0+ existing"}) {
        INFO(text);
        CHECK(refused(interview, text) == "wrong-count");
        CHECK(asks(interview) == "crate.pieces crates[0]");
    }
    CHECK(Json::parse(interview.job_json()) == Json::parse(trial::crate("")));
}

TEST_CASE(
    "interview: counted items come to those that stand, with their own work, until the list is "
    "whole") {
    const trial::Ready ready(
        trial::compiled(trial::rule_that("all(p in pieces : p.draw at most 10 A)")));
    answers::Interview interview = begun(ready, trial::crate(R"("pieces":[{"draw":"1 A"}])"));
    REQUIRE(asks(interview) == "crate.pieces crates[0]");
    CHECK(refused(interview, "1+ existing") == "");
    CHECK(refused(interview, "2 A") == ""); // of the new one
    REQUIRE(asks(interview) == "crate.pieces crates[0]");
    CHECK(refused(interview, "1") == "");
    CHECK(Json::parse(interview.job_json())["crates"][0] ==
          Json::parse(R"({"pieces":[{"draw":"1 A"},{"work":"existing","draw":"2 A"},{}],)"
                      R"("complete":["pieces"]})"));
}

TEST_CASE("interview: a list that is whole is named beside those that were") {
    const trial::Ready ready(
        trial::compiled(rule_for("job", "1", "shall all(c in crates : c.sealed)")));
    answers::Interview interview = begun(ready, R"({"work":"new","complete":["panels"]})");
    REQUIRE(asks(interview) == "job.crates job");
    CHECK(refused(interview, "0") == "");
    CHECK(asks(interview) == "");
    CHECK(Json::parse(interview.job_json())["complete"] == Json::array({"panels", "crates"}));
}

TEST_CASE("interview: what is left open is not asked again") {
    const trial::Ready ready(trial::compiled(trial::rule_that(
        "sealed and all(p in pieces : p.draw at most 10 A) and load at most 1 A")));
    answers::Interview interview = begun(ready, trial::crate(""));
    std::vector<std::string> skipped;
    for (; interview.question() != nullptr; interview.skip())
        skipped.push_back(asks(interview));
    std::sort(skipped.begin(), skipped.end());
    CHECK(skipped == std::vector<std::string>{"crate.load crates[0]", "crate.pieces crates[0]",
                                              "crate.sealed crates[0]"});
}

TEST_CASE("interview: it stays with the item at hand for what is worth half as much as the best") {
    // By effort a colour is worth 1, a rating 1/2, a load 1/4.
    const trial::Ready ready(trial::compiled(rule_for("crate", "1", "shall colour is red") +
                                             rule_for("crate", "2", "shall rating at most 10 A") +
                                             rule_for("crate", "3", "shall load at most 10 A")));
    answers::Interview interview = begun(ready, R"({"work":"new","crates":[{},{}]})");
    std::string order;
    const std::map<std::string, std::string> told = {
        {"crate.colour", "red"}, {"crate.rating", "5 A"}, {"crate.load", "5 A"}};
    while (interview.question() != nullptr) {
        order += asks(interview) + ", ";
        REQUIRE(refused(interview, told.at(interview.question()->missing.fact)) == "");
    }
    CHECK(order == "crate.colour crates[0], crate.rating crates[0], crate.colour crates[1], "
                   "crate.rating crates[1], crate.load crates[1], crate.load crates[0], ");
}

TEST_CASE("interview: a document at fault, and one that contradicts itself, begin none") {
    const trial::Ready ready(trial::compiled(trial::open(
        trial::rule_that("sealed"), {},
        trial::vocabulary + "\nimply crate \"A\"\n  sealed = if colour is red then yes otherwise "
                            "unknown\n")));
    const std::pair<const char *, const char *> wrong[] = {
        {R"("sealed":3)", "wrong-type"}, {R"("sealed":false,"colour":"red")", "contradiction"}};
    for (const auto &[facts, code] : wrong) {
        Diagnostics faults;
        CHECK(!answers::Interview::begin(*ready.compiled.book, ready.compiled.program, *ready.dense,
                                         trial::crate(facts), "job", {}, faults));
        CHECK(trial::codes(faults) == code);
    }
    answers::Interview interview = begun(ready, trial::crate(R"("sealed":false)"));
    CHECK(asks(interview) == "");
}

TEST_CASE(
    "outline: first the work, then choices on which it turns what binds, then what is there") {
    const trial::Ready ready(trial::compiled(
        rule_for("piece", "1",
                 "where crate.colour is red and job.occupancy is one_family_dwelling\n"
                 "  shall loose")));
    answers::InterviewOptions options;
    options.outline = true;
    answers::Interview interview = begun(ready, "{}", options);
    const std::pair<const char *, const char *> dialogue[] = {
        {"job.work job", "new"},
        {"job.occupancy job", "one_family_dwelling"},
        {"job.crates job", "3"},
        {"crate.colour crates[0]", "red"},
        {"crate.pieces crates[0]", "2+"},
        {"crate.colour crates[1]", "blue"}}; // no rule binds pieces in a blue one
    for (const auto &[question, answer] : dialogue) {
        REQUIRE(asks(interview) == question);
        REQUIRE(refused(interview, answer) == "");
    }
    REQUIRE(asks(interview) == "crate.colour crates[2]");
    interview.skip(); // then it may be red
    REQUIRE(asks(interview) == "crate.pieces crates[2]");
    interview.skip();
    REQUIRE(asks(interview).starts_with("piece.loose crates[0].pieces["));
}

TEST_CASE("outline: what kind of work it is may be left open") {
    const trial::Ready ready(trial::compiled(rule_for("crate", "1", "shall sealed")));
    answers::InterviewOptions options;
    options.outline = true;
    answers::Interview interview = begun(ready, "{}", options);
    REQUIRE(asks(interview) == "job.work job");
    interview.skip();
    CHECK(asks(interview) == "job.crates job");
}
