// Table cells and next standard values.
#pragma once

#include "evaluate/workspace.h"

namespace groundrule::evaluate {

Cell looked_up(const program::Program &program, const program::Instruction &in, std::size_t row,
               const Workspace &workspace);

// The smallest value of a list at least as large as the argument.
Cell next_in(const program::List &list, const Cell &limit);

} // namespace groundrule::evaluate
