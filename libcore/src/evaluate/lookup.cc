// Keys are compared in whole grid steps.
#include "evaluate/lookup.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace groundrule::evaluate {

namespace {

using program::TableKey;

std::optional<std::size_t> position(const TableKey &key, double value) {
    const double step = on_grid(value, key.scale);
    const auto begin = key.steps.begin();
    if (key.match == TableKey::Match::at_least) {
        const auto above = std::upper_bound(begin, key.steps.end(), step);
        return above == begin
                   ? std::nullopt
                   : std::optional<std::size_t>(static_cast<std::size_t>(above - begin) - 1);
    }
    const auto found = std::lower_bound(begin, key.steps.end(), step);
    if (found == key.steps.end() || (key.match == TableKey::Match::exact && *found != step))
        return std::nullopt;
    return static_cast<std::size_t>(found - begin);
}

} // namespace

std::optional<std::size_t> cell_index(const program::Program &program,
                                      const program::Instruction &in, std::size_t row,
                                      const Workspace &workspace) {
    const program::Table &table = program.tables[in.index];
    std::size_t at = 0;
    for (std::size_t k = 0; k < in.count; ++k) {
        const Cell &key = workspace.cell(program.arguments[in.first + k], row);
        const auto found = key.exact() ? position(table.keys[k], key.value) : std::nullopt;
        if (!found)
            return std::nullopt;
        at = at * table.keys[k].steps.size() + *found;
    }
    return at * table.columns + in.column;
}

Cell looked_up(const program::Program &program, const program::Instruction &in, std::size_t row,
               const Workspace &workspace) {
    const auto at = cell_index(program, in, row, workspace);
    if (!at)
        return {};
    const double value = program.tables[in.index].cells[*at];
    return std::isnan(value) ? Cell{} : exactly(value);
}

Cell next_in(const program::List &list, const Cell &limit) {
    if (!limit.exact())
        return {};
    const auto found =
        std::lower_bound(list.steps.begin(), list.steps.end(), on_grid(limit.value, list.scale));
    return found == list.steps.end()
               ? Cell{}
               : exactly(list.values[static_cast<std::size_t>(found - list.steps.begin())]);
}

} // namespace groundrule::evaluate
