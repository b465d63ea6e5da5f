// The scalar evaluator, the verdicts alone and the plain walker agree on books and jobs that nobody
// wrote; tests/unit/columns holds the columnar evaluator against two of them.
#include "catch.h"
#include "generated.h"
#include "plain/walker.h"
#include "report/random_jobs.h"

#include "evaluate/verdicts.h"

using namespace groundrule;

namespace {

struct Counts {
    std::size_t verdicts = 0;
    std::size_t decided = 0;
    std::size_t contradictory = 0;
};

void compare(const trial::Compiled &c, facts::Job job, Counts &counts) {
    plain::Walker walker(*c.book, job);
    facts::Job whole = job;
    whole.inherit_work();
    evaluate::Workspace workspace;
    evaluate::run(c.program, whole, workspace);
    const bool contradictory = walker.contradictory();
    REQUIRE(contradictory == !workspace.contradictions.empty());
    counts.contradictory += contradictory ? 1 : 0;
    const evaluate::Dense dense(c.program);
    evaluate::Verdicts alone;
    REQUIRE((alone.update(c.program, dense, job) == evaluate::Verdicts::Outcome::contradicted) ==
            contradictory);
    if (contradictory)
        return;
    for (std::size_t rule = 0; rule < c.book->rules.size(); ++rule) {
        const program::RuleCode &code = c.program.rules[rule];
        for (std::size_t row = 0; row < workspace.rows_in(code.space); ++row) {
            const Verdict plain = walker.verdict(rule, row);
            const Verdict scalar = evaluate::verdict(code, row, workspace);
            const Verdict quick = alone.all()[alone.first(rule) + row];
            ++counts.verdicts;
            counts.decided += plain == Verdict::undetermined ? 0 : 1;
            if (plain != scalar || plain != quick) {
                INFO(c.book->rules[rule].citation << ", row " << row);
                CHECK(plain == scalar);
                REQUIRE(plain == quick);
            }
        }
    }
}

} // namespace

TEST_CASE("three evaluators: generated books and jobs") {
    // The last words imply a fact from two sides: over an open list the least, and the most.
    const std::string facing = trial::vocabulary +
                               "\nimply crate \"It carries its strongest piece\"\n"
                               "  rating = max(p in pieces : p.draw)\n"
                               "\nimply crate \"And is not far above its weakest\"\n"
                               "  rating = min(p in pieces : p.draw) + 15 A\n";
    Counts counts;
    for (std::uint32_t seed = 1; seed <= 24; ++seed) {
        generated::Writer writer(seed);
        std::string rules = generated::figures;
        for (int i = 1; i <= 30; ++i)
            rules += writer.rule(i);
        const std::string &words =
            seed % 3 == 0 ? trial::vocabulary : (seed % 3 == 1 ? generated::implying : facing);
        const trial::Compiled c = trial::compiled(trial::open(rules, {}, words));
        for (int round = 0; round < 50; ++round) {
            INFO("seed " << seed << ", round " << round);
            const generated::Json job = {{"work", "new"},
                                         {"crates", generated::Json::array({writer.crate()})}};
            facts::Job told = trial::job_of(*c.book, job.dump());
            if (round % 4 == 0)
                facts::apply_assumptions(told, {{book::find_item(*c.book, "crate"), 1, 15}});
            compare(c, std::move(told), counts);
        }
    }
    INFO(counts.verdicts << " verdicts, " << counts.decided << " decided, " << counts.contradictory
                         << " contradictory jobs");
    CHECK(counts.verdicts > 20000);
    CHECK(counts.decided > counts.verdicts / 4);
    CHECK(counts.contradictory > 10);
}

TEST_CASE("three evaluators: shipped editions on random jobs") {
    for (const char *name : {"nec-2017+tia-17-2", "nec-2020", "nec-2023"}) {
        const trial::Compiled c = trial::compiled(book::open_book(name));
        trial::RandomJobs jobs({c.book.get()}, 11);
        Counts counts;
        for (int round = 0; round < 60; ++round) {
            INFO(name << ", round " << round);
            compare(c, std::move(jobs.next().front()), counts);
        }
        INFO(name << ": " << counts.verdicts << " verdicts, " << counts.decided << " decided, "
                  << counts.contradictory << " contradictory jobs");
        CHECK(counts.verdicts > 5000);
        CHECK(counts.decided > counts.verdicts / 10);
    }
}
