// A book printed whole: its layers' texts as they take effect, in one rule file that opens as the
// same book; and what the layers changed.
#pragma once

#include "book/model.h"

#include <string>

namespace groundrule::book {

std::string printed_book(const Book &book);

// One line or more for each change, from what to what, layer by layer.
std::string printed_changes(const Book &book);

} // namespace groundrule::book
