// Names, products and grids of dimensions.
#include "quantity/dimension.h"

#include <array>
#include <utility>

namespace groundrule::dimension {

namespace {

using Named = std::pair<std::string_view, Dimension>;

constexpr std::array<Named, 12> all = {{
    {"number", number},
    {"current", current},
    {"voltage", voltage},
    {"power", power},
    {"resistance", resistance},
    {"length", length},
    {"area", area},
    {"volume", volume},
    {"temperature", temperature},
    {"temperature_difference", temperature_difference},
    {"conductor_area", conductor_area},
    {"torque", torque},
}};

void append(std::string &out, int exponent, std::string_view unit) {
    if (exponent == 0)
        return;
    if (!out.empty())
        out += "·";
    out += unit;
    if (exponent != 1)
        out += "^" + std::to_string(exponent);
}

std::int8_t plus(std::int8_t a, std::int8_t b) {
    return static_cast<std::int8_t>(a + b);
}

} // namespace

std::optional<Dimension> named(std::string_view name) {
    for (const auto &[word, d] : all) {
        if (word == name)
            return d;
    }
    return std::nullopt;
}

std::string name_of(const Dimension &d) {
    for (const auto &[word, known] : all) {
        if (known == d)
            return std::string(word);
    }
    std::string out;
    append(out, d.ampere, "A");
    append(out, d.volt, "V");
    append(out, d.millimetre, "mm");
    append(out, d.kelvin, "K");
    append(out, d.circular_mil, "cmil");
    append(out, d.pound_inch, "lbf-in");
    return out;
}

Dimension product(const Dimension &a, const Dimension &b) {
    return {plus(a.ampere, b.ampere),
            plus(a.volt, b.volt),
            plus(a.millimetre, b.millimetre),
            plus(a.kelvin, b.kelvin),
            plus(a.circular_mil, b.circular_mil),
            plus(a.pound_inch, b.pound_inch),
            a.point || b.point};
}

Dimension quotient(const Dimension &a, const Dimension &b) {
    const auto minus = [](std::int8_t x) { return static_cast<std::int8_t>(-x); };
    return product(a, {minus(b.ampere), minus(b.volt), minus(b.millimetre), minus(b.kelvin),
                       minus(b.circular_mil), minus(b.pound_inch), b.point});
}

double grid_scale(const Dimension &d) {
    if (d == power)
        return 1e3;
    if (d == number || d == resistance)
        return 1e9;
    return 1e6;
}

} // namespace groundrule::dimension
