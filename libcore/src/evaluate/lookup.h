// Table cells and next standard values.
#pragma once

#include "evaluate/workspace.h"

#include <optional>

namespace groundrule::evaluate {

// Which cell of its table a look-up lands on, filled or not; nothing if a key is unknown or beyond
// the table.
std::optional<std::size_t> cell_index(const program::Program &program,
                                      const program::Instruction &in, std::size_t row,
                                      const Workspace &workspace);

Cell looked_up(const program::Program &program, const program::Instruction &in, std::size_t row,
               const Workspace &workspace);

// The smallest value of a list at least as large as the argument.
Cell next_in(const program::List &list, const Cell &limit);

} // namespace groundrule::evaluate
