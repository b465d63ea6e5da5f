// The names of editions that files speak of.
#pragma once

#include "book/model.h"

namespace groundrule::book {

// Reports each name behind `part of`, `in` and `numbered … in` that is no edition: a slip there
// would silently leave text out of a book.
void check_editions(const Book &book, const std::vector<std::string> &shipped,
                    Diagnostics &diagnostics);

} // namespace groundrule::book
