// Operations on values of any form: the cheapest steps that mean what the scalar operators mean.
#pragma once

#include "columns/emitter.h"

namespace groundrule::columns {

// Conjunction or disjunction of truths.
Value logic(Emitter &emit, bool conjunction, const std::vector<Value> &arguments,
            std::uint16_t tier);

// Every operation whose result depends on its arguments alone.
Value operation(Emitter &emit, program::Register reg, std::vector<Value> arguments,
                std::uint16_t tier);

} // namespace groundrule::columns
