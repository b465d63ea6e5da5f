#include "columns/lack_counts.h"

#include "evaluate/scalar.h"

#include <algorithm>
#include <cstdint>
#include <cstring>
#include <set>

namespace groundrule::columns {

namespace {

using Word = std::uint64_t;
constexpr Word ones = 0x0101010101010101;
constexpr std::size_t most_words = 255; // whose bytes, 0 or 1, add up to no more than a byte holds
static_assert(yes == 2 && no == 0 && static_cast<int>(Verdict::undetermined) == 3);

Word word(const std::uint8_t *bytes, std::size_t count) {
    Word out = 0;
    std::memcpy(&out, bytes, count);
    return out;
}

Word in_rows(const std::uint8_t *truths, std::size_t w) {
    return word(truths + w * sizeof(Word), sizeof(Word)) >> 1 & ones;
}

std::uint64_t sum_of_bytes(Word bytes) {
    std::uint64_t sum = 0;
    for (; bytes != 0; bytes >>= 8)
        sum += bytes & 0xff;
    return sum;
}

LackedFact lacked(const evaluate::Lack &l) {
    const bool of_list = l.kind == evaluate::Lack::Kind::list;
    return {l.kind, of_list ? std::uint32_t{l.child} : l.slot};
}

} // namespace

void count_lacks(const book::Book &book, const program::Program &program, const Plan &plan,
                 const facts::Job &job, const evaluate::Workspace &workspace, LackCounts &out) {
    evaluate::Trace trace(book, program, job, workspace, SIZE_MAX);
    for (std::uint32_t k = 0; k < plan.rules.size(); ++k) {
        const program::RuleCode &code = program.rules[plan.rules[k]];
        for (std::size_t i = 0; i < workspace.rows_in(code.space); ++i) {
            if (evaluate::verdict(code, i, workspace) != Verdict::undetermined)
                continue;
            std::set<LackedFact> facts;
            for (const program::Register reg : {code.applies, code.met}) {
                for (const evaluate::Lack &l : trace.lacks(reg, i))
                    facts.insert(lacked(l));
            }
            for (const LackedFact &fact : facts) {
                LackCount &count = out[{k, fact}];
                ++count.verdicts;
                count.alone += facts.size() == 1 ? 1 : 0;
            }
        }
    }
}

LackCounter::LackCounter(const Plan &plan) : plan_(plan) {
    for (const std::vector<LackedFacts> &groups : plan.lacks)
        counts_.emplace_back(groups.size());
}

// Are there open verdicts?
bool LackCounter::begin(const std::uint8_t *verdicts, const std::uint8_t *apart, std::size_t rows) {
    const std::size_t words = (rows + sizeof(Word) - 1) / sizeof(Word);
    open_.resize(words);
    Word any = 0;
    for (std::size_t w = 0; w < words; ++w) {
        const std::size_t at = w * sizeof(Word);
        const Word verdict = word(verdicts + at, std::min(sizeof(Word), rows - at));
        const Word mark = word(apart + at, sizeof(Word));
        // Of the verdicts only "undetermined" has its two lowest bits set.
        open_[w] = verdict & verdict >> 1 & ~(mark | mark >> 1) & ones;
        any |= open_[w];
    }
    some_.assign(words, 0);
    more_.assign(words, 0);
    return any != 0;
}

void LackCounter::mark(const std::uint8_t *truths, bool several) {
    for (std::size_t w = 0; w < open_.size(); ++w) {
        const Word lacking = in_rows(truths, w);
        more_[w] |= several ? lacking : lacking & some_[w];
        some_[w] |= lacking;
    }
}

void LackCounter::add(LackCount &count, const std::uint8_t *truths) const {
    for (std::size_t begin = 0; begin < open_.size(); begin += most_words) {
        const std::size_t end = std::min(begin + most_words, open_.size());
        Word verdicts = 0;
        Word alone = 0;
        for (std::size_t w = begin; w < end; ++w) {
            const Word lacking = in_rows(truths, w) & open_[w];
            verdicts += lacking;
            alone += lacking & ~more_[w];
        }
        count.verdicts += sum_of_bytes(verdicts);
        count.alone += sum_of_bytes(alone);
    }
}

void LackCounter::take(LackCounts &out) {
    for (std::uint32_t rule = 0; rule < counts_.size(); ++rule) {
        for (std::size_t g = 0; g < counts_[rule].size(); ++g) {
            LackCount &counted = counts_[rule][g];
            for (const LackedFact &fact : plan_.lacks[rule][g].facts) {
                if (counted.verdicts == 0)
                    continue;
                LackCount &sum = out[{rule, fact}];
                sum.verdicts += counted.verdicts;
                sum.alone += counted.alone;
            }
            counted = {};
        }
    }
}

} // namespace groundrule::columns
