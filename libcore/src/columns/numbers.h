// Numbers compared and computed. What can carry a bound is two numbers, that which it is at least
// and that which it is at most (form.h): the loops for numbers run on both.
#pragma once

#include "columns/emitter.h"

namespace groundrule::columns {

// equal, at_least or more_than, on the grid.
Value compared(Emitter &emit, program::Op op, double scale, const Value &a, const Value &b,
               std::uint16_t tier);

// add, subtract, multiply or divide.
Value computed(Emitter &emit, program::Op op, const Value &a, const Value &b, std::uint16_t tier);

// The larger one or the smaller one of all.
Value extreme(Emitter &emit, bool larger, const std::vector<Value> &arguments, std::uint16_t tier);

// The first where the condition holds, the second where it does not.
Value chosen_number(Emitter &emit, const Value &condition, const Value &a, const Value &b,
                    std::uint16_t tier);

} // namespace groundrule::columns
