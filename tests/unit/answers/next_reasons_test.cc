// Why something is asked or not, in which order, and why a verdict stays open when nothing is.

#include "answers/books.h"
#include "answers/next.h"
#include "report/in_one_line.h"

#include <nlohmann/json.hpp>

#include "catch.h"

namespace {

using namespace groundrule;
using Json = nlohmann::json;

struct Asked {
    trial::Ready ready;
    facts::Job job;
    answers::Next next;

    Asked(const std::string &rules, const std::string &json, const answers::NextOptions &options,
          const std::string &words = trial::vocabulary)
        : ready(trial::compiled(trial::open(rules, {}, words))),
          job(trial::job_of(*ready.compiled.book, json)),
          next(answers::next_questions(ready.subject(job), options)) {}

    std::string text() const {
        return trial::in_one_line(answers::next_text(ready.subject(job), next));
    }
    Json json() const { return Json::parse(answers::next_json(ready.subject(job), next)); }
};

// "crate.sealed", "crate.load?" of a fact that may decide nothing.
std::string asked_for(const std::vector<answers::Question> &questions) {
    std::string out;
    for (const answers::Question &q : questions)
        out += (out.empty() ? "" : " ") + q.missing.fact + (q.proven ? "" : "?");
    return out;
}

std::string reasons(const answers::Next &next) {
    std::string out;
    for (const answers::Remaining &r : next.remaining) {
        for (const std::string &reason : r.reasons)
            out += (out.empty() ? "" : "; ") + reason;
    }
    return out;
}

answers::Place place(const book::Book &book, const char *item, const char *field) {
    const std::int32_t i = book::find_item(book, item);
    return {i, 0, book::find_field(book.items[static_cast<std::size_t>(i)], field)};
}

answers::NextOptions no_walks(std::size_t combinations = 20000) {
    answers::NextOptions out;
    out.tries = 0;
    out.combinations = combinations;
    return out;
}

// Neither of the two decides alone.
const std::string both_or_neither =
    trial::rule_that("(sealed and colour is red) or (not sealed and colour is not red)");

} // namespace

TEST_CASE(
    "next: what no walk proves is proven by trying all, and asked with a mark where all are too "
    "many") {
    const std::string job = trial::crate("");
    const Asked all(both_or_neither, job, no_walks());
    CHECK(asked_for(all.next.questions) == "crate.sealed crate.colour");
    CHECK(!trial::tells(all.text(), "whether it can decide anything was not found"));
    const Asked few(both_or_neither, job, no_walks(3));
    CHECK(asked_for(few.next.questions) == "crate.sealed? crate.colour?");
    CHECK(trial::tells(few.text(), "whether it can decide anything was not found"));
    CHECK(few.json()["questions"][0]["proven"] == false);
    // Two such pairs: what one of them decides, the other need not.
    const Asked pairs(
        trial::rule_that(
            "((sealed and colour is red) or (not sealed and colour is not red)) or "
            "((approved and load more than 5 A) or (not approved and load at most 5 A))"),
        job, no_walks());
    CHECK(asked_for(pairs.next.questions) == "crate.sealed crate.colour crate.load");
    CHECK(asked_for(pairs.next.apart) == "crate.approved");
    // The two of another rule have more values than may be tried together: they come last.
    const Asked some(trial::rule_that("load at most rating") +
                         "rule 1.2 \"Two\"\n  topic two\n  for crate\n  says \"No.\"\n  shall "
                         "(sealed and colour is red) or (not sealed and colour is not red)\n\n",
                     job, no_walks(20));
    CHECK(asked_for(some.next.questions) == "crate.sealed crate.colour crate.rating? crate.load?");
}

TEST_CASE("next: what a few walks do not prove, more of them may") {
    // Only with the draw of all twelve known it is decided.
    std::string pieces = "{}";
    for (int i = 1; i < 12; ++i)
        pieces += ",{}";
    const std::string rules = trial::rule_that("sum(p in pieces : p.draw - 5 A) = 3 A");
    const std::string job = trial::crate("\"pieces\":[" + pieces + "],\"complete\":[\"pieces\"]");
    answers::NextOptions options = no_walks(1);
    const Asked none(rules, job, options);
    options.tries = 1;
    const Asked some(rules, job, options);
    const auto proven = [](const Asked &asked) {
        return std::count_if(asked.next.questions.begin(), asked.next.questions.end(),
                             [](const answers::Question &q) { return q.proven; });
    };
    CHECK(none.next.questions.size() == 12);
    CHECK(proven(none) == 0);
    CHECK(some.next.questions.size() == 12);
    CHECK(proven(some) > 0);
}

TEST_CASE("next: a fact of which no answer decides is not asked, and its verdict says so") {
    // No entry for 12 A leaves the first rule open, whatever is approved. The second waits for a
    // list, of which all can't be tried.
    const std::string rules =
        "rule 1.1 \"One\"\n  topic first\n  for crate\n  says \"No.\"\n"
        "  shall table 310.16 [load] at least 5 A or (approved and not approved)\n\n"
        "rule 1.2 \"Two\"\n  topic two\n  for crate\n  says \"No.\"\n"
        "  shall (all(p in pieces : p.loose) and sealed)\n"
        "        or (not all(p in pieces : p.loose) and not sealed)\n\n" +
        generated::figures;
    const std::string job = trial::crate(R"("load":"12 A")");
    const Asked asked(rules, job, no_walks());
    CHECK(asked_for(asked.next.apart) == "");
    CHECK(asked_for(asked.next.questions) == "crate.pieces? crate.sealed?");
    CHECK(reasons(asked.next) == "no answer to crate.approved was found that decides it; "
                                 "table 310.16 has no entry for 12 A");
    CHECK(trial::tells(asked.text(), "Open for other reasons: 1.1 One, crates[0] no answer to "
                                     "crate.approved was found that decides it"));
    const Json json = asked.json();
    REQUIRE(json["remaining"].size() == 1);
    CHECK(json["remaining"][0]["rule"] == "first");
    CHECK(json["remaining"][0]["reasons"].size() == 2);
    // With walks the list is found to decide, and then nothing else is asked.
    CHECK(asked_for(Asked(rules, job, {}).next.questions) == "crate.pieces");
}

TEST_CASE("next: what was left open is a reason, of a list and of what implies a fact") {
    const std::string words = trial::vocabulary +
                              "\nimply crate \"A\"\n  sealed = if colour is red "
                              "then yes otherwise unknown\n";
    const std::string rules = trial::rule_that("complete(pieces)") +
                              "rule 1.2 \"Two\"\n  topic two\n  for crate\n  says \"No.\"\n"
                              "  shall table 310.16 [load] at least 5 A or\n"
                              "        (sealed and not sealed)\n\n" +
                              generated::figures;
    const std::string json = trial::crate(R"("load":"12 A")");
    const trial::Ready ready(trial::compiled(trial::open(rules, {}, words)));
    const book::Book &book = *ready.compiled.book;
    answers::NextOptions options;
    const answers::Place crate = place(book, "crate", "colour");
    options.skipped_facts = {crate};
    options.skipped_lists = {{crate.item, 0, 0}};
    const Asked asked(rules, json, options, words);
    CHECK(asked_for(asked.next.questions) == "");
    CHECK(reasons(asked.next) == "crate.pieces was left open; "
                                 "no answer to crate.sealed was found that decides it; "
                                 "table 310.16 has no entry for 12 A; crate.colour was left open");
}

TEST_CASE("next: all combinations are tried although a list was left open") {
    answers::NextOptions options = no_walks();
    const Asked open(both_or_neither, trial::crate(""), options);
    options.skipped_lists = {{place(*open.ready.compiled.book, "crate", "load").item, 0, 0}};
    const Asked asked(
        trial::rule_that("(sealed and colour is red and count(p in pieces) at least 0) "
                         "or (not sealed and colour is not red)"),
        trial::crate(""), options);
    CHECK(asked_for(asked.next.questions) == "crate.sealed crate.colour");
}

TEST_CASE("next: a value that can't be computed is a reason, and so is a fact without an answer") {
    const Asked steps(trial::rule_that("round_up(load to rating) at least 5 A"),
                      trial::crate(R"("load":"7 A","rating":"0 A")"), {});
    CHECK(reasons(steps.next) == "the rule has no value here");
    // Each colour implies a wire other than the one that is told.
    const std::string words = trial::vocabulary +
                              "\nimply crate \"A\"\n  wire = if colour is red then 6 AWG otherwise "
                              "(if colour is green then 6 AWG otherwise 8 AWG)\n";
    const Asked asked(trial::rule_that("colour is red"), trial::crate(R"("wire":"10 AWG")"), {},
                      words);
    CHECK(asked_for(asked.next.questions) == "");
    CHECK(reasons(asked.next) == "no answer to crate.colour was found that decides it");
}

TEST_CASE("next: of two facts that are worth the same, the one that implies more stands first") {
    const std::string words =
        trial::vocabulary + "\nitem lid in crate as lids \"A lid\"\n"
                            "  shut : yes_no            choice \"Is it shut?\"\n"
                            "  mark : one of (on, off)  choice \"How is it marked?\"\n"
                            "\nimply lid \"Mark\"\n  shut = if mark is on then yes otherwise no\n";
    const Asked asked("rule 1.1 \"One\"\n  topic first\n  for lid\n  shall shut\n  says \"No.\"\n",
                      R"({"work":"new","crates":[{"lids":[{}]}]})", {}, words);
    CHECK(asked_for(asked.next.questions) == "lid.mark lid.shut");
}

TEST_CASE("next: quantities that the book tells no value of are tried too") {
    const std::string words = trial::vocabulary + "\nitem lid in crate as lids \"A lid\"\n"
                                                  "  first  : resistance measure \"Which?\"\n"
                                                  "  second : resistance measure \"Which?\"\n";
    const Asked asked("rule 1.1 \"One\"\n  topic first\n  for lid\n  shall first at most second\n"
                      "  says \"No.\"\n",
                      R"({"work":"new","crates":[{"lids":[{}]}]})", {}, words);
    CHECK(asked_for(asked.next.questions) == "lid.second lid.first");
}

TEST_CASE("next: questions and verdicts are those of a stage, which is told") {
    const trial::Ready ready(trial::compiled(
        "rule 1.1 \"One\"\n  topic first\n  stage rough_in\n  for crate\n  shall sealed\n"
        "  says \"No.\"\n\nrule 1.2 \"Two\"\n  topic two\n  stage design\n  for crate\n"
        "  shall load at most 5 A\n  says \"No.\"\n\n"));
    const facts::Job job = trial::job_of(*ready.compiled.book, trial::crate(""));
    answers::Subject subject = ready.subject(job);
    subject.stage = "rough_in";
    const answers::Next next = answers::next_questions(subject, {});
    CHECK(asked_for(next.questions) == "crate.sealed");
    CHECK(trial::tells(trial::in_one_line(answers::next_text(subject, next)),
                       "Book trial-1, stage rough_in 1 findings are open."));
    CHECK(Json::parse(answers::next_json(subject, next))["stage"] == "rough_in");
}
