// Units as people spell them.
#include "quantity/literal.h"

#include "text/nearest.h"

#include <algorithm>
#include <vector>

namespace groundrule {

namespace {

std::string in_small_letters(std::string_view word) {
    std::string out(word);
    std::transform(out.begin(), out.end(), out.begin(), [](char c) {
        return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    });
    return out;
}

constexpr std::pair<std::string_view, std::string_view> spelled_out[] = {
    {"amp", "A"},           {"amps", "A"},       {"ampere", "A"},     {"amperes", "A"},
    {"volt", "V"},          {"volts", "V"},      {"watt", "W"},       {"watts", "W"},
    {"inch", "in"},         {"inches", "in"},    {"foot", "ft"},      {"feet", "ft"},
    {"meter", "m"},         {"meters", "m"},     {"metre", "m"},      {"metres", "m"},
    {"ohms", "ohm"},        {"percent", "%"},    {"pct", "%"},        {"degrees", "°C or °F"},
    {"degree", "°C or °F"}, {"deg", "°C or °F"}, {"mcm", "kcmil"},    {"gauge", "AWG"},
    {"ga", "AWG"},          {"celsius", "°C"},   {"fahrenheit", "°F"}};

} // namespace

std::string nearest_unit(std::string_view word) {
    const std::string small = in_small_letters(word);
    for (const auto &[name, unit] : spelled_out) {
        if (name == small)
            return std::string(unit);
    }
    static const std::vector<std::string> known = {
        "A",   "mA",  "kA",   "V",      "kV",     "VA",  "kVA", "W",    "kW",
        "ohm", "in",  "ft",   "mm",     "cm",     "m",   "in²", "ft²",  "mm²",
        "in³", "cm³", "cmil", "lbf-in", "lbf-ft", "N-m", "AWG", "kcmil"};
    for (const std::string &unit : known) {
        if (in_small_letters(unit) == small)
            return unit;
    }
    return word.size() > 2 ? nearest(word, known) : std::string();
}

} // namespace groundrule
