// All mutants of some of a book's files.
#pragma once

#include "mutate/mutant.h"
#include "mutate/reach.h"

#include <cstdint>
#include <vector>

namespace groundrule::mutate {

// Whether what stands in a file of the book is changed.
using Files = std::vector<std::uint8_t>;

// In the order of their places.
std::vector<Mutant> mutants(const book::Book &book, const Reach &reach, const Files &files);

// Those of expressions, of limits and of the parts of rules; of tables and lists.
void mutate_rules(const book::Book &book, const Reach &reach, const Files &files,
                  std::vector<Mutant> &out);
void mutate_tables(const book::Book &book, const Reach &reach, const Files &files,
                   std::vector<Mutant> &out);

bool changed(const Files &files, Span span);

// What is written there.
std::string written(const book::Book &book, Span span);

} // namespace groundrule::mutate
