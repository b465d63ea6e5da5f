// Lays out registers for the rows at hand.
#include "evaluate/workspace.h"

namespace groundrule::evaluate {

void Workspace::prepare(const program::Program &program, const facts::Job &job) {
    contradictions.clear();
    row_counts_.resize(program.spaces.size());
    std::size_t total = 0;
    offsets_.resize(program.code.size());
    for (std::size_t space = 0; space < program.spaces.size(); ++space) {
        const std::size_t rows = job.rows(static_cast<std::int32_t>(space)).size();
        row_counts_[space] = rows;
        for (const program::Register reg : program.spaces[space].registers) {
            offsets_[reg] = total;
            total += rows;
        }
    }
    if (cells_.size() < total)
        cells_.resize(total);
}

} // namespace groundrule::evaluate
