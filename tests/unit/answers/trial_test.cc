// Which verdicts count, what they depend on, and a job that is too large to be laid out.

#include "answers/next.h"
#include "answers/trial.h"

#include "answers/books.h"

#include "catch.h"

namespace {

using namespace groundrule;

answers::Place place(const book::Book &book, const char *item, const char *field) {
    const std::int32_t i = book::find_item(book, item);
    return {i, 0, book::find_field(book.items[static_cast<std::size_t>(i)], field)};
}

std::size_t count(const std::vector<bool> &flags) {
    return static_cast<std::size_t>(std::count(flags.begin(), flags.end(), true));
}

} // namespace

TEST_CASE("verdicts of a stage count, advice does if it is asked for, a caution never") {
    std::string rules;
    const char *const forces[] = {"shall sealed", "should sealed", "information sealed", "caution"};
    for (int i = 0; i < 4; ++i)
        rules += "rule 1." + std::to_string(i + 1) + " \"R\"\n  topic topic_" + std::to_string(i) +
                 "\n  stage design\n  for crate\n  where load at least 1 A\n  " + forces[i] +
                 "\n  says \"Told.\"\n\n";
    const trial::Ready ready(trial::compiled(rules));
    const facts::Job job = trial::job_of(*ready.compiled.book, trial::crate(""));
    const auto counting = [&](const std::string &stage, bool advice) {
        answers::Subject subject = ready.subject(job);
        subject.stage = stage;
        subject.advice = advice;
        const answers::Trial trial(subject);
        std::string out;
        for (std::size_t v = 0; v < trial.verdicts().size(); ++v)
            out += trial.counts(v) ? '1' : '0';
        return out;
    };
    CHECK(counting("", false) == "1000");
    CHECK(counting("", true) == "1110");
    CHECK(counting("design", true) == "1110");
    CHECK(counting("rough_in", true) == "0000");
}

TEST_CASE("a verdict belongs to the rule that has it, behind rules without items") {
    const trial::Ready ready(
        trial::compiled("rule 1.1 \"A\"\n  topic a\n  for piece\n  shall loose\n  says \"x\"\n\n"
                        "rule 1.2 \"B\"\n  topic b\n  for crate\n  shall sealed\n  says \"x\"\n\n"
                        "rule 1.3 \"C\"\n  topic c\n  for piece\n  shall loose\n  says \"x\"\n\n"
                        "rule 1.4 \"D\"\n  topic d\n  for crate\n  shall approved\n  says \"x\"\n\n"
                        "rule 1.5 \"E\"\n  topic e\n  for piece\n  shall loose\n  says \"x\"\n\n"));
    const facts::Job job =
        trial::job_of(*ready.compiled.book, R"({"work":"new","crates":[{},{}]})");
    const answers::Subject subject = ready.subject(job);
    const answers::Trial trial(subject);
    std::string out;
    for (std::size_t v = 0; v < trial.verdicts().size(); ++v)
        out += ready.compiled.book->rules[trial.rule_of(v)].topic + std::to_string(trial.row_of(v));
    CHECK(out == "b0b1d0d1");
}

TEST_CASE("what a verdict can depend on and nobody tells: facts, the work of the job, open lists") {
    const trial::Ready ready(
        trial::compiled(trial::rule_that("sealed and approved and all(p in pieces : p.loose) and "
                                         "all(p in pieces : p.work is new)")));
    const book::Book &book = *ready.compiled.book;
    const facts::Job job = trial::job_of(
        book, R"({"crates":[{"sealed":true,"pieces":[{"loose":true},{"loose":true}]}]})");
    const answers::Subject subject = ready.subject(job);
    const answers::Trial::Ground ground = answers::Trial(subject).unknown_below(0);
    CHECK(ground.known);
    CHECK(ground.facts.size() == 2);
    CHECK(answers::among(ground.facts, place(book, "crate", "approved")));
    CHECK(answers::among(ground.facts, {0, 0, 0}));
    REQUIRE(ground.lists.size() == 1);
    CHECK(answers::same_place(ground.lists[0], {place(book, "crate", "load").item, 0, 0}));
}

TEST_CASE("of a job that is too large to be laid out every verdict may depend on a fact") {
    // Some ninety steps for each of four thousand crates.
    std::string sum = "load";
    for (int i = 1; i <= 30; ++i)
        sum += " + rating * " + std::to_string(i);
    const trial::Ready ready(trial::compiled(trial::rule_that(
        sum + " at most 10 A or (sealed and approved) or (not sealed and not approved)")));
    const book::Book &book = *ready.compiled.book;
    facts::Job job = trial::job_of(book, R"({"work":"new"})");
    const answers::Place load = place(book, "crate", "load");
    const answers::Place sealed = place(book, "crate", "sealed");
    const answers::Place approved = place(book, "crate", "approved");
    for (std::int32_t row = 0; row < 4000; ++row) {
        job.add(load.item, 0);
        job.set(load.item, row, load.field, exactly(20));
        job.set(load.item, row, place(book, "crate", "rating").field, exactly(1));
        for (const answers::Place &p : {sealed, approved})
            job.set(load.item, row, p.field, row == 0 ? Cell{} : exactly(1));
    }
    job.inherit_work();
    const answers::Subject subject = ready.subject(job);
    const answers::Trial trial(subject);
    REQUIRE(trial.verdicts().size() == 4000);
    CHECK(std::count(trial.verdicts().begin(), trial.verdicts().end(), Verdict::complies) == 3999);
    CHECK(count(trial.reach(std::span(&sealed, 1))) == 4000);
    const answers::Trial::Ground ground = trial.unknown_below(0);
    CHECK(!ground.known);
    CHECK(ground.facts.empty());
    // So it is not known whether what decides nothing by itself is idle: it is asked, with a mark.
    answers::NextOptions options;
    options.tries = 0;
    const answers::Next next = answers::next_questions(subject, options);
    REQUIRE(next.questions.size() == 1);
    CHECK(next.questions[0].missing.fact == "crate.sealed");
    CHECK(!next.questions[0].proven);
    CHECK(next.apart.size() == 1);
}
