// What a layer states or changes, and its own tests do not reach.
#pragma once

#include "book/model.h"
#include "evaluate/coverage.h"
#include "text/diagnostics.h"

namespace groundrule::evaluate {

// Warns of each text of the topmost layer that no test of its own reaches: changes of rules that no
// test is about, parts that hold in none, rows that none reads, and what rules may rest on while no
// test is about such a rule. One text that changes several rules is reached in any of them. An
// edition has no layer to look at.
void find_untested(const book::Book &book, const Coverage &reached, Diagnostics &diagnostics);

} // namespace groundrule::evaluate
