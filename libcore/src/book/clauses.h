// What a rule takes over from the clause that it stands within.
#pragma once

#include "book/draft.h"

namespace groundrule::book {

// False if there is no such clause. What a layer widened the rule by widens the clause's conditions
// for this rule alone.
[[nodiscard]] bool take_clause_of(DraftRule &rule, const Draft &draft, ast::File &made,
                                  Diagnostics &diagnostics);

} // namespace groundrule::book
