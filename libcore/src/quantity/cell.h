// What is known of one value: nothing, the value, or a bound. Truths are 0 or 1 and never bounds.
#pragma once

#include "quantity/truth.h"

namespace groundrule {

enum class Bound : std::uint8_t { unknown = 0, exact = 1, at_least = 2, at_most = 3 };

struct Cell {
    double value = 0;
    Bound bound = Bound::unknown;

    bool known() const { return bound != Bound::unknown; }
    bool exact() const { return bound == Bound::exact; }
};

constexpr Cell exactly(double value) {
    return {value, Bound::exact};
}

constexpr Truth truth_in(const Cell &cell) {
    return cell.bound == Bound::unknown ? Truth::unknown
                                        : (cell.value != 0 ? Truth::yes : Truth::no);
}

constexpr Cell cell_of(Truth t) {
    return t == Truth::unknown ? Cell{} : Cell{t == Truth::yes ? 1.0 : 0.0, Bound::exact};
}

} // namespace groundrule
