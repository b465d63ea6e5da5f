// Quantifiers and aggregates over lists of one row.
#pragma once

#include "columns/emitter.h"

namespace groundrule::columns {

// Where the rows of a list stand one to one with those above, a reduction is an operation on each
// row. Arguments: completeness, filter, and a body unless the list is only counted.
Value reduced_alone(Emitter &emit, const program::Instruction &in,
                    const std::vector<Value> &arguments, std::uint16_t tier);

} // namespace groundrule::columns
