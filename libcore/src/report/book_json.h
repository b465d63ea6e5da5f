// What several JSON forms show.
#pragma once

#include "book/model.h"
#include "report/finding.h"
#include "text/json_value.h"

namespace groundrule::report {

using Json = JsonValue;

Json book_json(const book::Book &book); // name, digest, layers
Json missing_json(const Missing &missing);
Json not_encoded(const book::Book &book); // clauses, exceptions and paths that are not written out

} // namespace groundrule::report
