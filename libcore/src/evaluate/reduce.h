// Quantifiers and aggregates: the rows of a child reduced into the rows of its parent.
#pragma once

#include "evaluate/workspace.h"

namespace groundrule::evaluate {

// Writes one cell a parent row.
void reduce(const program::Program &program, const program::Instruction &in, const facts::Job &job,
            Workspace &workspace, Cell *out);

} // namespace groundrule::evaluate
