// From parsed files to a draft: the edition's own text, then each amendment's changes, checked
// against what they change.
#pragma once

#include "book/draft.h"

namespace groundrule::book {

struct BookName {
    std::string edition;
    std::vector<std::string> amendments;
};

// "nec-2017+tia-17-2"
BookName parse_book_name(std::string_view name);

// Faults go to `diagnostics`. The draft refers to the files in `book`.
Draft compose(const BookName &name, Book &book, Diagnostics &diagnostics);

} // namespace groundrule::book
