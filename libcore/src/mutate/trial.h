// The tests of one rule, made ready to be run on many mutants.
#pragma once

#include "evaluate/workspace.h"
#include "mutate/mutant.h"
#include "program/compile.h"

#include <utility>
#include <vector>

namespace groundrule::mutate {

// A test's case: the job that it tells, and what it expects.
struct Case {
    facts::Job job;
    Verdict verdict;
    const std::string *citation; // empty: any
};

class Trial {
  public:
    // `book` as written; `altered` is a copy of it that belongs to this thread.
    Trial(const book::Book &book, std::uint32_t rule, std::vector<Case> cases, Altered &altered);

    // Whether all cases pass as it is.
    bool passes();
    // Whether a case fails once this is changed. If the rule does not read what is changed, its
    // cases fail only by facts that contradict what is implied.
    bool kills(const Mutant &mutant, bool reads);

  private:
    bool fails(const Case &c, const program::Program &program);
    bool kills_cell(const CellEdit &edit);
    bool lands_on(std::size_t c, const CellEdit &edit);
    void note_cells(std::size_t c);

    const book::Book &book_;
    std::uint32_t rule_;
    std::vector<Case> cases_;
    Altered &altered_;
    program::Program program_; // of the rule as written
    // Cells of tables on which the look-ups of each case land, in order.
    std::vector<std::vector<std::pair<std::uint32_t, std::size_t>>> cells_;
    evaluate::Workspace workspace_;
};

} // namespace groundrule::mutate
