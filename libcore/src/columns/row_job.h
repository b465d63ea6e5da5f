// One row of a table as a job of its own: for rows that no narrow form holds, and for whoever wants
// to read the findings of a row.
#pragma once

#include "columns/table.h"
#include "facts/job.h"

#include <string>
#include <vector>

namespace groundrule::columns {

// Faults of the row's values are appended, each with its column; the facts concerned stay unknown.
facts::Job job_of(const book::Book &book, const Table &table, const Layout &layout, std::size_t row,
                  std::vector<std::string> &faults);

} // namespace groundrule::columns
