// Whether an answer can change an open verdict: by values for the fact that is asked for and for
// what else is unknown, each a trial of the whole book.
#pragma once

#include "answers/next.h"
#include "answers/samples.h"
#include "evaluate/workspace.h"

#include <cstdint>
#include <span>
#include <unordered_map>
#include <vector>

namespace groundrule::answers {

class Need {
  public:
    // left_open: lists whose state is settled although they may have more items.
    Need(const Subject &subject, Trial &trial, const Samples &samples,
         const std::vector<Place> &left_open)
        : subject_(subject), trial_(trial), samples_(samples), left_open_(left_open) {}

    // Looks for values with which the answer decides a verdict that waits for it: telling others
    // at random, as long as the verdict stays open. First what the trace names beside it, and half
    // as often all that the verdict can depend on.
    bool walk(const Question &q, std::span<const Question> all, std::size_t tries);

    enum class Outcome : std::uint8_t { decides, idle, too_many };
    // Tries all samples of all that the verdicts can depend on; too_many: there are more than
    // `most` combinations, or an open list among what they depend on.
    Outcome exhaust(const Question &q, std::size_t most);

  private:
    std::vector<Place> named_beside(const Question &q, std::span<const Question> all,
                                    std::size_t verdict) const;
    const Trial::Ground &below(std::size_t verdict);
    void tell(std::vector<Place> others, std::size_t verdict);
    bool decides(const Question &q, std::size_t verdict);
    Outcome exhaust(const Question &q, std::size_t verdict, std::size_t most);
    bool is_open(std::size_t verdict) const {
        return trial_.verdicts()[verdict] == Verdict::undetermined;
    }
    const std::vector<double> &values(const Place &at);
    bool closing_decides(const Question &q, std::size_t verdict, bool with_another);
    std::size_t any_of(std::size_t n);

    const Subject &subject_;
    Trial &trial_;
    const Samples &samples_;
    const std::vector<Place> &left_open_;
    std::unordered_map<std::size_t, Trial::Ground> below_;          // by verdict
    std::unordered_map<std::uint32_t, std::vector<double>> values_; // by slot
    evaluate::Workspace workspace_;
    std::uint64_t state_ = 1;
};

} // namespace groundrule::answers
