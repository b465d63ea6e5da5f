// How the values of a register stand in memory while a batch runs. A truth is a byte; a value that
// comes from a short list is the byte of its place in it; whole numbers are 16 bits wide; what is
// computed is a double; only what can carry a bound takes two.
#pragma once

#include "quantity/cell.h"

#include <cstddef>
#include <cstdint>
#include <limits>

namespace groundrule::columns {

enum class Form : std::uint8_t {
    truth,  // no, unknown, yes: "and" is the smaller byte, "or" the larger
    code,   // place in a domain of at most 254 cells
    whole,  // value = count × unit
    real,   // unknown is NaN
    bounds, // two buffers of reals: at least the one, at most the other; exact where both are known
};

inline constexpr std::uint8_t no = 0;
inline constexpr std::uint8_t unknown = 1;
inline constexpr std::uint8_t yes = 2;

inline constexpr std::uint8_t no_code = 255;
inline constexpr std::size_t longest_domain = 254;
inline constexpr std::int16_t no_whole = std::numeric_limits<std::int16_t>::min();

constexpr std::size_t width_of(Form form) {
    switch (form) {
    case Form::truth:
    case Form::code:
        return 1;
    case Form::whole:
        return 2;
    case Form::real:
    case Form::bounds:
        break;
    }
    return sizeof(double);
}

constexpr std::uint8_t byte_of(Truth t) {
    return t == Truth::unknown ? unknown : (t == Truth::yes ? yes : no);
}
constexpr std::uint8_t byte_of(const Cell &c) {
    return byte_of(truth_in(c));
}
constexpr Cell cell_of_byte(std::uint8_t t) {
    return t == unknown ? Cell{} : exactly(t == yes ? 1 : 0);
}

} // namespace groundrule::columns
