// The farthest failure of a declaration in the words of its reader.
#include "syntax/failure.h"

#include "syntax/terminals.h"
#include "text/nearest.h"

#include <algorithm>
#include <map>

namespace groundrule::syntax {

namespace {

// In their order.
constexpr std::string_view class_names[] = {"a line of the declaration",
                                            "a joining word",
                                            "a comparison",
                                            "an arithmetic sign",
                                            "a punctuation mark",
                                            "a name",
                                            "a value with its unit",
                                            "a text in quotes",
                                            "a clause number",
                                            "a function",
                                            "the end of the declaration"};
static_assert(std::size(class_names) == static_cast<std::size_t>(Expected::end) + 1);

std::string_view class_name(Expected kind) {
    return class_names[static_cast<std::size_t>(kind)];
}

// Alternatives that tell themselves; the others are words to be written as they stand.
bool is_described(Expected kind) {
    return kind == Expected::name || kind == Expected::value || kind == Expected::text ||
           kind == Expected::citation || kind == Expected::end;
}

bool expects(const ParseState &s, Expected kind) {
    return std::any_of(s.alternatives.begin(), s.alternatives.end(),
                       [&](const auto &a) { return a.kind == kind; });
}

bool expects(const ParseState &s, std::string_view word) {
    return std::any_of(s.alternatives.begin(), s.alternatives.end(),
                       [&](const auto &a) { return a.word == word; });
}

std::string listed(const std::vector<std::string> &words) {
    std::string out;
    for (std::size_t i = 0; i < words.size(); ++i)
        out += (i == 0 ? "" : i + 1 == words.size() ? " or " : ", ") + words[i];
    return out;
}

std::string in_ticks(std::string_view word) {
    return "`" + std::string(word) + "`";
}

// At most four alternatives: each by its word, or by class when there are more. Where a value may
// stand so may a name and a function; one word says all of them.
std::string expectation(const ParseState &s) {
    std::vector<std::string> words;
    if (expects(s, Expected::value) && expects(s, Expected::function)) {
        words.emplace_back("a value, a name or a condition");
        return words.front();
    }
    for (const auto &a : s.alternatives)
        words.push_back(is_described(a.kind) ? std::string(a.word) : in_ticks(a.word));
    if (words.size() > 4) {
        std::map<Expected, int> classes;
        for (const auto &a : s.alternatives)
            ++classes[a.kind];
        classes.erase(Expected::punctuation);
        words.clear();
        for (const auto &[kind, count] : classes)
            words.emplace_back(class_name(kind));
        if (words.size() > 4)
            words.resize(4);
    }
    return words.empty() ? "something else" : listed(words);
}

// The word, number or sign that stands at a place; of a text, its opening quote.
std::string_view token_at(const char *at, const char *last) {
    const char *end = at;
    if (at != last && is_digit(*at)) {
        while (end != last && (is_word(*end) || *end == '.'))
            ++end;
        return {at, static_cast<std::size_t>(end - at)};
    }
    static constexpr std::string_view pairs[] = {">=", "<=", "==", "!=", "&&", "||", "<>"};
    const std::string_view rest(at, static_cast<std::size_t>(last - at));
    for (const std::string_view pair : pairs) {
        if (rest.starts_with(pair))
            return rest.substr(0, 2);
    }
    end = word_end(at, last);
    if (end == at && at != last) {
        do
            ++end;
        while (end != last && (static_cast<unsigned char>(*end) & 0xC0u) == 0x80u);
    }
    return {at, static_cast<std::size_t>(end - at)};
}

std::string nearest_alternative(const ParseState &s, std::string_view token) {
    std::vector<std::string> words;
    for (const auto &a : s.alternatives) {
        if (!is_described(a.kind) && a.kind != Expected::punctuation &&
            a.kind != Expected::arithmetic)
            words.emplace_back(a.word);
    }
    for (const std::string_view pair : {"at least", "at most", "more than", "less than"}) {
        if (expects(s, pair.substr(0, pair.find(' '))))
            words.emplace_back(pair);
    }
    std::string lower(token);
    std::transform(lower.begin(), lower.end(), lower.begin(),
                   [](char c) { return is_upper(c) ? static_cast<char>(c - 'A' + 'a') : c; });
    return nearest(lower, words);
}

// Signs and words from elsewhere, with what they are called here.
std::string_view translated(std::string_view token) {
    static constexpr std::pair<std::string_view, std::string_view> words[] = {
        {">", "more than"},
        {">=", "at least"},
        {"≥", "at least"},
        {"<", "less than"},
        {"<=", "at most"},
        {"≤", "at most"},
        {"==", "="},
        {"!=", "is not"},
        {"<>", "is not"},
        {"≠", "is not"},
        {"&&", "and"},
        {"&", "and"},
        {"||", "or"},
        {"equals", "="},
        {"exceeds", "more than"},
        {"greater", "more than"},
        {"else", "otherwise"}};
    for (const auto &[foreign, word] : words) {
        if (foreign == token)
            return word;
    }
    return {};
}

std::string help_for(const ParseState &s, const char *first, const char *at,
                     std::string_view token) {
    const bool behind_is = expects(s, "one") && expects(s, Expected::text); // a type has no texts
    if (behind_is && (token == "yes" || token == "no"))
        return "a yes_no stands alone: write `x` or `not x` in place of `x is yes` or `x is no`";
    if (behind_is && (token == "at" || token == "more" || token == "less" || token == "from"))
        return "leave out `is`: comparisons stand without it";
    if (token == "(") {
        const std::string_view above(first, static_cast<std::size_t>(at - first));
        const std::string_view read = above.substr(0, above.find_last_not_of(" \t") + 1);
        const bool apart = read.size() < above.size();
        const bool number = read.find_last_of("0123456789)") + 1 == read.size();
        if (apart && number && !expects(s, Expected::arithmetic))
            return "a clause number has no blanks in it: 210.8(A)(2)";
    }
    const std::string_view word = translated(token);
    if (!word.empty())
        return "write " + in_ticks(word);
    const std::string near = nearest_alternative(s, token);
    if (!near.empty())
        return "did you mean " + in_ticks(near) + "?";
    if (is_reserved(token) && expects(s, Expected::name))
        return in_ticks(token) + " is a word of the language and can't be a name";
    if (!token.empty() && is_upper(token[0]) && expects(s, Expected::name))
        return "names are written in_lower_case_with_underscores";
    return {};
}

// Behind the last word of the declaration; layout and comments follow it.
const char *content_end(const char *first, const char *last) {
    const char *end = first;
    const char *at = first;
    while (at != last) {
        at = skip_layout(at, last, Layout::free);
        if (at == last)
            break;
        if (*at == '"')
            at = std::find(at + 1, last, '"');
        at = std::min(at + 1, last);
        end = at;
    }
    return end;
}

} // namespace

void report_failure(const ParseState &s, const char *first, const char *last,
                    Diagnostics &diagnostics) {
    const char *at = s.farthest == nullptr ? last : s.farthest;
    const std::string_view token = token_at(at, last);
    if (token.empty())
        at = content_end(first, last);
    const Span span = s.span(at, at + std::max<std::size_t>(token.size(), 1));
    const bool joined =
        (token == "and" && expects(s, "or")) || (token == "or" && expects(s, "and"));
    if (joined) {
        diagnostics
            .error("mixed-and-or", span,
                   "`and` and `or` stand side by side; it is unclear which binds first")
            .help = "put one of the two in brackets: a and (b or c)";
        return;
    }
    // A piece of a message ends at its brace. Texts end with a zero byte, so this may be read.
    const bool in_message = *last == '}';
    const std::string found = token.empty() && in_message ? "the brace is closed"
                              : token.empty()             ? "the declaration ends"
                              : token[0] == '\n'          ? "the line ends"
                              : token[0] == '"'           ? "a text stands"
                                                          : in_ticks(token) + " stands";
    Diagnostic &d =
        diagnostics.error("syntax", span, found + " where " + expectation(s) + " is expected");
    d.help = help_for(s, first, at, token);
}

void report_faults(const ParseState &s, Diagnostics &diagnostics) {
    std::vector<const Fault *> told;
    for (const Fault &f : s.faults) {
        const bool again = std::any_of(told.begin(), told.end(), [&](const Fault *t) {
            return t->span.begin == f.span.begin && t->code == f.code;
        });
        if (again)
            continue;
        told.push_back(&f);
        Diagnostic &d = diagnostics.error(f.code, f.span, f.message);
        d.help = f.help;
        d.other = f.other;
        d.other_is = f.other_is;
    }
}

} // namespace groundrule::syntax
