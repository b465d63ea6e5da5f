// Loops for numbers that can carry a bound. Each gives one of the two buffers that such a number
// takes: what it is at least, or what it is at most; NaN where there is none. A number is exact
// where both are there.
#pragma once

#include "columns/kernel_lanes.h"

namespace groundrule::columns {

namespace {

bool known(double a) {
    return !__builtin_isunordered(a, a);
}

void most_known(const Call &c, std::size_t rows) {
    each<double, double, double>(c, rows,
                                 [](double a, double b) { return ((a >= b) | !known(b)) ? a : b; });
}
void least_known(const Call &c, std::size_t rows) {
    each<double, double, double>(c, rows,
                                 [](double a, double b) { return ((a <= b) | !known(b)) ? a : b; });
}

// What the larger of two is at most: the one of them that is exact and reaches what the other is at
// most. In: at most, at least of the first; of the second.
void larger_exact(const Call &call, std::size_t rows) {
    each_of_four<double, double>(call, rows, [](double a, double a_low, double b, double b_low) {
        const double second = ((b >= a) & known(b_low)) ? b : nan;
        return ((a >= b) & known(a_low)) ? a : second;
    });
}
// What the smaller of two is at least. In: at least, at most of the first; of the second.
void smaller_exact(const Call &call, std::size_t rows) {
    each_of_four<double, double>(call, rows, [](double a, double a_high, double b, double b_high) {
        const double second = ((b <= a) & known(b_high)) ? b : nan;
        return ((a <= b) & known(a_high)) ? a : second;
    });
}

// The first where the second is there too: of both bounds the exact number.
void both_known(const Call &c, std::size_t rows) {
    each<double, double, double>(c, rows, [](double a, double b) { return known(b) ? a : nan; });
}

// A bound of a product or a quotient. In: this bound of the first, its other bound; of the second.
// A bound passes where the other number is exact and not negative.
void multiply_bound(const Call &call, std::size_t rows) {
    each_of_four<double, double>(
        call, rows, [](double a, double a_other, double b, double b_other) {
            const bool exact_a = !__builtin_isunordered(a, a_other);
            const bool exact_b = !__builtin_isunordered(b, b_other);
            return ((exact_a & exact_b) | (exact_a & (a >= 0)) | (exact_b & (b >= 0))) ? a * b
                                                                                       : nan;
        });
}
void divide_bound(const Call &call, std::size_t rows) {
    each_of_four<double, double>(
        call, rows, [](double a, double a_other, double b, double b_other) {
            const bool exact_a = !__builtin_isunordered(a, a_other);
            const bool exact_b = !__builtin_isunordered(b, b_other);
            return (exact_b & (b != 0) & (exact_a | (b > 0))) ? a / b : nan;
        });
}

} // namespace

} // namespace groundrule::columns
