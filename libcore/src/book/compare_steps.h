// The steps of a comparison; compare.cc puts them together.
#pragma once

#include "book/compare.h"

namespace groundrule::book {

// Changes of the text of one requirement that both books have. A text that only
// means something else because what it names changed is none.
std::vector<Change> rule_changes(const Book &before, const Rule &older, const Book &after,
                                 const Rule &newer, Entailment &entailment);

// Items, fields and what implies them, groups, tables, lists and definitions that differ.
std::vector<SharedChange> shared_changes(const Book &before, const Book &after);

// For each rule of a book, which of the changed things it rests on: their place in `shared`, or
// behind those the place in `topics` of a rule that applies to other things than before.
std::vector<std::vector<std::size_t>> rests_on(const Book &book,
                                               const std::vector<SharedChange> &shared,
                                               const std::vector<std::string> &topics);

} // namespace groundrule::book
