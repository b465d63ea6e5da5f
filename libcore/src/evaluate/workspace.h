// The cells of one check: for every register one cell a row of its space. Reused from check to
// check; once it has grown to the largest job it allocates nothing.
#pragma once

#include "facts/job.h"
#include "program/program.h"

#include <vector>

namespace groundrule::evaluate {

// Two sources of one fact that can't both be true.
struct Contradiction {
    std::uint32_t slot = 0;
    std::uint32_t row = 0;
    Cell given;
    Cell implied;
    std::uint32_t source = 0; // which of the field's implications
};

// What has been seen of one parent's list while its rows are reduced.
struct Reduction {
    Truth truth = Truth::unknown; // any, all
    double value = 0;
    bool some = false; // a value has been seen
    bool whole = true; // every element counted exactly
};

class Workspace {
  public:
    void prepare(const program::Program &program, const facts::Job &job);

    Cell *row_cells(program::Register reg) { return cells_.data() + offsets_[reg]; }
    const Cell &cell(program::Register reg, std::size_t row) const {
        return cells_[offsets_[reg] + row];
    }
    std::size_t rows_in(std::uint16_t space) const { return row_counts_[space]; }

    std::vector<Contradiction> contradictions;
    std::vector<Reduction> reductions; // scratch, one a parent row

  private:
    std::vector<Cell> cells_;
    std::vector<std::size_t> offsets_;    // of each register
    std::vector<std::size_t> row_counts_; // of each space
};

} // namespace groundrule::evaluate
