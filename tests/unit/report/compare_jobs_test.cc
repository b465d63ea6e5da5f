// Findings of two books on generated jobs: only rules that the comparison lists change, and those
// in the direction that it tells.

#include "report/in_one_line.h"
#include "report/random_jobs.h"

#include "report/compare_jobs.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "catch.h"

namespace {

using namespace groundrule;
using book::Effect;
using report::Verdicts;
using Json = nlohmann::json;

#ifdef GROUNDRULE_SANITIZED
constexpr std::size_t share = 4; // of the jobs; all of them take minutes there
#else
constexpr std::size_t share = 1;
#endif

struct Sides {
    trial::Compiled before;
    trial::Compiled after;
    book::Comparison books;
    report::JobComparison jobs;
};

std::optional<report::Report> findings(const trial::Compiled &c, const facts::Job &job) {
    evaluate::Workspace workspace;
    evaluate::run(c.program, job, workspace);
    if (!workspace.contradictions.empty())
        return std::nullopt;
    return report::findings(*c.book, c.program, job, workspace, {});
}

std::unique_ptr<Sides> on_random_jobs(const std::string &before, const std::string &after,
                                      std::size_t wanted,
                                      const std::vector<book::NamedText> &layers = {}) {
    auto sides = std::make_unique<Sides>();
    sides->before = trial::compiled(book::open_book(before, layers));
    sides->after = trial::compiled(book::open_book(after, layers));
    sides->books = book::compare(*sides->before.book, *sides->after.book);
    trial::RandomJobs random({sides->before.book.get(), sides->after.book.get()}, 7);
    for (std::size_t tries = 0; tries < 20 * wanted && sides->jobs.jobs < wanted; ++tries) {
        const std::vector<facts::Job> jobs = random.next();
        const auto older = findings(sides->before, jobs[0]);
        const auto newer = findings(sides->after, jobs[1]);
        if (older && newer)
            report::add_job(sides->jobs, "job " + std::to_string(tries), *older, *newer);
    }
    REQUIRE(sides->jobs.jobs == wanted);
    return sides;
}

void only_what_is_told(const Sides &sides) {
    for (const auto &[topic, effect] : sides.jobs.clauses) {
        INFO(topic);
        const auto told =
            std::find_if(sides.books.rules.begin(), sides.books.rules.end(),
                         [&topic = topic](const book::RuleChange &c) { return c.topic == topic; });
        REQUIRE(told != sides.books.rules.end());
        if (told->kind == book::RuleKind::renumbered)
            CHECK(effect.verdicts.empty());
        for (const auto &[verdicts, count] : effect.verdicts) {
            const auto is = [](const std::optional<Verdict> &v, Verdict wanted) {
                return v == wanted;
            };
            const auto free = [](const std::optional<Verdict> &v) {
                return !v || *v == Verdict::complies || *v == Verdict::not_applicable;
            };
            const bool caught = free(verdicts.first) && is(verdicts.second, Verdict::violates);
            const bool freed = is(verdicts.first, Verdict::violates) && free(verdicts.second);
            if (told->effect == Effect::stricter)
                CHECK_FALSE(freed);
            if (told->effect == Effect::laxer)
                CHECK_FALSE(caught);
            if (told->effect == Effect::none && effect.counts)
                CHECK_FALSE((freed || caught));
        }
    }
}

// The text leaves out nothing that JSON tells of rules, shared figures, gaps and clauses.
void text_tells_what_json_tells(const Sides &sides) {
    const std::string text = trial::in_one_line(report::to_text(sides.books, &sides.jobs));
    const Json json = Json::parse(report::to_json(sides.books, &sides.jobs));
    const auto told = [&](const Json &part) {
        INFO(part);
        CHECK((part.is_null() || trial::tells(text, part.get<std::string>())));
    };
    const auto either = [](const Json &c) {
        return c["after"].is_null() ? c["before"] : c["after"];
    };
    const auto all_changes = [&](const Json &changes) {
        for (const Json &c : changes) {
            told(c["name"]);
            told(c["to"]);
            if (c["what"] != "message" && c["what"] != "title" && c["what"] != "note")
                told(c["from"]); // of a message the new one is enough
        }
    };
    for (const Json &rule : json["rules"]) {
        told(either(rule["citation"]).get<std::string>() + " " + rule["title"].get<std::string>());
        if (rule["change"] == "renumbered")
            told(rule["citation"]["before"].get<std::string>() + " is now " +
                 rule["citation"]["after"].get<std::string>());
        all_changes(rule["changes"]);
        for (const Json &through : rule["through"])
            told(through);
    }
    for (const Json &shared : json["shared"]) {
        told(shared["before"]);
        told(shared["after"]);
        all_changes(shared["changes"]);
    }
    for (const char *side : {"added", "removed"}) {
        for (const Json &gap : json["not_encoded"][side])
            told(gap["citation"].get<std::string>() + " " + gap["what"].get<std::string>());
    }
    for (const Json &clause : json["jobs"]["clauses"]) {
        for (const Json &v : clause["verdicts"]) {
            const auto word = [](const Json &verdict) {
                return verdict.is_null() ? "no such rule" : verdict.get<std::string>();
            };
            told(std::to_string(v["count"].get<int>()) + ": " + word(v["before"]) + ", now " +
                 word(v["after"]));
        }
    }
}

} // namespace

TEST_CASE("on generated jobs only listed rules change, in the direction that is told") {
    const std::pair<const char *, const char *> pairs[] = {
        {"nec-2017", "nec-2017+tia-17-2"},
        {"nec-2020", "nec-2020+harbor-city-2025"},
        {"nec-2017", "nec-2020"},
        {"nec-2020", "nec-2023"}};
    for (const auto &[before, after] : pairs) {
        INFO(before << " to " << after);
        const auto sides = on_random_jobs(before, after, 300 / share);
        only_what_is_told(*sides);
        text_tells_what_json_tells(*sides);
        CHECK(sides->jobs.clauses.size() * 3 >= sides->books.rules.size()); // they are reached
    }
}

TEST_CASE("one changed cell moves findings of its dependants only") {
    const std::vector<book::NamedText> layer = {
        {"cell.rules", "amendment cell to nec-2023\n  title \"One cell\"\n\n"
                       "change table 310.16 [8 AWG, copper, 60 °C] from 40 A to 35 A\n"}};
    const auto sides = on_random_jobs("nec-2023", "nec-2023+cell", 1000 / share, layer);
    only_what_is_told(*sides);
    CHECK(sides->jobs.told_otherwise > 0); // the cell is read
}

TEST_CASE("a verdict that stays open is told otherwise where other facts are missing") {
    const std::string rest = "  says \"No.\"\n";
    const auto asks = [&](const std::string &fact) {
        return trial::compiled("rule 1.1 \"R\"\n  topic probe\n  for crate\n  shall " + fact +
                               "\n" + rest);
    };
    const trial::Compiled before = asks("sealed");
    const trial::Compiled after = asks("approved");
    const std::string open = trial::crate(R"("load":"3 A")");
    report::JobComparison jobs;
    report::add_job(jobs, "a", trial::check(before, open), trial::check(after, open));
    CHECK(jobs.told_otherwise == 1);
    report::add_job(jobs, "b", trial::check(before, open), trial::check(before, open));
    CHECK(jobs.told_otherwise == 1);
}

TEST_CASE("a job of which nothing changes adds nothing, and a rule that is gone asks nothing") {
    const trial::Compiled both = trial::compiled(trial::rule_that("sealed"));
    const trial::Compiled none = trial::compiled(trial::rule_that("sealed"), {"delete rule 1.1\n"});
    report::JobComparison jobs;
    const std::string open = trial::crate(R"("sealed":false)");
    report::add_job(jobs, "a", trial::check(both, open), trial::check(both, open));
    CHECK(jobs.changed == 0);
    CHECK(jobs.clauses.empty());
    report::add_job(jobs, "b", trial::check(both, open), trial::check(none, open));
    REQUIRE(jobs.list.size() == 1);
    CHECK(jobs.list[0].before == Verdict::violates);
    CHECK_FALSE(jobs.list[0].after);
    const std::string existing = R"({"work":"existing","crates":[{"sealed":false}]})";
    report::add_job(jobs, "c", trial::check(both, existing), trial::check(none, existing));
    CHECK(jobs.changed == 1);
    CHECK(jobs.jobs == 3);
}
