#include "mutate/neighbours.h"

#include "quantity/conductor_size.h"
#include "quantity/date.h"
#include "quantity/literal.h"

#include <algorithm>
#include <array>
#include <optional>

namespace groundrule::mutate {

namespace {

using book::Type;

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

// Where the digits of the last number stand: of a fraction those above the stroke.
struct Digits {
    std::size_t begin = 0;
    std::size_t end = 0;
};

std::optional<Digits> last_number(std::string_view text) {
    std::optional<Digits> found;
    for (std::size_t at = 0; at < text.size(); ++at) {
        if (!is_digit(text[at]) || (at > 0 && text[at - 1] != ' '))
            continue;
        found = Digits{at, at};
        while (at < text.size() && (is_digit(text[at]) || text[at] == '.'))
            found->end = ++at;
    }
    return found;
}

// The digits counted one up or down, carrying over; nothing if that would lead below zero.
std::optional<std::string> counted(std::string digits, bool up) {
    std::size_t i = digits.size();
    bool carries = true;
    while (carries && i-- > 0) {
        if (digits[i] == '.')
            continue;
        carries = digits[i] == (up ? '9' : '0');
        digits[i] = carries ? (up ? '0' : '9') : static_cast<char>(digits[i] + (up ? 1 : -1));
    }
    if (carries && !up)
        return std::nullopt;
    if (carries)
        return "1" + digits;
    while (digits.size() > 1 && digits[0] == '0' && is_digit(digits[1]))
        digits.erase(0, 1);
    return digits;
}

// Another unit with the same number, such as an inch for a foot.
std::optional<std::string> other_unit(std::string_view text) {
    static constexpr std::array<std::pair<std::string_view, std::string_view>, 8> pairs = {
        {{"in", "ft"},
         {"ft", "in"},
         {"kVA", "VA"},
         {"kW", "W"},
         {"°C", "°F"},
         {"°F", "°C"},
         {"lbf-in", "lbf-ft"},
         {"lbf-ft", "lbf-in"}}};
    const std::size_t blank = text.find(' ');
    if (blank == std::string_view::npos || blank != text.rfind(' '))
        return std::nullopt;
    const std::string_view unit = text.substr(blank + 1);
    for (const auto &[from, to] : pairs) {
        if (unit == from)
            return std::string(text.substr(0, blank + 1)) + std::string(to);
    }
    return std::nullopt;
}

void add_literal(std::vector<Neighbour> &out, const char *kind, const Type &type, double value,
                 const std::optional<std::string> &text) {
    if (!text)
        return;
    const LiteralResult read = read_literal(*text);
    if (read.fault != LiteralFault::none || read.literal.size != text->size() ||
        read.literal.kind != type.kind || !(read.literal.dimension == type.dimension))
        return;
    const double scale = scale_of(type);
    const double snapped_value = snapped(read.literal.value, scale);
    if (on_grid(snapped_value, scale) != on_grid(value, scale))
        out.push_back({kind, *text, snapped_value});
}

void add_quantity(std::vector<Neighbour> &out, const Type &type, double value,
                  std::string_view written) {
    const auto number = last_number(written);
    if (!number)
        return;
    for (const bool up : {true, false}) {
        const auto digits =
            counted(std::string(written.substr(number->begin, number->end - number->begin)), up);
        if (digits)
            add_literal(out, "figure", type, value,
                        std::string(written.substr(0, number->begin)) + *digits +
                            std::string(written.substr(number->end)));
    }
    add_literal(out, "unit", type, value, other_unit(written));
}

} // namespace

std::vector<Neighbour> neighbours(const book::Book &book, const Type &type, double value,
                                  std::string_view written) {
    std::vector<Neighbour> out;
    switch (type.kind) {
    case ValueKind::truth:
        out.push_back({"figure", value != 0 ? "no" : "yes", value != 0 ? 0.0 : 1.0});
        break;
    case ValueKind::quantity:
        add_quantity(out, type, value, written);
        break;
    case ValueKind::conductor_size:
        for (const int step : {1, -1}) {
            const int size = static_cast<int>(value) + step;
            if (size >= 0 && size < conductor_size_count())
                out.push_back(
                    {"figure", std::string(conductor_size_name(size)), static_cast<double>(size)});
        }
        break;
    case ValueKind::date:
        for (const int step : {1, -1})
            out.push_back({"figure", date_text(static_cast<int>(value) + step), value + step});
        break;
    case ValueKind::choice: {
        const auto &choices = book.choice_types[static_cast<std::size_t>(type.choices)].choices;
        const std::size_t next = (static_cast<std::size_t>(value) + 1) % choices.size();
        if (choices.size() > 1)
            out.push_back({"choice", choices[next], static_cast<double>(next)});
        break;
    }
    }
    return out;
}

} // namespace groundrule::mutate
