// Comparison on the grid, folded into plain doubles: the least double that rounds to a step or
// above. Rounding is monotone, so x ≥ that double says the same as on_grid(x) ≥ step.
#pragma once

#include "quantity/dimension.h"

#include <limits>

namespace groundrule::columns {

inline double least_reaching(double step, double scale) {
    constexpr double infinity = std::numeric_limits<double>::infinity();
    double x = (step - 0.5) / scale;
    while (on_grid(x, scale) >= step)
        x = std::nextafter(x, -infinity);
    while (on_grid(x, scale) < step)
        x = std::nextafter(x, infinity);
    return x;
}

// One bit for each grid that dimensions have.
inline std::uint8_t grid_bit(double scale) {
    return scale == 1e3 ? 1 : (scale == 1e6 ? 2 : (scale == 1e9 ? 4 : (scale == 1 ? 8 : 0)));
}

// The grids of which a value is a point, near enough to zero for order on the grid to be the order
// of the doubles themselves.
inline std::uint8_t grids_of(double value) {
    std::uint8_t out = 0;
    for (const double scale : {1.0, 1e3, 1e6, 1e9}) {
        if (std::fabs(value * scale) < 0x1p51 && snapped(value, scale) == value)
            out = static_cast<std::uint8_t>(out | grid_bit(scale));
    }
    return out;
}

} // namespace groundrule::columns
