// All that can be told about the text of a book that opens.
#pragma once

#include "book/model.h"
#include "text/diagnostics.h"

namespace groundrule::evaluate {

// Faults: of its program, and of the tests that hold for it. Warnings: text that can never have a
// say, messages that may miss a value, names and numbers that stand for two things; and of a layer,
// whose tests are run here, what they do not reach.
void review(const book::Book &book, Diagnostics &diagnostics);

} // namespace groundrule::evaluate
