// What several JSON forms show.
#pragma once

#include "book/model.h"
#include "report/finding.h"

#include <nlohmann/json.hpp>

namespace groundrule::report {

using Json = nlohmann::ordered_json; // keys keep the order in which a reader wants them

Json book_json(const book::Book &book); // name, digest, layers
Json missing_json(const Missing &missing);
Json not_encoded(const book::Book &book); // clauses, exceptions and paths that are not written out

} // namespace groundrule::report
