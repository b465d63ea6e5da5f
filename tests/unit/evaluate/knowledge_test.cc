// Saying less never makes a rule comply that did not, over generated books: learning changes
// undetermined into anything, complies into not applicable, and nothing else.

#include "evaluate/idle.h"
#include "evaluate/knowledge.h"
#include "generated.h"

#include "catch.h"

namespace {

using namespace groundrule;
using generated::figures;
using generated::implying;
using generated::Writer;
using knowledge::Json;

// Two sources of one fact: over an open list the first tells the least, the second the most.
const std::string facing = trial::vocabulary +
                           "\nimply crate \"It carries its strongest piece\"\n"
                           "  rating = max(p in pieces : p.draw)\n"
                           "\nimply crate \"And is not far above its weakest\"\n"
                           "  rating = min(p in pieces : p.draw) + 15 A\n";

using Changes = std::map<std::pair<Verdict, Verdict>, std::size_t>;

// Generated books over a vocabulary, and jobs that lack one thing. What verdicts became of which.
Changes changes_over(const std::string &words, std::size_t &compared) {
    Changes changes;
    for (std::uint32_t seed = 1; seed <= 12; ++seed) {
        Writer writer(seed);
        std::string rules = figures;
        for (int i = 1; i <= 30; ++i)
            rules += writer.rule(i);
        const trial::Compiled c = trial::compiled(trial::open(rules, {}, words));
        for (int round = 0; round < 40; ++round) {
            Json whole = {{"work", "new"}, {"crates", Json::array({writer.crate()})}};
            knowledge::name_items(whole, "job");
            const auto more = knowledge::verdicts(c, whole);
            if (!more)
                continue;
            const auto visit = [&](const Json &part, const std::string &without) {
                const auto less = knowledge::verdicts(c, part);
                REQUIRE(less);
                for (const auto &[key, before] : *less) {
                    ++compared;
                    if (more->count(key) != 0)
                        ++changes[{before, more->at(key)}];
                }
                const std::string fault = knowledge::unlawful(*less, *more);
                if (!fault.empty())
                    FAIL("seed " << seed << ", without " << without << ": " << fault << "\n"
                                 << whole.dump(1) << "\n"
                                 << rules);
            };
            knowledge::each_removal(whole, Json::json_pointer(), visit);
        }
    }
    return changes;
}

} // namespace

TEST_CASE("in generated books a rule of which it is said that it can never apply, never does") {
    std::size_t told = 0;
    for (std::uint32_t seed = 1; seed <= 8; ++seed) {
        Writer writer(seed);
        std::string rules = figures;
        for (int i = 1; i <= 60; ++i)
            rules += writer.rule(i);
        const trial::Compiled c = trial::compiled(trial::open(rules, {}, implying));
        Diagnostics warnings;
        evaluate::find_idle(*c.book, c.program, warnings);
        std::vector<std::size_t> idle;
        for (const Diagnostic &d : warnings.list()) {
            for (std::size_t r = 0; r < c.book->rules.size(); ++r) {
                const bool about = d.message.find("(" + c.book->rules[r].topic +
                                                  ") can never "
                                                  "apply") != std::string::npos;
                if (about)
                    idle.push_back(r);
            }
        }
        told += idle.size();
        for (int round = 0; round < 60; ++round) {
            const Json job = {{"work", "new"}, {"crates", Json::array({writer.crate()})}};
            evaluate::Workspace workspace;
            evaluate::run(c.program, trial::job_of(*c.book, job.dump()), workspace);
            for (const std::size_t r : idle) {
                INFO("seed " << seed << ", " << c.book->rules[r].topic << "\n" << rules);
                REQUIRE(truth_in(workspace.cell(c.program.rules[r].applies, 0)) != Truth::yes);
            }
        }
    }
    CHECK(told > 5);
}

TEST_CASE("in generated books no rule complies for want of a fact, a mark or an item (`work` is "
          "inherited and left out)") {
    std::size_t compared = 0;
    Changes changes = changes_over(implying, compared);
    CHECK(compared > 10000);
    // The books are not so dull that nothing ever changes.
    CHECK(changes[{Verdict::undetermined, Verdict::complies}] > 0);
    CHECK(changes[{Verdict::undetermined, Verdict::violates}] > 0);
    CHECK(changes[{Verdict::undetermined, Verdict::not_applicable}] > 0);
    CHECK(changes[{Verdict::complies, Verdict::not_applicable}] > 0);
}

TEST_CASE("in generated books facts that are bounded from both sides settle verdicts only") {
    std::size_t compared = 0;
    Changes changes = changes_over(facing, compared);
    CHECK(compared > 10000);
    CHECK(changes[{Verdict::undetermined, Verdict::complies}] > 0);
    CHECK(changes[{Verdict::undetermined, Verdict::violates}] > 0);
}
