// From parsed files to a draft: the edition's own text, then each amendment's changes, checked
// against what they change.
#pragma once

#include "book/draft.h"

namespace groundrule::book {

struct BookName {
    std::string edition;
    std::vector<std::string> amendments;
    std::string printed; // path of a printed book, in place of a name
};

// "nec-2017+tia-17-2"
BookName parse_book_name(std::string_view name);

// Faults go to `diagnostics`. The draft refers to the files in `book`. What was decided of its
// disputes is in `put`.
Draft compose(const BookName &name, Book &book,
              const std::map<std::pair<std::uint32_t, std::uint32_t>, bool> &put,
              Diagnostics &diagnostics);

// The text of another edition, made once; null if there is none. Its faults are told where it is
// the edition.
const Draft *edition_text(Draft &draft, Book &book, const std::string &edition);

} // namespace groundrule::book
