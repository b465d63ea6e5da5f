// Definitions, implied facts and rules that lead back to themselves.
#pragma once

#include "book/model.h"
#include "text/diagnostics.h"

namespace groundrule::book {

// Each way round is told once, also among definitions that no rule reads. What passes can be
// lowered without a guard: every definition, fact and rule ends at fields.
void check_cycles(const Book &book, Diagnostics &diagnostics);

} // namespace groundrule::book
