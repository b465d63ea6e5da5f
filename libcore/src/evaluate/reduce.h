// Quantifiers and aggregates: the rows of a child reduced into the rows of its parent.
#pragma once

#include "evaluate/workspace.h"

namespace groundrule::evaluate {

// One list: what is seen of its rows, then what that makes of it.
Reduction start(program::Op op);
void see(Reduction &seen, program::Op op, Truth counts, const Cell &body);
Cell finish(const Reduction &seen, program::Op op, bool complete, bool non_negative);

// Of a list without rows.
Cell of_nothing(const program::Instruction &in, const program::Program &program, bool complete);

// Whether the body of a reduction is never below zero.
inline bool sums_up(const program::Instruction &in, const program::Program &program) {
    return in.count > 2 && program.code[program.arguments[in.first + 2]].non_negative;
}

// Writes one cell a parent row.
void reduce(const program::Program &program, const program::Instruction &in, const facts::Job &job,
            Workspace &workspace, Cell *out);

} // namespace groundrule::evaluate
