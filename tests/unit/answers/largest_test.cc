// How far a fact may go: each point of the grid against the scalar evaluator.

#include "answers/largest.h"

#include "answers/books.h"

#include <algorithm>

#include "catch.h"

namespace {

using namespace groundrule;
using Json = nlohmann::json;

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
