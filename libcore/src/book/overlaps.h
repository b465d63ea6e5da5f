// Names and numbers that stand for two things in one place.
#pragma once

#include "book/model.h"
#include "text/diagnostics.h"

namespace groundrule::book {

// Warns of limits, readings and parameters that hide a fact or definition of their item, and of
// rules that a layer sets beside one of the same number for the same item.
void find_overlaps(const Book &book, Diagnostics &diagnostics);

} // namespace groundrule::book
