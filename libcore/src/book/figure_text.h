// Tables and lists as they take effect, as text of the rule language.
#pragma once

#include "book/draft_text.h"

namespace groundrule::book {

// `draft` has the types as they were written; the cells are those of the book.
std::string table_lines(const Book &book, const Table &table, const DraftTable &draft,
                        const Endings &endings);
std::string list_lines(const Book &book, const List &list, const DraftList &draft,
                       const Endings &endings);

// "[8 AWG, copper, 60 °C]"
std::string key_text(const Book &book, const Table &table, std::size_t cell);

// A value as a cell: choices quoted where they have to be.
std::string cell_text(const Book &book, const Type &type, double value);

} // namespace groundrule::book
