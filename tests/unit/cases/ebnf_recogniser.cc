// Memoised descent over all readings of a text.
#include "cases/ebnf.h"

#include "quantity/date.h"
#include "quantity/literal.h"
#include "syntax/reserved.h"

#include <algorithm>

namespace groundrule::cases {

namespace {

bool is_small(char c) {
    return c >= 'a' && c <= 'z';
}
bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
bool is_word(char c) {
    return is_small(c) || (c >= 'A' && c <= 'Z') || is_digit(c) || c == '_';
}

std::size_t skip(std::string_view text, std::size_t at, bool over_lines) {
    while (at < text.size()) {
        if (text[at] == '#')
            at = std::min(text.find('\n', at), text.size());
        else if (text[at] == ' ' || text[at] == '\t' || text[at] == '\r' ||
                 (over_lines && text[at] == '\n'))
            ++at;
        else
            break;
    }
    return at;
}

std::size_t run(std::string_view text, std::size_t at, bool (*inside)(char)) {
    while (at < text.size() && inside(text[at]))
        ++at;
    return at;
}

constexpr std::size_t none = std::string_view::npos;

std::size_t quoted(std::string_view text, std::size_t at) {
    if (at >= text.size() || text[at] != '"')
        return none;
    const std::size_t close = text.find_first_of("\"\n", at + 1);
    return close == none || text[close] != '"' ? none : close + 1;
}

std::size_t brackets(std::string_view text, std::size_t at) {
    while (at < text.size() && text[at] == '(') {
        const auto inside = [](char c) { return is_word(c) && c != '_'; };
        const std::size_t end = run(text, at + 1, inside);
        if (end == at + 1 || end >= text.size() || text[end] != ')')
            break;
        at = end + 1;
    }
    return at;
}

std::size_t named(std::string_view text, std::size_t at, bool reserved_too) {
    const std::size_t end = run(text, at, is_word);
    const std::string_view word = text.substr(at, end - at);
    const bool good =
        !word.empty() && is_small(word[0]) && (reserved_too || !syntax::is_reserved(word));
    return good ? end : none;
}

std::size_t layer(std::string_view text, std::size_t at) {
    const std::size_t end =
        run(text, at, [](char c) { return is_small(c) || is_digit(c) || c == '-'; });
    const std::string_view word = text.substr(at, end - at);
    return word.empty() || !is_small(word[0]) || syntax::is_reserved(word) ? none : end;
}

std::size_t citation(std::string_view text, std::size_t at) {
    if (at < text.size() && text[at] == '"')
        return quoted(text, at);
    const std::size_t point = run(text, at, is_digit);
    if (point == at || point >= text.size() || text[point] != '.')
        return none;
    const std::size_t end = run(text, point + 1, is_digit);
    return end == point + 1 ? none : brackets(text, end);
}

std::size_t label(std::string_view text, std::size_t at) {
    const std::size_t end =
        at < text.size() && text[at] == '(' ? brackets(text, at) : run(text, at, is_digit);
    return end == at ? none : end;
}

std::size_t value(std::string_view text, std::size_t at) {
    if (at >= text.size() || !is_digit(text[at]))
        return none;
    const LiteralResult r = read_literal(text.substr(at));
    const bool whole = r.fault == LiteralFault::none ||
                       (r.fault == LiteralFault::unknown_unit && syntax::is_reserved(r.word));
    return whole ? at + r.literal.size : none;
}

std::size_t date(std::string_view text, std::size_t at) {
    if (at >= text.size() || !is_digit(text[at]))
        return none;
    const std::size_t end =
        run(text, at, [](char c) { return is_word(c) || c == '-' || c == '/' || c == '.'; });
    return date_from_text(text.substr(at, end - at)) ? end : none;
}

std::size_t digest(std::string_view text, std::size_t at) {
    const std::size_t end =
        run(text, at, [](char c) { return is_digit(c) || (c >= 'a' && c <= 'f'); });
    const bool whole = end == text.size() || !is_word(text[end]);
    return end == at + 8 && whole ? end : none;
}

std::size_t article(std::string_view text, std::size_t at) {
    const std::size_t end = run(text, at, is_digit);
    const bool goes_on = end < text.size() && (is_word(text[end]) || text[end] == '.');
    return end == at || goes_on ? none : end;
}

std::size_t mark(std::string_view text, std::size_t at) {
    return at < text.size() && text[at] == '@' ? layer(text, at + 1) : none;
}

} // namespace

bool Recogniser::accepts(const std::string &rule, std::string_view text) {
    text_ = text;
    known_.clear();
    const Ends all = ends(grammar_.rule(rule), 0);
    return std::any_of(all.begin(), all.end(),
                       [&](std::size_t end) { return skip(text_, end, true) == text_.size(); });
}

// Each `{` begins an expression, or stands doubled.
bool Recogniser::message(std::string_view inside) const {
    for (std::size_t i = inside.find('{'); i != none; i = inside.find('{', i)) {
        if (inside.substr(i).starts_with("{{")) {
            i += 2;
            continue;
        }
        const std::size_t close = inside.find('}', i);
        if (close == none ||
            !Recogniser(grammar_).accepts("expression", inside.substr(i + 1, close - i - 1)))
            return false;
        i = close;
    }
    return true;
}

Recogniser::Ends Recogniser::ends_of_symbol(const std::string &name, std::size_t at) const {
    if (name == "SAME_LINE" || name == "LINE_END") {
        const std::size_t end = skip(text_, at, false);
        const bool over = end == text_.size() || text_[end] == '\n';
        if (name == "SAME_LINE")
            return over ? Ends{} : Ends{end};
        return over ? Ends{std::min(end + 1, text_.size())} : Ends{};
    }
    const std::size_t from = skip(text_, at, true);
    std::size_t end = none;
    if (name == "NAME")
        end = named(text_, from, false);
    else if (name == "LAYER")
        end = layer(text_, from);
    else if (name == "TEXT" || name == "MESSAGE")
        end = quoted(text_, from);
    else if (name == "CITATION")
        end = citation(text_, from);
    else if (name == "LABEL")
        end = label(text_, from);
    else if (name == "VALUE")
        end = value(text_, from);
    else if (name == "DATE")
        end = date(text_, from);
    else if (name == "DIGEST")
        end = digest(text_, from);
    else if (name == "ARTICLE")
        end = article(text_, from);
    else if (name == "MARK")
        end = mark(text_, from);
    else if (name == "WORD")
        end = from < text_.size() && text_[from] == '"' ? quoted(text_, from)
                                                        : named(text_, from, true);
    if (end == none || (name == "MESSAGE" && !message(text_.substr(from + 1, end - from - 2))))
        return {};
    return {end};
}

Recogniser::Ends Recogniser::ends_of_rule(std::size_t index, std::size_t at) {
    const std::pair<std::size_t, std::size_t> key{index, at};
    const auto known = known_.find(key);
    if (known != known_.end())
        return known->second;
    Ends found = ends(index, at);
    known_.emplace(key, found);
    return found;
}

Recogniser::Ends Recogniser::ends(std::size_t index, std::size_t at) {
    const Term &t = grammar_.term(index);
    const auto tidy = [](Ends all) {
        std::sort(all.begin(), all.end());
        all.erase(std::unique(all.begin(), all.end()), all.end());
        return all;
    };
    Ends out;
    switch (t.kind) {
    case Term::Kind::sequence:
        out = {at};
        for (const std::size_t child : t.children) {
            Ends after;
            for (const std::size_t from : out) {
                const Ends more = ends(child, from);
                after.insert(after.end(), more.begin(), more.end());
            }
            out = tidy(std::move(after));
        }
        return out;
    case Term::Kind::choice:
        for (const std::size_t child : t.children) {
            const Ends more = ends(child, at);
            out.insert(out.end(), more.begin(), more.end());
        }
        return tidy(std::move(out));
    case Term::Kind::option:
        out = ends(t.children[0], at);
        out.push_back(at);
        return tidy(std::move(out));
    case Term::Kind::repetition: {
        out = {at};
        for (std::size_t i = 0; i < out.size(); ++i) {
            for (const std::size_t end : ends(t.children[0], out[i])) {
                if (std::find(out.begin(), out.end(), end) == out.end())
                    out.push_back(end);
            }
        }
        return tidy(std::move(out));
    }
    case Term::Kind::word: {
        const std::size_t from = skip(text_, at, true);
        const std::size_t end = run(text_, from, is_word);
        return text_.substr(from, end - from) == t.text ? Ends{end} : Ends{};
    }
    case Term::Kind::sign: {
        const std::size_t from = skip(text_, at, true);
        return text_.substr(from).starts_with(t.text) ? Ends{from + t.text.size()} : Ends{};
    }
    case Term::Kind::symbol:
        return ends_of_symbol(t.text, at);
    case Term::Kind::rule:
        return ends_of_rule(grammar_.rule(t.text), at);
    }
    return out;
}

} // namespace groundrule::cases
