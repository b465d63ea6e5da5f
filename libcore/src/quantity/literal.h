// Values with their units as people write them: "30 A", "4 ft 6 in", "1 1/4 in", "125 %", "1/0
// AWG", "33 °C rise", "2021-07-01". The rule grammar and the job reader share this, so a quantity
// means the same in both.
#pragma once

#include "quantity/dimension.h"

#include <string>
#include <string_view>

namespace groundrule {

enum class ValueKind : std::uint8_t { truth, quantity, conductor_size, choice, date };

struct Literal {
    ValueKind kind = ValueKind::quantity;
    Dimension dimension;  // of a quantity
    double value = 0;     // base unit, index of a size, or day number
    std::size_t size = 0; // bytes read
};

enum class LiteralFault : std::uint8_t {
    none,
    not_a_value,
    unknown_unit,
    no_such_size,
    bad_date,
    too_large,
    mixed_units
};

struct LiteralResult {
    LiteralFault fault = LiteralFault::none;
    Literal literal;
    std::string_view word; // the unit or size that is at fault
};

// Reads the longest value at the start of `text`. After a bare number it stops; a word that follows
// it is reported as an unknown unit (with the number in `literal`), which a caller may take back if
// the word means something else to it.
LiteralResult read_literal(std::string_view text);

// The unit that a word may stand for: "A" for "amps"; empty if none is near.
std::string nearest_unit(std::string_view word);

// Trade formatting of a value in its base unit.
std::string format_quantity(double value, const Dimension &d);

// The units that a dimension may be written in, for messages: "A", or "in, ft, mm, m".
std::string units_of(const Dimension &d);

} // namespace groundrule
