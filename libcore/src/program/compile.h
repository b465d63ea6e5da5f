// Lowers a book to a program.
#pragma once

#include "book/model.h"
#include "program/program.h"
#include "text/diagnostics.h"

namespace groundrule::program {

// Reports definitions, facts or rules that lead back to themselves, and programs beyond the bound;
// the program is then of no use.
Program compile(const book::Book &book, Diagnostics &diagnostics);

} // namespace groundrule::program
