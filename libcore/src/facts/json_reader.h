// Jobs and assumption files as JSON documents, read in one pass straight into the job's columns.
//
// The document is an object for the job itself. A key is a field of its item, or the name of a list
// of items below it (an array of objects), or one of: "id" and "note" (texts), "complete" (names of
// the lists of which this item names every item), "assumed" (an object of fields whose values are
// assumed, not known).
#pragma once

#include "facts/job.h"
#include "text/diagnostics.h"

#include <optional>
#include <string_view>

namespace groundrule::facts {

// All faults are reported, each with the path of its item and the line and column; the job is empty
// if there are any.
std::optional<Job> job_from_json(const book::Book &book, std::string_view json,
                                 const std::string &name, Diagnostics &diagnostics);

// {"assume": {"run.ambient_temperature": "30 °C", …}, "note": "…"}
std::vector<Assumption> assumptions_from_json(const book::Book &book, std::string_view json,
                                              const std::string &name, Diagnostics &diagnostics);

} // namespace groundrule::facts
