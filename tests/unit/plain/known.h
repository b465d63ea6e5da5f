// What is known of a value, and every operation on it as docs/language.md tells it.
#pragma once

#include "book/model.h"
#include "quantity/truth.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

namespace plain {

using namespace groundrule;

inline constexpr double open_end = std::numeric_limits<double>::infinity();

struct Known {
    double low = -open_end;
    double high = open_end;
    bool exact() const { return low == high; }
};

using Answer = std::optional<bool>; // none: unknown

using book::NodeOp;

inline Known exactly(double value) {
    return std::isfinite(value) ? Known{value, value} : Known{};
}
inline Known of(Answer a) {
    return a ? exactly(*a ? 1 : 0) : Known{};
}
inline Answer answer(const Known &k) {
    return k.exact() ? Answer(k.low != 0) : Answer();
}

inline Answer not_(Answer a) {
    return a ? Answer(!*a) : a;
}
inline Answer and_(Answer a, Answer b) {
    if (a == Answer(false) || b == Answer(false))
        return false;
    return a && b ? Answer(true) : Answer();
}
inline Answer or_(Answer a, Answer b) {
    if (a == Answer(true) || b == Answer(true))
        return true;
    return a && b ? Answer(false) : Answer();
}

// Steps of the grid.
inline double steps(double value, double scale) {
    return std::nearbyint(value * scale);
}

inline Answer at_least(const Known &a, const Known &b, double scale) {
    if (steps(a.low, scale) >= steps(b.high, scale))
        return true;
    return steps(a.high, scale) < steps(b.low, scale) ? Answer(false) : Answer();
}

inline Answer equal(const Known &a, const Known &b, double scale) {
    if (a.exact() && b.exact())
        return steps(a.low, scale) == steps(b.low, scale);
    const bool apart =
        at_least(a, b, scale) == Answer(false) || at_least(b, a, scale) == Answer(false);
    return apart ? Answer(false) : Answer();
}

// An open end stays open, and a sum that no double holds tells nothing.
inline Known between(double low, double high, const Known &a, const Known &b) {
    const bool lost = (std::isfinite(a.low) && std::isfinite(b.low) && !std::isfinite(low)) ||
                      (std::isfinite(a.high) && std::isfinite(b.high) && !std::isfinite(high));
    return lost ? Known{} : Known{low, high};
}

inline Known sum(const Known &a, const Known &b) {
    return between(a.low + b.low, a.high + b.high, a, b);
}
inline Known negative(const Known &a) {
    return {-a.high, -a.low};
}

// A bound times what is exact and not below zero is a bound of its direction.
inline Known scaled(const Known &a, double by, bool divides) {
    const auto end = [&](double x) { return std::isinf(x) ? x : (divides ? x / by : x * by); };
    const Known out = {end(a.low), end(a.high)};
    const bool lost = (std::isfinite(a.low) && !std::isfinite(out.low)) ||
                      (std::isfinite(a.high) && !std::isfinite(out.high));
    return lost ? Known{} : out;
}

inline Known product(const Known &a, const Known &b) {
    if (a.exact() && b.exact())
        return exactly(a.low * b.low);
    if (b.exact() && b.low >= 0)
        return scaled(a, b.low, false);
    return a.exact() && a.low >= 0 ? scaled(b, a.low, false) : Known{};
}

inline Known quotient(const Known &a, const Known &b) {
    if (!b.exact() || b.low == 0)
        return {};
    if (a.exact())
        return exactly(a.low / b.low);
    return b.low > 0 ? scaled(a, b.low, true) : Known{};
}

// Of the bounds only "at least" is passed on.
inline Known larger(const Known &a, const Known &b) {
    const Known both = {std::max(a.low, b.low), std::max(a.high, b.high)};
    return both.exact() ? both : Known{both.low, open_end};
}
inline Known smaller(const Known &a, const Known &b) {
    return negative(larger(negative(a), negative(b)));
}

// To a multiple of a step; the number of steps is a plain number, on the grid of plain numbers.
inline Known rounded(const Known &a, const Known &step, NodeOp way) {
    if (!a.exact() || !step.exact() || step.low <= 0)
        return {};
    const double parts = steps(a.low / step.low, 1e9) / 1e9;
    const double whole = way == NodeOp::round_down ? std::floor(parts)
                         : way == NodeOp::round_up ? std::ceil(parts)
                                                   : std::floor(parts + 0.5);
    return exactly(whole * step.low);
}

} // namespace plain
