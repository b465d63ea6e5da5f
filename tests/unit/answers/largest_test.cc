// How far a fact may go: each point of the grid against the scalar evaluator.

#include "answers/largest.h"

#include "answers/books.h"
#include "report/in_one_line.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "catch.h"

namespace {

using namespace groundrule;
using Json = nlohmann::json;

// Of a field of the only crate, for the rule that this condition makes; as JSON, with its text.
struct Scanned {
    Json json;
    std::string text;
};

Scanned scanned(const std::string &rules, const std::string &facts, const char *field,
                const answers::Grid &grid, const std::string &words = trial::vocabulary) {
    const trial::Ready ready(trial::compiled(trial::open(rules, {}, words)));
    const book::Book &book = *ready.compiled.book;
    const facts::Job job = trial::job_of(book, trial::crate(facts));
    const std::int32_t crate = book::find_item(book, "crate");
    const answers::Place at{crate, 0,
                            book::find_field(book.items[static_cast<std::size_t>(crate)], field)};
    const answers::Subject subject = ready.subject(job);
    const auto found = answers::largest(subject, at, grid);
    return {Json::parse(answers::largest_json(subject, *found)),
            trial::in_one_line(answers::largest_text(subject, *found))};
}

} // namespace

TEST_CASE("the largest charging current of a circuit, point by point") {
    const trial::Ready &ready = trial::shipped("nec-2020");
    const book::Book &book = *ready.compiled.book;
    Json json = trial::garage();
    Json &circuit = json["panels"][0]["circuits"][0];
    circuit["receptacles"][0]["gfci"] = "class_a";
    circuit["runs"][0]["designation"] = "6/3 NM-B";
    circuit["boxes"] = Json::array();
    const facts::Job job = trial::job_of(book, json.dump());
    const answers::Subject subject = ready.subject(job);
    const std::int32_t item = book::find_item(book, "equipment");
    const answers::Place at{
        item, 0, book::find_field(book.items[static_cast<std::size_t>(item)], "rated_current")};
    const answers::Grid grid{1, 60, 1};
    const answers::Largest found = answers::largest(subject, at, grid).value();
    INFO(answers::largest_text(subject, found));
    REQUIRE(!found.lawful.empty());
    // 80 percent of 50 A: 210.20(A), 625.41.
    CHECK(found.lawful.back().to == 40);
    CHECK(!found.to_the_end);
    CHECK(!found.violated.empty());
    // Each point by the scalar evaluator: lawful where nothing violates that did not before.
    for (double amperes = 1; amperes <= 60; ++amperes) {
        facts::Job changed = job;
        changed.set(at.item, at.row, at.field, exactly(amperes));
        bool sound = true;
        const auto verdicts = trial::verdicts_of(ready, changed, sound);
        bool violates = false;
        std::size_t v = 0;
        for (const book::Rule &rule : book.rules) {
            for (std::size_t row = 0; row < job.rows(rule.item).size(); ++row, ++v)
                violates = violates ||
                           (rule.force == ast::Force::shall && verdicts[v] == Verdict::violates);
        }
        const bool told = std::any_of(found.lawful.begin(), found.lawful.end(),
                                      [&](const answers::Lawful &range) {
                                          return amperes >= range.from && amperes <= range.to;
                                      });
        INFO(amperes);
        CHECK(told == !violates);
    }
}

TEST_CASE("lawful values need not lie together") {
    const trial::Ready ready(
        trial::compiled("rule 1.1 \"A probe\"\n  topic probe\n  for crate\n"
                        "  shall load at most 5 A or load from 10 A to 12 A\n  says \"No.\"\n\n"));
    const facts::Job job = trial::job_of(*ready.compiled.book, trial::crate("\"load\":\"1 A\""));
    const std::int32_t item = book::find_item(*ready.compiled.book, "crate");
    const answers::Largest found =
        answers::largest(ready.subject(job), {item, 0, 1}, {0, 20, 1}).value();
    REQUIRE(found.lawful.size() == 2);
    CHECK(found.lawful[0].to == 5);
    CHECK(found.lawful[1].from == 10);
    CHECK(found.lawful[1].to == 12);
}

TEST_CASE("what stands against the next value is named, whether it violates or is open") {
    const auto violated =
        scanned(trial::rule_that("load at most 5 A"), R"("load":"1 A")", "load", {0, 20, 1});
    CHECK(violated.json["largest"] == "5 A");
    CHECK(violated.json["grid_ends_there"] == false);
    REQUIRE(violated.json["violated_beyond"].size() == 1);
    CHECK(violated.json["violated_beyond"][0] ==
          Json({{"citation", "1.1"}, {"rule", "probe"}, {"item", "crates[0]"}}));
    CHECK(violated.json["open_beyond"].empty());
    CHECK(trial::tells(violated.text, "at most 5 A. lawful from 0 A to 5 A beyond it violated: 1.1 "
                                      "A probe, crates[0]"));
    // Whether it is sealed is not known, so no load is known to be lawful.
    const auto open =
        scanned(trial::rule_that("load at most 5 A and sealed"), "", "load", {0, 4, 2});
    CHECK(open.json["largest"].is_null());
    CHECK(open.json["lawful"].empty());
    CHECK(open.json["violated_beyond"].empty());
    CHECK(open.json["open_beyond"].size() == 1);
    CHECK(trial::tells(open.text, "no value is lawful. beyond it open: 1.1 A probe, crates[0]"));
    // What may not even apply stands against nothing.
    const std::string perhaps = "rule 1.1 \"R\"\n  topic probe\n  for crate\n  where sealed\n"
                                "  shall load at most 5 A\n  says \"No.\"\n";
    const auto all = scanned(perhaps, "", "load", {0, 20, 10});
    CHECK(all.json["largest"] == "20 A");
    CHECK(all.json["grid_ends_there"] == true);
    CHECK(trial::tells(all.text, "at most 20 A, where the grid ends."));
}

TEST_CASE("a value that contradicts what is told is not lawful, and nothing stands against it") {
    const auto found = scanned(
        trial::rule_that("rating at least 5 A"), R"("colour":"red")", "rating", {8, 12, 2},
        trial::vocabulary +
            "\nimply crate \"A\"\n  rating = if colour is red then 10 A otherwise unknown\n");
    CHECK(found.json["lawful"] == Json::array({{{"from", "10 A"}, {"to", "10 A"}}}));
    CHECK(found.json["violated_beyond"].empty());
    CHECK(found.json["open_beyond"].empty());
}

TEST_CASE("a grid has points if it ascends and has no more of them than can be tried") {
    CHECK(answers::points_of({0, 10, 1}) == 11);
    CHECK(answers::points_of({0, 0.95, 0.1}) == 10);
    CHECK(answers::points_of({10, 10, 1}) == 1);
    CHECK(answers::points_of({10, 0, 1}) == 0);
    CHECK(answers::points_of({0, 10, 0}) == 0);
    CHECK(answers::points_of({0, 10, -1}) == 0);
    CHECK(answers::points_of({0, 1e9, 1}) == 0);
}

TEST_CASE("a scan ends where its caller says so, and then gives nothing") {
    const trial::Ready ready(trial::compiled(trial::rule_that("load at most 5 A")));
    const facts::Job job = trial::job_of(*ready.compiled.book, trial::crate(""));
    const std::int32_t item = book::find_item(*ready.compiled.book, "crate");
    std::uint64_t asked = 0;
    const GoOn three = [&](std::uint64_t, std::uint64_t of) {
        CHECK(of == 21);
        return ++asked < 3;
    };
    CHECK(!answers::largest(ready.subject(job), {item, 0, 1}, {0, 20, 1}, three));
    CHECK(asked == 3);
}
