// A declaration begins in column one; its other lines are indented.
#include "syntax/split.h"

#include "text/limits.h"

#include <algorithm>
#include <string>

namespace groundrule::syntax {

namespace {

bool is_word_char(char c) {
    return (c >= 'a' && c <= 'z') || c == '_' || c == '-';
}

std::string_view word_at(std::string_view text, std::size_t at) {
    std::size_t end = at;
    while (end < text.size() && (is_word_char(text[end]) || (text[end] >= 'A' && text[end] <= 'Z')))
        ++end;
    return text.substr(at, end - at);
}

// A bar outside texts and comments: a row of a table.
bool is_row(std::string_view text, std::size_t at) {
    bool quoted = false;
    for (; at < text.size() && text[at] != '\n' && (quoted || text[at] != '#'); ++at) {
        quoted = quoted != (text[at] == '"');
        if (text[at] == '|' && !quoted)
            return true;
    }
    return false;
}

// A line that can't begin a declaration, and can only belong to the one above.
bool continues(std::string_view text, std::size_t at) {
    static constexpr std::string_view words[] = {
        "as",      "authority", "binds", "by",       "caution", "displaces", "effective",
        "except",  "expect",    "for",   "given",    "gives",   "in",        "information",
        "limit",   "listed",    "note",  "numbered", "path",    "permits",   "publisher",
        "reading", "says",      "shall", "should",   "source",  "stage",     "title",
        "topic",   "where",     "with",  "within",   "without", "and",       "or"};
    const char c = text[at];
    const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
    const std::string_view word = word_at(text, at);
    return !letter || is_row(text, at) ||
           std::find(std::begin(words), std::end(words), word) != std::end(words);
}

std::string_view word_after(std::string_view text, std::size_t at) {
    while (at < text.size() && (text[at] == ' ' || text[at] == '\t'))
        ++at;
    return word_at(text, at);
}

struct Depth {
    std::size_t brackets = 0;
    std::size_t words = 0; // if and not open a level that closes with the declaration's next
                           // bracket or line of clauses
    std::size_t worst_at = 0;
    bool exceeded = false;
};

// Counts brackets, `if` and `not` outside texts and comments. A run of `if` or `not` nests as
// brackets do; it is counted as open until an `and`, `or`, comma or closing bracket ends it, which
// over-counts but never under-counts a nested one.
Depth measure(std::string_view text, std::size_t begin, std::size_t end) {
    Depth depth;
    std::size_t i = begin;
    const auto deepen = [&](std::size_t &level) {
        ++level;
        if (depth.brackets + depth.words > limits::nesting && !depth.exceeded) {
            depth.exceeded = true;
            depth.worst_at = i;
        }
    };
    while (i < end) {
        const char c = text[i];
        if (c == '#') {
            while (i < end && text[i] != '\n')
                ++i;
        } else if (c == '"') {
            ++i;
            while (i < end && text[i] != '"' && text[i] != '\n')
                ++i;
            ++i;
        } else if (c == '(' || c == '[') {
            deepen(depth.brackets);
            ++i;
        } else if (c == ')' || c == ']') {
            depth.brackets -= depth.brackets > 0 ? 1 : 0;
            ++i;
        } else if (is_word_char(c)) {
            const std::string_view word = word_at(text, i);
            if (word == "if" || word == "not")
                deepen(depth.words);
            else if (word == "where" || word == "listed" || word == "except" || word == "shall" ||
                     word == "expect" || word == "path" || word == "permits")
                depth.words = 0;
            i += word.size();
        } else {
            ++i;
        }
    }
    return depth;
}

bool within_bounds(const Piece &piece, std::string_view text, std::uint32_t file,
                   Diagnostics &diagnostics) {
    const std::size_t size = piece.end - piece.begin;
    const bool table = piece.first_word == "table" || piece.first_word == "list";
    const std::size_t bound = table ? limits::table_bytes : limits::declaration_bytes;
    const Span head{file, piece.begin,
                    piece.begin + static_cast<std::uint32_t>(piece.first_word.size())};
    if (size > bound) {
        diagnostics.error("too-large", head,
                          "this declaration has " + std::to_string(size) + " bytes; at most " +
                              std::to_string(bound) + " are read");
        return false;
    }
    const Depth depth = measure(text, piece.begin, piece.end);
    if (depth.exceeded) {
        const auto at = static_cast<std::uint32_t>(depth.worst_at);
        diagnostics.error("too-deep", {file, at, at + 1},
                          "brackets, `if` and `not` nest deeper than " +
                              std::to_string(limits::nesting) + " here");
        return false;
    }
    return true;
}

} // namespace

std::vector<Piece> split(const SourceText &source, std::uint32_t file, Diagnostics &diagnostics) {
    const std::string_view text = source.text();
    std::vector<Piece> pieces;
    if (text.size() > limits::source_bytes) {
        diagnostics.error("too-large", {file, 0, 1},
                          "this file has " + std::to_string(text.size()) + " bytes; at most " +
                              std::to_string(limits::source_bytes) + " are read");
        return pieces;
    }
    const std::size_t bad = first_bad_utf8(text);
    if (bad != std::string_view::npos) {
        const auto at = static_cast<std::uint32_t>(bad);
        diagnostics.error("not-utf-8", {file, at, at + 1},
                          "this byte is not UTF-8 text; save the file as UTF-8");
        return pieces;
    }
    bool stray_told = false;
    std::size_t at = text.starts_with("\xEF\xBB\xBF") ? 3 : 0;
    while (at < text.size()) {
        const std::size_t newline = std::min(text.find('\n', at), text.size());
        const char first = text[at];
        const bool blank =
            first == ' ' || first == '\t' || first == '\r' || first == '\n' || first == '#';
        if (!blank) {
            if (!pieces.empty() && continues(text, at)) {
                const std::size_t size = std::max<std::size_t>(word_at(text, at).size(), 1);
                const auto from = static_cast<std::uint32_t>(at);
                diagnostics
                    .error("not-indented", {file, from, from + static_cast<std::uint32_t>(size)},
                           "this line belongs to the declaration above, and begins in "
                           "column one")
                    .help = "put blanks before it; only the first line of a declaration has none";
                at = newline + 1;
                continue;
            }
            Piece piece;
            piece.begin = static_cast<std::uint32_t>(at);
            piece.first_word = word_at(text, at);
            piece.second_word = word_after(text, at + piece.first_word.size());
            if (!pieces.empty())
                pieces.back().end = piece.begin;
            pieces.push_back(piece);
        } else if (pieces.empty() && !stray_told) {
            const std::size_t content = text.find_first_not_of(" \t\r", at);
            if (content < newline && text[content] != '#') {
                const auto from = static_cast<std::uint32_t>(content);
                diagnostics.error("stray-line", {file, from, static_cast<std::uint32_t>(newline)},
                                  "this line is indented, but no declaration stands above it");
                stray_told = true;
            }
        }
        at = newline + 1;
    }
    if (!pieces.empty())
        pieces.back().end = static_cast<std::uint32_t>(text.size());
    std::erase_if(pieces,
                  [&](const Piece &p) { return !within_bounds(p, text, file, diagnostics); });
    return pieces;
}

} // namespace groundrule::syntax
