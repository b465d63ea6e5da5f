// A rule is compiled alone: a mutant costs as much as the rule is long, not as the book.
#include "mutate/trial.h"

#include "evaluate/decision.h"
#include "evaluate/lookup.h"
#include "evaluate/scalar.h"

#include <algorithm>

namespace groundrule::mutate {

Trial::Trial(const book::Book &book, std::uint32_t rule, std::vector<Case> cases, Altered &altered)
    : book_(book), rule_(rule), cases_(std::move(cases)), altered_(altered),
      program_(program::compile(book, program::Excerpt{{rule}, {}})), cells_(cases_.size()) {}

bool Trial::passes() {
    for (std::size_t c = 0; c < cases_.size(); ++c) {
        if (fails(cases_[c], program_))
            return false;
        note_cells(c);
    }
    return true;
}

bool Trial::kills(const Mutant &mutant, bool reads) {
    const auto *cell = std::get_if<CellEdit>(&mutant.edit);
    if (cell != nullptr && mutant.slots.empty())
        return kills_cell(*cell);
    altered_.make(mutant.edit);
    program::Excerpt excerpt{{}, mutant.slots};
    if (reads)
        excerpt.rules = {rule_};
    const program::Program program = program::compile(altered_.book(), excerpt);
    altered_.undo();
    return std::any_of(cases_.begin(), cases_.end(),
                       [&](const Case &c) { return fails(c, program); });
}

bool Trial::fails(const Case &c, const program::Program &program) {
    evaluate::run(program, c.job, workspace_);
    if (!workspace_.contradictions.empty())
        return true;
    const program::RuleCode &code = program.rules[rule_];
    if (code.applies == program::no_register)
        return false;
    if (evaluate::verdict(code, 0, workspace_) != c.verdict)
        return true;
    return !c.citation->empty() &&
           evaluate::finding_citation(book_.rules[rule_], code, 0, workspace_) != *c.citation;
}

void Trial::note_cells(std::size_t c) {
    for (const program::Instruction &in : program_.code) {
        if (in.op != program::Op::lookup)
            continue;
        for (std::size_t row = 0; row < workspace_.rows_in(in.space); ++row) {
            const auto at = evaluate::cell_index(program_, in, row, workspace_);
            if (at)
                cells_[c].emplace_back(in.index, *at);
        }
    }
    std::sort(cells_[c].begin(), cells_[c].end());
}

bool Trial::lands_on(std::size_t c, const CellEdit &edit) {
    return std::binary_search(cells_[c].begin(), cells_[c].end(), std::pair(edit.table, edit.cell));
}

// No code depends on a cell, so it is changed where it stands, and only cases that read it are run.
bool Trial::kills_cell(const CellEdit &edit) {
    double &cell = program_.tables[edit.table].cells[edit.cell];
    const double before = std::exchange(cell, edit.value);
    bool killed = false;
    for (std::size_t c = 0; c < cases_.size() && !killed; ++c)
        killed = lands_on(c, edit) && fails(cases_[c], program_);
    cell = before;
    return killed;
}

} // namespace groundrule::mutate
