// The words of the errors that parsing finds.
#pragma once

#include "syntax/parse_state.h"
#include "text/diagnostics.h"

namespace groundrule::syntax {

// Where parsing came no further, what stands there and what would have been right. `first` and
// `last` bound the declaration.
void report_failure(const ParseState &s, const char *first, const char *last,
                    Diagnostics &diagnostics);

// What is wrong in text that parses.
void report_faults(const ParseState &s, Diagnostics &diagnostics);

} // namespace groundrule::syntax
