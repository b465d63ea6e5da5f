// The terminals of the grammar as X3 parsers. Each skips layout and comments itself and tells the
// parse state what was expected where it failed, so the rules above need neither a skipper nor
// expectation points.
#pragma once

#include "quantity/date.h"
#include "syntax/parse_state.h"
#include "syntax/reserved.h"

#include <boost/spirit/home/x3.hpp>

#include <functional>

namespace groundrule::syntax {

namespace x3 = boost::spirit::x3;

struct state_tag;

template <typename Context>
ParseState &state(const Context &context) {
    return x3::get<state_tag>(context).get();
}

inline bool is_lower(char c) {
    return c >= 'a' && c <= 'z';
}
inline bool is_upper(char c) {
    return c >= 'A' && c <= 'Z';
}
inline bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
inline bool is_word(char c) {
    return is_lower(c) || is_upper(c) || is_digit(c) || c == '_';
}

enum class Layout { free, line }; // `line`: stay on the line

inline const char *skip_layout(const char *at, const char *last, Layout layout) {
    while (at != last) {
        if (*at == '#') {
            while (at != last && *at != '\n')
                ++at;
        } else if (*at == ' ' || *at == '\t' || *at == '\r' ||
                   (*at == '\n' && layout == Layout::free)) {
            ++at;
        } else {
            break;
        }
    }
    return at;
}

inline const char *word_end(const char *at, const char *last) {
    while (at != last && is_word(*at))
        ++at;
    return at;
}

// A token: match() returns the end of the match or null, and fills the attribute.
template <typename Derived, typename Attribute, Layout layout = Layout::free>
struct Terminal : x3::parser<Derived> {
    using attribute_type = Attribute;
    static constexpr bool has_attribute = !std::is_same_v<Attribute, x3::unused_type>;

    template <typename Iterator, typename Context, typename Target>
    bool parse(Iterator &first, const Iterator &last, const Context &context, x3::unused_type,
               Target &target) const {
        ParseState &s = state(context);
        const char *begin = skip_layout(first, last, layout);
        Attribute attribute{};
        const char *end = this->derived().match(begin, last, s, attribute);
        if (end == nullptr)
            return false;
        x3::traits::move_to(attribute, target);
        first = end;
        return true;
    }
};

struct Keyword : Terminal<Keyword, x3::unused_type> {
    std::string_view word;
    Expected kind;

    constexpr Keyword(std::string_view w, Expected k) : word(w), kind(k) {}

    const char *match(const char *at, const char *last, ParseState &s, x3::unused_type) const {
        // Most tries end at the first character.
        if (at != last && *at == word.front() &&
            std::string_view(at, static_cast<std::size_t>(last - at)).starts_with(word)) {
            const char *end = at + word.size();
            if (end == last || !is_word(*end))
                return end;
        }
        s.missed(at, kind, word);
        return nullptr;
    }
};

template <Layout layout>
struct SymbolIn : Terminal<SymbolIn<layout>, x3::unused_type, layout> {
    std::string_view sign;
    Expected kind;

    constexpr SymbolIn(std::string_view w, Expected k) : sign(w), kind(k) {}

    const char *match(const char *at, const char *last, ParseState &s, x3::unused_type) const {
        if (std::string_view(at, static_cast<std::size_t>(last - at)).starts_with(sign))
            return at + sign.size();
        s.missed(at, kind, sign);
        return nullptr;
    }
};
using Symbol = SymbolIn<Layout::free>;
using LineSymbol = SymbolIn<Layout::line>;

struct NameTerminal : Terminal<NameTerminal, ast::Name> {
    std::string_view what;

    constexpr explicit NameTerminal(std::string_view w = "a name") : what(w) {}

    const char *match(const char *at, const char *last, ParseState &s, ast::Name &name) const {
        const char *end = word_end(at, last);
        const std::string_view word(at, static_cast<std::size_t>(end - at));
        if (word.empty() || !is_lower(word[0]) || is_reserved(word)) {
            s.missed(at, Expected::name, what);
            return nullptr;
        }
        name = {std::string(word), s.span(at, end)};
        return end;
    }
};

// "nec-2020", "tia-17-2": a name in which hyphens and digits may stand.
struct LayerName : Terminal<LayerName, ast::Name> {
    const char *match(const char *at, const char *last, ParseState &s, ast::Name &name) const {
        const char *end = at;
        while (end != last && (is_lower(*end) || is_digit(*end) || *end == '-'))
            ++end;
        const std::string_view word(at, static_cast<std::size_t>(end - at));
        if (word.empty() || !is_lower(word[0]) || is_reserved(word)) {
            s.missed(at, Expected::name, "the name of an edition or amendment");
            return nullptr;
        }
        name = {std::string(word), s.span(at, end)};
        return end;
    }
};

// A text between double quotes, on one line.
struct TextTerminal : Terminal<TextTerminal, ast::Message> {
    const char *match(const char *at, const char *last, ParseState &s, ast::Message &text) const {
        if (at == last || *at != '"') {
            s.missed(at, Expected::text, "a text in quotes");
            return nullptr;
        }
        const char *end = at + 1;
        while (end != last && *end != '"' && *end != '\n')
            ++end;
        if (end == last || *end != '"') {
            const char *stop = end;
            while (stop != at + 1 && (stop[-1] == ' ' || stop[-1] == '\r'))
                --stop;
            s.faults.push_back({"syntax", "this text has no closing quote on its line",
                                s.span(at, stop),
                                "a text ends on the line on which it began; `says`, `note` and "
                                "`source` take several texts"});
            return nullptr;
        }
        text.text = std::string(at + 1, end);
        text.span = s.span(at, end + 1);
        return end + 1;
    }
};

// "210.8(A)(2)", or a quoted name of a table or standard that has no clause number.
struct CitationTerminal : Terminal<CitationTerminal, ast::Citation> {
    static const char *part(const char *at, const char *last) {
        const char *end = at + 1;
        while (end != last && (is_lower(*end) || is_upper(*end) || is_digit(*end)))
            ++end;
        return end != last && *end == ')' && end > at + 1 ? end + 1 : nullptr;
    }

    const char *match(const char *at, const char *last, ParseState &s,
                      ast::Citation &citation) const {
        if (at != last && *at == '"') {
            ast::Message text;
            const char *end = TextTerminal{}.match(at, last, s, text);
            if (end != nullptr)
                citation = {text.text, text.span, true};
            return end;
        }
        const char *end = at;
        while (end != last && is_digit(*end))
            ++end;
        const char *point = end;
        if (end != at && end != last && *end == '.') {
            ++end;
            while (end != last && is_digit(*end))
                ++end;
        }
        if (end == at || end == point || end == point + 1) {
            s.missed(at, Expected::citation, "a clause number with its point (such as 210.8)");
            return nullptr;
        }
        while (end != last && *end == '(') {
            const char *next = part(end, last);
            if (next == nullptr)
                break;
            end = next;
        }
        citation = {std::string(at, end), s.span(at, end), false};
        return end;
    }
};

// The label of a part or an exception: "(2)", "(B)(1)", "1".
struct LabelTerminal : Terminal<LabelTerminal, std::string> {
    const char *match(const char *at, const char *last, ParseState &s, std::string &label) const {
        const char *end = at;
        while (end != last && *end == '(') {
            const char *next = CitationTerminal::part(end, last);
            if (next == nullptr)
                break;
            end = next;
        }
        while (end == at && end != last && is_digit(*end)) {
            while (end != last && is_digit(*end))
                ++end;
        }
        if (end == at) {
            s.missed(at, Expected::citation, "a number, such as (1)");
            return nullptr;
        }
        label = std::string(at, end);
        return end;
    }
};

struct Valued {
    Literal literal;
    Span span;
};

// A number, or a value with its unit. A word behind a number that is no unit is a fault, unless the
// language reserves it.
template <Layout layout>
struct ValueIn : Terminal<ValueIn<layout>, Valued, layout> {
    const char *match(const char *at, const char *last, ParseState &s, Valued &value) const {
        if (at == last || !is_digit(*at)) {
            s.missed(at, Expected::value, "a value with its unit");
            return nullptr;
        }
        const std::string_view rest(at, static_cast<std::size_t>(last - at));
        const LiteralResult r = read_literal(rest);
        if (r.fault == LiteralFault::unknown_unit && is_reserved(r.word)) {
            value = {r.literal, s.span(at, at + r.literal.size)};
            return at + r.literal.size;
        }
        if (r.fault != LiteralFault::none) {
            const char *from = r.word.empty() ? at : r.word.data();
            s.faults.push_back({fault_code(r.fault), fault_message(r),
                                s.span(from, from + std::max<std::size_t>(r.word.size(), 1)),
                                fault_help(r)});
            const char *end = std::max(at + r.literal.size, from + r.word.size());
            value = {r.literal, s.span(at, end)};
            return end;
        }
        value = {r.literal, s.span(at, at + r.literal.size)};
        const double scale = dimension::grid_scale(r.literal.dimension);
        const bool off_grid = r.literal.kind == ValueKind::quantity &&
                              std::fabs(snapped(r.literal.value, scale) - r.literal.value) >
                                  1e-12 * std::fabs(r.literal.value) + 1e-15;
        // Degrees Fahrenheit and newton metres are no decimal fractions of the base unit.
        const bool converted =
            r.literal.dimension == dimension::torque || r.literal.dimension.kelvin != 0;
        if (off_grid && !converted) {
            s.faults.push_back({"off-grid",
                                "this value is finer than a " +
                                    dimension::name_of(r.literal.dimension) + " is compared",
                                value.span});
        }
        value.literal.value = r.literal.kind == ValueKind::quantity
                                  ? snapped(r.literal.value, scale)
                                  : r.literal.value;
        return at + r.literal.size;
    }

    static std::string fault_code(LiteralFault fault) {
        switch (fault) {
        case LiteralFault::no_such_size:
            return "no-such-size";
        case LiteralFault::bad_date:
            return "bad-date";
        case LiteralFault::too_large:
            return "too-large";
        default:
            return "unknown-unit";
        }
    }

    static std::string fault_message(const LiteralResult &r) {
        const std::string word(r.word);
        switch (r.fault) {
        case LiteralFault::no_such_size:
            return "no conductor is made in the size " + word;
        case LiteralFault::bad_date:
            return word + " is no date of the calendar";
        case LiteralFault::too_large:
            return word + " is too large";
        default:
            return !word.empty() && is_digit(word[0])
                       ? word + " is a fraction, and only lengths in in or ft are written with one"
                       : "\"" + word + "\" is no unit known here";
        }
    }

    static std::string fault_help(const LiteralResult &r) {
        if (r.fault == LiteralFault::no_such_size)
            return "sizes: 18 AWG to 1 AWG, 1/0 AWG to 4/0 AWG, 250 kcmil to 2000 kcmil";
        if (r.fault != LiteralFault::unknown_unit)
            return {};
        const std::string near = nearest_unit(r.word);
        return near.empty() ? "units: A, V, VA, W, in, ft, mm, m, in², in³, cmil, ohm, °C, "
                              "°C rise, AWG, kcmil, %, lbf-in and their multiples"
                            : "did you mean " + near + "?";
    }
};
using Value = ValueIn<Layout::free>;

// A day of the calendar. What looks like another way to write one is told as such.
struct DateTerminal : Terminal<DateTerminal, Valued> {
    const char *match(const char *at, const char *last, ParseState &s, Valued &value) const {
        if (at == last || !is_digit(*at)) {
            s.missed(at, Expected::value, "a date (such as 2021-07-01)");
            return nullptr;
        }
        const char *end = at;
        while (end != last && (is_word(*end) || *end == '-' || *end == '/' || *end == '.'))
            ++end;
        const std::string written(at, end);
        value.span = s.span(at, end);
        value.literal.kind = ValueKind::date;
        const auto day = date_from_text(written);
        if (!day)
            s.faults.push_back({"bad-date", written + " is no date of the calendar", value.span,
                                "a date is written year-month-day: 2021-07-01"});
        value.literal.value = static_cast<double>(day.value_or(0));
        return end;
    }
};

// The byte at which the next token begins.
struct PositionTerminal : Terminal<PositionTerminal, const char *> {
    const char *match(const char *at, const char *, ParseState &, const char *&position) const {
        position = at;
        return at;
    }
};

// Nothing but the layout before a token, so that the alternatives that follow need not each skip
// it.
struct LayoutTerminal : Terminal<LayoutTerminal, x3::unused_type> {
    static const char *match(const char *at, const char *, ParseState &, x3::unused_type) {
        return at;
    }
};

// The end of a line of a table: nothing but layout up to the newline or the end.
struct LineEnd : Terminal<LineEnd, x3::unused_type, Layout::line> {
    const char *match(const char *at, const char *last, ParseState &s, x3::unused_type) const {
        if (at == last)
            return at;
        if (*at == '\n')
            return at + 1;
        s.missed(at, Expected::end, "the end of the line");
        return nullptr;
    }
};

// The end of the declaration.
struct DeclarationEnd : Terminal<DeclarationEnd, x3::unused_type> {
    const char *match(const char *at, const char *last, ParseState &s, x3::unused_type) const {
        if (at == last)
            return at;
        s.missed(at, Expected::end, "the end of the declaration");
        return nullptr;
    }
};

constexpr Keyword clause_word(std::string_view word) {
    return {word, Expected::clause};
}
constexpr Keyword connective(std::string_view word) {
    return {word, Expected::connective};
}
constexpr Keyword comparing(std::string_view word) {
    return {word, Expected::comparison};
}
constexpr Keyword function(std::string_view word) {
    return {word, Expected::function};
}
constexpr Symbol sign(std::string_view text) {
    return {text, Expected::punctuation};
}
constexpr Symbol arithmetic(std::string_view text) {
    return {text, Expected::arithmetic};
}

} // namespace groundrule::syntax
