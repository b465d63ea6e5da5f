// What an amendment does not name stays as it was, job by job; and a book that was printed and
// opened again finds the same.
#include "book/compare.h"
#include "book/digest.h"
#include "book/show.h"
#include "generate/house_jobs.h"

#include "catch.h"

#include <set>

namespace {

using namespace groundrule;

#ifdef GROUNDRULE_SANITIZED
constexpr std::size_t wanted = 300;
#else
constexpr std::size_t wanted = 10000;
#endif

struct Side {
    const trial::Compiled &compiled;
    evaluate::Workspace workspace;

    bool run(const facts::Job &job) {
        evaluate::run(compiled.program, job, workspace);
        return workspace.contradictions.empty();
    }
};

// Topic, and the verdicts on each item that the rule is for.
std::map<std::string, std::string> verdicts(Side &side, const facts::Job &job) {
    std::map<std::string, std::string> out;
    const std::vector<book::Rule> &rules = side.compiled.book->rules;
    for (std::size_t r = 0; r < rules.size(); ++r) {
        std::string &all = out[rules[r].topic];
        for (std::size_t row = 0; row < job.rows(rules[r].item).size(); ++row)
            all += report::verdict_name(
                evaluate::verdict(side.compiled.program.rules[r], row, side.workspace))[0];
    }
    return out;
}

} // namespace

TEST_CASE("ten thousand generated jobs: what an amendment does not name is found as before") {
    const trial::Compiled before = trial::compiled(book::open_book("nec-2020"));
    const trial::Compiled after = trial::compiled(book::open_book("nec-2020+harbor-city-2025"));
    std::set<std::string> amended;
    for (const book::RuleChange &c : book::compare(*before.book, *after.book).rules)
        amended.insert(c.topic);
    CHECK(amended.size() >= 4);
    CHECK(amended.size() < 10);
    generated::HouseJobs jobs(20250701);
    Side older{before, {}};
    Side newer{after, {}};
    std::size_t checked = 0;
    std::size_t moved = 0;
    std::size_t decided = 0;
    for (std::size_t tries = 0; tries < 3 * wanted && checked < wanted; ++tries) {
        const auto job = jobs.next({before.book.get(), after.book.get()});
        if (!older.run(job[0]) || !newer.run(job[1]))
            continue;
        ++checked;
        const auto was = verdicts(older, job[0]);
        const auto is = verdicts(newer, job[1]);
        for (const auto &[topic, all] : was) {
            decided += all.find_first_of("cv") != std::string::npos ? 1 : 0;
            const auto there = is.find(topic);
            const bool same = there != is.end() && there->second == all;
            if (!same && amended.contains(topic))
                ++moved;
            else if (!same)
                FAIL_CHECK(topic << " changed from " << all << " in job " << tries);
        }
    }
    CHECK(checked == wanted);
    CHECK(moved > wanted / 50);   // the amendment is felt
    CHECK(decided > 10 * wanted); // and the jobs are about something
}

TEST_CASE("every shipped book is printed whole, opens again as itself and finds the same") {
    for (const char *name :
         {"nec-2017", "nec-2017+tia-17-2", "nec-2020", "nec-2020+harbor-city-2025", "nec-2023"}) {
        INFO(name);
        const trial::Compiled first = trial::compiled(book::open_book(name));
        const std::string text = book::printed_book(*first.book);
        const trial::Compiled again =
            trial::compiled(book::open_book("printed.rules", {{"printed.rules", text}}));
        CHECK(book::digest_of(*again.book) == book::digest_of(*first.book));
        CHECK(again.book->name == first.book->name);
        CHECK(book::printed_book(*again.book) == text);
        generated::HouseJobs jobs(7);
        Side one{first, {}};
        Side two{again, {}};
        for (std::size_t i = 0; i < wanted / 100; ++i) {
            const auto job = jobs.next({first.book.get(), again.book.get()});
            REQUIRE(one.run(job[0]) == two.run(job[1]));
            if (!one.workspace.contradictions.empty())
                continue;
            const report::Report a =
                report::findings(*first.book, first.program, job[0], one.workspace, {});
            const report::Report b =
                report::findings(*again.book, again.program, job[1], two.workspace, {});
            REQUIRE(a.findings.size() == b.findings.size());
            for (std::size_t f = 0; f < a.findings.size(); ++f) {
                CHECK(a.findings[f].verdict == b.findings[f].verdict);
                CHECK(a.findings[f].citation == b.findings[f].citation);
                CHECK(a.findings[f].layer == b.findings[f].layer);
                CHECK(a.findings[f].decided_by == b.findings[f].decided_by);
                CHECK(a.findings[f].says == b.findings[f].says);
            }
        }
    }
}
