// A book printed whole: its layers' texts as they take effect, in one rule file that opens as the
// same book; and what the layers changed.
#pragma once

#include "book/open.h"

#include <string>

namespace groundrule::book {

std::string printed_book(const Book &book);

// The rules of a topic, of a number, or below a number ("230.70"), as the whole book prints them,
// and behind each its lineage. Empty if there are none.
std::string printed_rules(const Book &book, const std::string &called, const Lineage &lineage);

// One line or more for each change, from what to what, layer by layer.
std::string printed_changes(const Book &book);

} // namespace groundrule::book
