// Each operator defined once, on cells. Bounds pass through +, lower ones through larger, upper
// ones through smaller, and both through × ÷ by exact values that are not below zero; elsewhere
// they become unknown. Comparison is on the grid.
#pragma once

#include "quantity/cell.h"
#include "quantity/dimension.h"

#include <algorithm>
#include <cmath>

namespace groundrule::evaluate {

// Lower and upper end of what a cell can be; infinite where it is open.
constexpr bool has_low(const Cell &c) {
    return c.bound == Bound::exact || c.bound == Bound::at_least;
}
constexpr bool has_high(const Cell &c) {
    return c.bound == Bound::exact || c.bound == Bound::at_most;
}

inline Truth at_least(const Cell &a, const Cell &b, double scale) {
    const double x = on_grid(a.value, scale);
    const double y = on_grid(b.value, scale);
    if (has_low(a) && has_high(b) && x >= y)
        return Truth::yes;
    if (has_high(a) && has_low(b) && x < y)
        return Truth::no;
    return Truth::unknown;
}

inline Truth more_than(const Cell &a, const Cell &b, double scale) {
    return negation(at_least(b, a, scale));
}

inline Truth equal(const Cell &a, const Cell &b, double scale) {
    if (a.exact() && b.exact())
        return truth_of(on_grid(a.value, scale) == on_grid(b.value, scale));
    // Known to differ if one bound lies beyond the other.
    const bool apart = more_than(a, b, scale) == Truth::yes || more_than(b, a, scale) == Truth::yes;
    return apart ? Truth::no : Truth::unknown;
}

inline Bound flipped(Bound b) {
    return b == Bound::at_least ? Bound::at_most : (b == Bound::at_most ? Bound::at_least : b);
}

// The bound of a monotone result of two parts: exact only of exact ones, unknown of opposed ones.
inline Bound together(Bound a, Bound b) {
    if (a == Bound::exact)
        return b;
    return b == Bound::exact || a == b ? a : Bound::unknown;
}

inline Cell result(double value, Bound bound) {
    if (bound == Bound::unknown || !std::isfinite(value))
        return {};
    return {value, bound};
}

inline Cell add(const Cell &a, const Cell &b) {
    return result(a.value + b.value, together(a.bound, b.bound));
}

inline Cell subtract(const Cell &a, const Cell &b) {
    return result(a.value - b.value, together(a.bound, flipped(b.bound)));
}

// `positive`: not below zero.
constexpr Bound product_bound(Bound a, bool a_positive, Bound b, bool b_positive) {
    const bool a_exact = a == Bound::exact;
    const bool b_exact = b == Bound::exact;
    if ((a_exact && b_exact) || (b_exact && b_positive))
        return a;
    return a_exact && a_positive ? b : Bound::unknown;
}

inline Cell multiply(const Cell &a, const Cell &b) {
    return result(a.value * b.value, product_bound(a.bound, a.value >= 0, b.bound, b.value >= 0));
}

inline Cell divide(const Cell &a, const Cell &b) {
    if (!b.exact() || b.value == 0)
        return {};
    return a.exact() || b.value > 0 ? result(a.value / b.value, a.bound) : Cell{};
}

// The larger of what is known is a lower bound even if the rest is unknown. An upper bound is never
// passed on beside it: a cell holds one bound, and learning more must not trade one for the other.
inline Cell larger(const Cell &a, const Cell &b) {
    if (a.exact() && has_high(b) && a.value >= b.value)
        return a;
    if (b.exact() && has_high(a) && b.value >= a.value)
        return b;
    if (has_low(a) && has_low(b))
        return {std::max(a.value, b.value), Bound::at_least};
    return has_low(a) ? Cell{a.value, Bound::at_least}
                      : (has_low(b) ? Cell{b.value, Bound::at_least} : Cell{});
}

// Likewise an upper bound.
inline Cell smaller(const Cell &a, const Cell &b) {
    if (a.exact() && has_low(b) && a.value <= b.value)
        return a;
    if (b.exact() && has_low(a) && b.value <= a.value)
        return b;
    if (has_high(a) && has_high(b))
        return {std::min(a.value, b.value), Bound::at_most};
    return has_high(a) ? Cell{a.value, Bound::at_most}
                       : (has_high(b) ? Cell{b.value, Bound::at_most} : Cell{});
}

enum class Rounding : std::uint8_t { down, up, nearest };

// To a multiple of a step. The quotient first rounds to its own grid, so that 4.9999999999 steps
// are five.
inline Cell rounded(const Cell &a, const Cell &step, Rounding way) {
    if (!a.exact() || !step.exact() || step.value <= 0)
        return {};
    const double steps = snapped(a.value / step.value, 1e9);
    const double whole = way == Rounding::down
                             ? std::floor(steps)
                             : (way == Rounding::up ? std::ceil(steps) : std::floor(steps + 0.5));
    return result(whole * step.value, Bound::exact);
}

inline Cell choose_value(Truth condition, const Cell &then, const Cell &otherwise) {
    return condition == Truth::unknown ? Cell{} : (condition == Truth::yes ? then : otherwise);
}

// What is known of a value that two sources tell: the tighter of two bounds, the exact one of an
// exact one and a bound, the lower one of two that face each other. `apart` is set if they can't
// both be true.
inline Cell joined(const Cell &a, const Cell &b, double scale, bool &apart) {
    if (!a.known())
        return b;
    if (!b.known())
        return a;
    if (equal(a, b, scale) == Truth::no) {
        apart = true;
        return a;
    }
    if (a.exact() || b.exact())
        return a.exact() ? a : b;
    if (a.bound != b.bound)
        return a.bound == Bound::at_least ? a : b;
    return {a.bound == Bound::at_least ? std::max(a.value, b.value) : std::min(a.value, b.value),
            a.bound};
}

} // namespace groundrule::evaluate
