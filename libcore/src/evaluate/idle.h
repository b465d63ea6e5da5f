// Rules and parts that no job can ever bring to bear.
#pragma once

#include "book/model.h"
#include "program/program.h"
#include "text/diagnostics.h"

namespace groundrule::evaluate {

// Warns of rules that can never apply, of parts that can never hold, and of exceptions that hold
// only where one before them does. Two ways tell: a truth that is known while no fact is (learning
// more never changes it), and conditions that exclude each other.
void find_idle(const book::Book &book, const program::Program &program, Diagnostics &diagnostics);

} // namespace groundrule::evaluate
