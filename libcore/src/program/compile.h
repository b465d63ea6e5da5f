// Lowers a book to a program.
#pragma once

#include "book/model.h"
#include "program/program.h"
#include "text/diagnostics.h"

#include <vector>

namespace groundrule::program {

// Reports definitions, facts or rules that lead back to themselves, and programs beyond the bound;
// the program is then of no use.
Program compile(const book::Book &book, Diagnostics &diagnostics);

// What is lowered of a book that has been compiled whole: these rules and slots, with all that they
// read. Messages have no code, and so have other rules.
struct Excerpt {
    std::vector<std::uint32_t> rules;
    std::vector<std::uint32_t> slots;
};
Program compile(const book::Book &book, const Excerpt &excerpt);

} // namespace groundrule::program
