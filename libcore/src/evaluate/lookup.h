// Table cells and next standard values.
#pragma once

#include "evaluate/workspace.h"

#include <cmath>
#include <optional>

namespace groundrule::evaluate {

// Which of a key's values a value lands on; nothing if it is beyond them.
std::optional<std::size_t> position(const program::TableKey &key, double value);

// Which cell of its table a look-up lands on, filled or not; nothing if a key is unknown or beyond
// the table. `argument(k)` gives the cell of the k-th key.
template <typename Argument>
std::optional<std::size_t> cell_index(const program::Program &program,
                                      const program::Instruction &in, Argument argument) {
    const program::Table &table = program.tables[in.index];
    std::size_t at = 0;
    for (std::size_t k = 0; k < in.count; ++k) {
        const Cell &key = argument(k);
        const auto found = key.exact() ? position(table.keys[k], key.value) : std::nullopt;
        if (!found)
            return std::nullopt;
        at = at * table.keys[k].steps.size() + *found;
    }
    return at * table.columns + in.column;
}

inline std::optional<std::size_t> cell_index(const program::Program &program,
                                             const program::Instruction &in, std::size_t row,
                                             const Workspace &workspace) {
    return cell_index(program, in, [&](std::size_t k) -> const Cell & {
        return workspace.cell(program.arguments[in.first + k], row);
    });
}

template <typename Argument>
Cell looked_up(const program::Program &program, const program::Instruction &in, Argument argument) {
    const auto at = cell_index(program, in, argument);
    if (!at)
        return {};
    const double value = program.tables[in.index].cells[*at];
    return std::isnan(value) ? Cell{} : exactly(value);
}

// The smallest value of a list at least as large as the argument.
Cell next_in(const program::List &list, const Cell &limit);

} // namespace groundrule::evaluate
