// Verdicts as Arrow: a struct of one column a rule, named by the rule's topic. A rule on the rows
// of the table has a byte a row; a rule on items of a list has, for each row of the table, the list
// of its items' bytes.
#pragma once

#include "columns/audit.h"

namespace groundrule::columns {

// Citation and title of each rule stand in its column's metadata.
void export_schema(const book::Book &book, const Audit &audit, ArrowSchema &out);

void export_array(Outcome outcome, ArrowArray &out);

} // namespace groundrule::columns
