// The digest of a book's meaning: SHA-256 over a canonical form of the typed tree. Layout,
// positions, layer marks, the order of files and the wording of messages do not change it; a limit,
// a cell, a condition or a citation does.
#pragma once

#include "book/model.h"

namespace groundrule::book {

std::string canonical_form(const Book &book);

// Made at the first call, by any thread; opening a book does without.
const std::string &digest_of(const Book &book);

} // namespace groundrule::book
