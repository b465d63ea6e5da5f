// Cuts a rule file into declarations before any grammar sees it, in one linear pass, and bounds
// each of them, so that a broken or hostile declaration can neither hide the next one nor overflow
// a stack.
#pragma once

#include "text/diagnostics.h"

#include <vector>

namespace groundrule::syntax {

struct Piece {
    std::uint32_t begin = 0;
    std::uint32_t end = 0;
    std::string_view first_word;
    std::string_view second_word;
};

// Pieces that broke a bound are reported and left out.
std::vector<Piece> split(const SourceText &source, std::uint32_t file, Diagnostics &diagnostics);

} // namespace groundrule::syntax
