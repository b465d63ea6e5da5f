// Dimensions of quantities and the fixed grid on which each is compared.
//
// A quantity is a double in its dimension's base unit: ampere, volt, millimetre, degree Celsius
// (points) or kelvin (differences), circular mil, pound-force inch, and their products
// (volt-ampere, ohm, mm², mm³). Comparison, equality, table keys and printing first round to the
// grid, so that 50 A × 1.16 is 58 A, which raw doubles miss.
#pragma once

#include <cmath>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace groundrule {

struct Dimension {
    std::int8_t ampere = 0;
    std::int8_t volt = 0;
    std::int8_t millimetre = 0;
    std::int8_t kelvin = 0;
    std::int8_t circular_mil = 0;
    std::int8_t pound_inch = 0;
    bool point = false; // a temperature, as against a difference of temperatures

    friend bool operator==(const Dimension &, const Dimension &) = default;
    bool is_number() const { return *this == Dimension{}; }
};

namespace dimension {
inline constexpr Dimension number{};
inline constexpr Dimension current{.ampere = 1};
inline constexpr Dimension voltage{.volt = 1};
inline constexpr Dimension power{.ampere = 1, .volt = 1};
inline constexpr Dimension resistance{.ampere = -1, .volt = 1};
inline constexpr Dimension length{.millimetre = 1};
inline constexpr Dimension area{.millimetre = 2};
inline constexpr Dimension volume{.millimetre = 3};
inline constexpr Dimension temperature{.kelvin = 1, .point = true};
inline constexpr Dimension temperature_difference{.kelvin = 1};
inline constexpr Dimension conductor_area{.circular_mil = 1};
inline constexpr Dimension torque{.pound_inch = 1};

std::optional<Dimension> named(std::string_view name); // "current" and so on
std::string name_of(const Dimension &d);               // "current", or a product such as "A·mm"
Dimension product(const Dimension &a, const Dimension &b);
Dimension quotient(const Dimension &a, const Dimension &b);

// Grid steps per base unit: 10⁶ for A, V, mm, mm², mm³, °C, cmil; 10³ for VA; 10⁹ for plain numbers
// and ohms.
double grid_scale(const Dimension &d);
} // namespace dimension

// Whole grid steps. Monotone, so order on the grid stays total and transitive. Beside 1.5 · 2⁵² a
// double has no room for a fraction: adding it rounds to the nearest whole number, ties to even, as
// nearbyint does, which costs a call where the processor's own rounding can't be counted on.
inline double on_grid(double value, double scale) {
    constexpr double shift = 6755399441055744.0;
    const double steps = value * scale;
    return std::fabs(steps) < shift / 3 ? (steps + shift) - shift : std::nearbyint(steps);
}

// The value itself, moved to the nearest grid point.
inline double snapped(double value, double scale) {
    return on_grid(value, scale) / scale;
}

// Beyond 2⁵³ steps a double no longer resolves the grid.
inline bool fits_grid(double value, double scale) {
    return std::fabs(value * scale) < 9007199254740992.0; // infinity and NaN are not
}

} // namespace groundrule
