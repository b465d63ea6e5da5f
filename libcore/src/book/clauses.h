// What a rule takes over from the clause that it stands within.
#pragma once

#include "book/draft.h"

namespace groundrule::book {

// False if there is no such clause; otherwise the rule is within none any more. What a layer
// widened the rule by widens the clause's conditions for this rule alone.
[[nodiscard]] bool take_clause_of(DraftRule &rule, const Draft &draft, ast::File &made,
                                  Diagnostics &diagnostics);

// Refuses lines that only rules have: nobody would read them.
void check_clause(const DraftRule &clause, Diagnostics &diagnostics);

} // namespace groundrule::book
