// What every answer ends with: the cautions, and what is not encoded, so neither passed nor failed.
#pragma once

#include "report/book_json.h"
#include "report/finding.h"

namespace groundrule::answers {

std::string closing_text(const book::Book &book);
void close_json(const book::Book &book, report::Json &answer);

} // namespace groundrule::answers
