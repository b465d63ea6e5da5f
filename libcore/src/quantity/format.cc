// Values as the trade writes them: 6 ft 6 in, 1 1/4 in, 20.5 in³, 9600 VA.
#include "quantity/literal.h"

#include <charconv>

namespace groundrule {

namespace {

// Decimal with a point, whatever the host's locale; at most `places` behind it, no trailing zeros.
std::string decimal(double value, int places) {
    char text[400]; // the largest double has 309 digits before the point
    const auto end =
        std::to_chars(text, text + sizeof text, value, std::chars_format::fixed, places).ptr;
    std::string out(text, static_cast<std::size_t>(end - text));
    out.erase(out.find_last_not_of('0') + 1);
    if (out.back() == '.')
        out.pop_back();
    return out == "-0" ? "0" : out;
}

std::string inches_text(long sixteenths) {
    const long whole = sixteenths / 16;
    long above = sixteenths % 16;
    long below = 16;
    while (above != 0 && above % 2 == 0) {
        above /= 2;
        below /= 2;
    }
    std::string out;
    if (whole != 0 || above == 0)
        out = std::to_string(whole);
    if (above != 0)
        out += (out.empty() ? "" : " ") + std::to_string(above) + "/" + std::to_string(below);
    return out + " in";
}

// Feet from 24 in on, sixteenths where they are exact; millimetres otherwise.
std::string length_text(double mm) {
    constexpr double sixteenth = 25.4 / 16;
    const double whole = std::nearbyint(mm / sixteenth);
    const double scale = dimension::grid_scale(dimension::length);
    if (mm < 0 || on_grid(mm, scale) != on_grid(whole * sixteenth, scale) || whole > 1e12)
        return decimal(mm, 6) + " mm";
    const long total = std::lround(whole);
    constexpr long foot = 12L * 16;
    if (total < 2 * foot)
        return inches_text(total);
    const std::string feet = std::to_string(total / foot) + " ft";
    return total % foot == 0 ? feet : feet + " " + inches_text(total % foot);
}

// In inches where six places tell the value exactly, otherwise in its metric unit.
std::string inches_or(double value, const Dimension &d, double inch, const char *unit,
                      double metric, const char *metric_unit) {
    const double scale = dimension::grid_scale(d);
    const double told = std::nearbyint(value / inch * 1e6) / 1e6 * inch;
    if (on_grid(told, scale) == on_grid(value, scale))
        return decimal(value / inch, 6) + " " + unit;
    return decimal(value / metric, 9) + " " + metric_unit;
}

} // namespace

std::string format_quantity(double value, const Dimension &d) {
    if (d == dimension::length)
        return length_text(value);
    if (d == dimension::number)
        return decimal(value, 9);
    if (d == dimension::current)
        return decimal(value, 6) + " A";
    if (d == dimension::voltage)
        return decimal(value, 6) + " V";
    if (d == dimension::power)
        return decimal(value, 3) + " VA";
    if (d == dimension::resistance)
        return decimal(value, 9) + " ohm";
    if (d == dimension::area)
        return inches_or(value, d, 645.16, "in²", 1, "mm²");
    if (d == dimension::volume)
        return inches_or(value, d, 16387.064, "in³", 1000, "cm³");
    if (d == dimension::temperature)
        return decimal(value, 6) + " °C";
    if (d == dimension::temperature_difference)
        return decimal(value, 6) + " °C rise";
    if (d == dimension::conductor_area)
        return decimal(value, 6) + " cmil";
    if (d == dimension::torque)
        return decimal(value, 6) + " lbf-in";
    return decimal(value, 6) + " " + dimension::name_of(d);
}

} // namespace groundrule
