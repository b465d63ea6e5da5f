// How many open verdicts lack which fact.
#pragma once

#include "columns/plan.h"

#include <map>
#include <utility>

namespace groundrule::columns {

struct LackCount {
    std::uint64_t verdicts = 0; // that lack the fact
    std::uint64_t alone = 0;    // and nothing else
};

// By rule (its place in the plan) and fact.
using LackCounts = std::map<std::pair<std::uint32_t, LackedFact>, LackCount>;

// Adds what the open verdicts of one job lack.
void count_lacks(const book::Book &book, const program::Program &program, const Plan &plan,
                 const facts::Job &job, const evaluate::Workspace &workspace, LackCounts &out);

// Of one worker. A rule's rows are looked at together, eight at once: a word holds a byte, 0 or 1,
// for each. Scratch for the longest range is kept.
class LackCounter {
  public:
    explicit LackCounter(const Plan &plan);

    // verdicts: of one rule; apart: marks of rows that are not to be counted; planes: gives the
    // truths of a buffer. Marks and truths are padded to whole words.
    template <typename Planes>
    void count(std::uint32_t rule, const std::uint8_t *verdicts, const std::uint8_t *apart,
               std::size_t rows, Planes planes) {
        if (!begin(verdicts, apart, rows))
            return;
        for (const LackedFacts &group : plan_.lacks[rule])
            mark(planes(group.buffer), group.facts.size() > 1);
        for (std::size_t g = 0; g < plan_.lacks[rule].size(); ++g)
            add(counts_[rule][g], planes(plan_.lacks[rule][g].buffer));
    }

    // Adds what was counted, and begins again.
    void take(LackCounts &out);

  private:
    bool begin(const std::uint8_t *verdicts, const std::uint8_t *apart, std::size_t rows);
    void mark(const std::uint8_t *truths, bool several);
    void add(LackCount &count, const std::uint8_t *truths) const;

    const Plan &plan_;
    std::vector<std::vector<LackCount>> counts_; // of each rule and group
    std::vector<std::uint64_t> open_;            // 1: the verdict is open
    std::vector<std::uint64_t> some_;            // 1: something is lacking
    std::vector<std::uint64_t> more_;            // 1: more than one fact is
};

} // namespace groundrule::columns
