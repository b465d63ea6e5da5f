// The mutants that the tests of a book do not notice, as JSON and as a person reads them.
#pragma once

#include "mutate/mutation.h"

#include <string>

namespace groundrule::report {

std::string to_json(const book::Book &book, const mutate::Mutation &mutation);
std::string to_text(const book::Book &book, const mutate::Mutation &mutation);

} // namespace groundrule::report
