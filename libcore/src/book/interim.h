// Interim amendments, which the publisher makes between two editions: a jurisdiction takes in none,
// all, or those of a day, and says so in the header of its own amendment.
#pragma once

#include "book/layers.h"

namespace groundrule::book {

// The amendments of a book's name, with the interim amendments that their policy takes in right
// behind the edition, by date. One that the policy does not take in is an error.
std::vector<std::string> with_interim(const BookName &name, const Book &book,
                                      Diagnostics &diagnostics);

// Whether a layer takes in interim amendments that the book's name need not tell.
bool takes_interim(const ast::Header &header);

} // namespace groundrule::book
