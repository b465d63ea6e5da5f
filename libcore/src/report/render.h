// A report as JSON, as SARIF 2.1.0 (OASIS standard) and as text for people; a book as JSON and as
// the JSON Schema of its jobs.
#pragma once

#include "book/open.h"
#include "report/finding.h"

#include <string>

namespace groundrule::report {

std::string to_json(const Report &report);
std::string to_sarif(const Report &report);

struct TextOptions {
    bool all = false;    // also what does not apply, one by one
    bool colour = false; // terminal colours
};
std::string to_text(const Report &report, const TextOptions &options);

std::string describe(const book::Book &book, const book::Lineage &lineage);
std::string job_schema(const book::Book &book);

} // namespace groundrule::report
