// Reading values with units. Factors: inch = 25.4 mm exactly (NIST SP 811); lbf-in is the base of
// torque.
#include "quantity/literal.h"

#include "quantity/conductor_size.h"
#include "quantity/date.h"

#include <array>
#include <charconv>

namespace groundrule {

namespace {

struct Unit {
    std::string_view name;
    Dimension dimension;
    double factor;
    bool fraction; // may be written with a fraction: 1 1/4 in
};

constexpr double inch = 25.4;

constexpr std::array<Unit, 31> units = {{
    {"A", dimension::current, 1, false},
    {"mA", dimension::current, 1e-3, false},
    {"kA", dimension::current, 1e3, false},
    {"V", dimension::voltage, 1, false},
    {"kV", dimension::voltage, 1e3, false},
    {"VA", dimension::power, 1, false},
    {"kVA", dimension::power, 1e3, false},
    {"W", dimension::power, 1, false},
    {"kW", dimension::power, 1e3, false},
    {"ohm", dimension::resistance, 1, false},
    {"Ω", dimension::resistance, 1, false},
    {"in", dimension::length, inch, true},
    {"ft", dimension::length, 12 * inch, true},
    {"mm", dimension::length, 1, false},
    {"cm", dimension::length, 10, false},
    {"m", dimension::length, 1000, false},
    {"in²", dimension::area, inch *inch, false},
    {"in2", dimension::area, inch *inch, false},
    {"ft²", dimension::area, 144 * inch *inch, false},
    {"ft2", dimension::area, 144 * inch *inch, false},
    {"mm²", dimension::area, 1, false},
    {"mm2", dimension::area, 1, false},
    {"in³", dimension::volume, 16387.064, false},
    {"in3", dimension::volume, 16387.064, false},
    {"cm³", dimension::volume, 1000, false},
    {"cm3", dimension::volume, 1000, false},
    {"cmil", dimension::conductor_area, 1, false},
    {"lbf-in", dimension::torque, 1, false},
    {"lbf-ft", dimension::torque, 12, false},
    {"N-m", dimension::torque, 8.850745791327185, false},
    {"%", dimension::number, 0, false}, // divided by exactly 100, see below
}};

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

// A carriage return is one, as everywhere in the layout of rule text.
std::size_t blanks(std::string_view text, std::size_t at) {
    while (at < text.size() && (text[at] == ' ' || text[at] == '\t' || text[at] == '\r'))
        ++at;
    return at;
}

// Letters, digits and the bytes of °, ², ³, Ω; a hyphen between letters.
std::string_view word_at(std::string_view text, std::size_t at) {
    if (at < text.size() && text[at] == '%')
        return text.substr(at, 1);
    std::size_t end = at;
    while (end < text.size()) {
        const char c = text[end];
        const bool inside = end > at;
        if (text.substr(end).starts_with("×"))
            break; // a sign between factors
        const bool hyphen = c == '-' && inside && end + 1 < text.size() && is_letter(text[end + 1]);
        if (!(is_letter(c) || (static_cast<unsigned char>(c) >= 0x80u) || (is_digit(c) && inside) ||
              hyphen || (c == '_' && inside)))
            break;
        ++end;
    }
    return text.substr(at, end - at);
}

const Unit *unit_named(std::string_view word) {
    for (const Unit &u : units) {
        if (u.name == word)
            return &u;
    }
    return nullptr;
}

struct Number {
    double value = 0;
    std::size_t end = 0;
    bool fraction = false;
    bool over_zero = false; // a size such as 1/0, no number
    std::string_view written;
};

bool read_digits(std::string_view text, std::size_t &at, double &value) {
    const std::size_t begin = at;
    while (at < text.size() && is_digit(text[at]))
        ++at;
    if (at == begin)
        return false;
    return std::from_chars(text.data() + begin, text.data() + at, value).ec == std::errc{};
}

// "12", "12.5", "1/4", "1 1/4"
bool read_number(std::string_view text, std::size_t at, Number &out) {
    const std::size_t begin = at;
    if (!read_digits(text, at, out.value))
        return false;
    const auto slash_digit = [&](std::size_t p) {
        return p + 1 < text.size() && text[p] == '/' && is_digit(text[p + 1]);
    };
    if (slash_digit(at)) {
        double below = 0;
        std::size_t p = at + 1;
        if (!read_digits(text, p, below))
            return false;
        out.fraction = true;
        out.over_zero = below == 0;
        out.value = out.over_zero ? out.value : out.value / below;
        at = p;
    } else if (at + 1 < text.size() && text[at] == '.' && is_digit(text[at + 1])) {
        std::size_t p = at + 1;
        while (p < text.size() && is_digit(text[p]))
            ++p;
        if (std::from_chars(text.data() + begin, text.data() + p, out.value).ec != std::errc{})
            return false;
        at = p;
    } else {
        std::size_t p = blanks(text, at);
        double above = 0;
        double below = 0;
        if (p > at && read_digits(text, p, above) && slash_digit(p)) {
            ++p;
            if (read_digits(text, p, below) && below != 0) {
                out.fraction = true;
                out.value += above / below;
                at = p;
            }
        }
    }
    out.end = at;
    out.written = text.substr(begin, at - begin);
    return true;
}

LiteralResult fault(LiteralFault why, std::string_view word, const Literal &so_far = {}) {
    LiteralResult r;
    r.fault = why;
    r.word = word;
    r.literal = so_far;
    return r;
}

LiteralResult on_its_grid(const Literal &l, std::string_view text) {
    if (!fits_grid(l.value, dimension::grid_scale(l.dimension)))
        return fault(LiteralFault::too_large, text.substr(0, l.size), l);
    LiteralResult r;
    r.literal = l;
    return r;
}

LiteralResult read_temperature(std::string_view text, const Number &n, std::string_view word,
                               std::size_t after) {
    const bool fahrenheit = word.back() == 'F';
    const std::size_t p = blanks(text, after);
    const bool rise = word_at(text, p) == "rise";
    Literal l;
    l.size = rise ? p + 4 : after;
    if (rise) {
        l.dimension = dimension::temperature_difference;
        l.value = fahrenheit ? n.value * 5 / 9 : n.value;
    } else {
        l.dimension = dimension::temperature;
        l.value = fahrenheit ? (n.value - 32) * 5 / 9 : n.value;
    }
    return on_its_grid(l, text);
}

LiteralResult read_size(const Number &n, std::string_view word, std::string_view text,
                        std::size_t after) {
    const auto index = conductor_size_named(std::string(n.written) + " " + std::string(word));
    if (!index)
        return fault(LiteralFault::no_such_size, text.substr(0, after));
    LiteralResult r;
    r.literal = {ValueKind::conductor_size, {}, static_cast<double>(*index), after};
    return r;
}

bool is_temperature_word(std::string_view word) {
    return word == "°C" || word == "C" || word == "°F" || word == "F";
}

// What stands together with the digits of a date: a byte more would make it no date.
std::string_view date_word(std::string_view text) {
    std::size_t end = 0;
    while (end < text.size() && (is_digit(text[end]) || text[end] == '-'))
        ++end;
    return text.substr(0, end);
}

} // namespace

LiteralResult read_literal(std::string_view text) {
    if (text.size() >= 10 && text[4] == '-' && is_digit(text[0]) && is_digit(text[5])) {
        const std::string_view word = date_word(text);
        const auto days = date_from_text(word);
        if (!days)
            return fault(LiteralFault::bad_date, word);
        LiteralResult r;
        r.literal = {ValueKind::date, {}, static_cast<double>(*days), 10};
        return r;
    }
    const bool negative = !text.empty() && text[0] == '-';
    const std::size_t begin = negative ? 1 : 0;
    Number n;
    if (!read_number(text, begin, n)) { // no digits, or more than a number holds
        const std::size_t end = text.find_first_not_of("0123456789./", begin);
        return begin < text.size() && is_digit(text[begin])
                   ? fault(LiteralFault::too_large, text.substr(0, end))
                   : fault(LiteralFault::not_a_value, text.substr(0, 0));
    }
    if (negative)
        n.value = -n.value;
    Literal l;
    l.value = n.value;
    l.size = n.end;
    const std::size_t unit_at = blanks(text, n.end);
    const std::string_view word = word_at(text, unit_at);
    const std::size_t after = unit_at + word.size();
    if (word.empty()) {
        if (n.fraction)
            return fault(LiteralFault::unknown_unit, n.written, l);
        return on_its_grid(l, text);
    }
    if (word == "AWG" || word == "kcmil")
        return read_size(n, word, text, after);
    if (is_temperature_word(word) && !n.fraction)
        return read_temperature(text, n, word, after);
    const Unit *unit = unit_named(word);
    if (unit == nullptr && !is_temperature_word(word))
        return fault(LiteralFault::unknown_unit, word, l);
    if (n.fraction && (unit == nullptr || !unit->fraction || n.over_zero))
        return fault(LiteralFault::unknown_unit, n.written, l);
    l.dimension = unit->dimension;
    l.value = word == "%" ? n.value / 100 : n.value * unit->factor;
    l.size = after;
    if (word == "ft") { // feet and inches are one length
        Number inches;
        const std::size_t p = blanks(text, after);
        if (p > after && read_number(text, p, inches) && !inches.over_zero) {
            const std::size_t w = blanks(text, inches.end);
            if (word_at(text, w) == "in") {
                l.value += (negative ? -inches.value : inches.value) * inch;
                l.size = w + 2;
            }
        }
    }
    return on_its_grid(l, text);
}

std::string units_of(const Dimension &d) {
    if (d == dimension::temperature)
        return "°C, °F";
    if (d == dimension::temperature_difference)
        return "°C rise, °F rise";
    std::string out;
    for (const Unit &u : units) {
        const bool alias = u.name.back() == '2' || u.name.back() == '3' || u.name == "Ω";
        if (u.dimension == d && !alias)
            out += (out.empty() ? "" : ", ") + std::string(u.name);
    }
    return out;
}

} // namespace groundrule
