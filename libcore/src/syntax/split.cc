// A declaration begins in column one; its other lines are indented.
#include "syntax/split.h"

#include "text/limits.h"

#include <algorithm>
#include <string>
#include <vector>

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
        "as",       "authority", "binds",     "book",        "from",    "hands_over", "overlaps",
        "by",       "caution",   "displaces", "effective",   "except",  "expect",     "for",
        "given",    "gives",     "in",        "information", "limit",   "listed",     "note",
        "numbered", "path",      "permits",   "publisher",   "reading", "says",       "shall",
        "should",   "source",    "stage",     "title",       "topic",   "until",      "where",
        "with",     "within",    "without",   "and",         "or"};
    const char c = text[at];
    const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
    const std::string_view word = word_at(text, at);
    return !letter || is_row(text, at) ||
           std::find(std::begin(words), std::end(words), word) != std::end(words);
}

std::string_view word_after(std::string_view text, std::size_t at) {
    return word_at(text, std::min(text.find_first_not_of(" \t\r\n", at), text.size()));
}

// Words that open a level of their own at one level of brackets.
struct Open {
    std::size_t ifs = 0;  // and what is negated before them: open to the end of the brackets
    std::size_t nots = 0; // open to the next joining word
    std::size_t sum() const { return ifs + nots; }
};

bool joins(std::string_view word) {
    return word == "and" || word == "or" || word == "then" || word == "otherwise";
}

bool begins_clause(std::string_view word) {
    return word == "where" || word == "listed" || word == "except" || word == "shall" ||
           word == "expect" || word == "path" || word == "permits";
}

class Nesting {
  public:
    void open_bracket() {
        below_ += here_.sum() + 1;
        outer_.push_back(here_);
        here_ = {};
    }
    void close_bracket() {
        if (outer_.empty())
            return;
        here_ = outer_.back();
        outer_.pop_back();
        below_ -= here_.sum() + 1;
    }
    void comma() { here_ = {}; }
    void word(std::string_view word) {
        if (word == "not")
            ++here_.nots;
        else if (word == "if")
            here_ = {here_.sum() + 1, 0};
        else if (joins(word))
            here_.nots = 0;
        else if (begins_clause(word) && outer_.empty())
            here_ = {};
    }
    bool exceeded() const { return below_ + here_.sum() > limits::nesting; }

  private:
    std::vector<Open> outer_; // one a bracket
    std::size_t below_ = 0;   // levels open outside the innermost bracket, with the brackets
    Open here_;
};

// Whether brackets, `if` and `not` are so many that they may nest beyond the bound. Most
// declarations have few, even with what looks like them in words and texts, and counting is quicker
// than a look at each word.
bool may_be_too_deep(std::string_view declaration) {
    // Counted in bytes, which fit many to a vector, of stretches too short to overflow one.
    constexpr std::size_t stretch = 255;
    std::size_t count = 1; // the first sign
    for (std::size_t begin = 1; begin < declaration.size(); begin += stretch) {
        const char *at = declaration.data() + begin;
        const std::size_t size = std::min(stretch, declaration.size() - begin);
        std::uint8_t here = 0;
        for (std::size_t i = 0; i < size; ++i) {
            const char before = at[static_cast<std::ptrdiff_t>(i) - 1];
            const char c = at[i];
            const bool opens = (c == '(') | (c == '[') | ((before == 'i') & (c == 'f')) |
                               ((before == 'o') & (c == 't'));
            here = static_cast<std::uint8_t>(here + (opens ? 1 : 0));
        }
        count += here;
    }
    return count > limits::nesting;
}

// Where brackets, `if` and `not` outside texts and comments nest beyond the bound; npos if nowhere.
std::size_t too_deep(std::string_view text, std::size_t begin, std::size_t end) {
    Nesting nesting;
    std::size_t i = begin;
    while (i < end) {
        const std::size_t at = i;
        const char c = text[i];
        if (c == '#') {
            while (i < end && text[i] != '\n')
                ++i;
        } else if (c == '"') {
            ++i;
            while (i < end && text[i] != '"' && text[i] != '\n')
                ++i;
            ++i;
        } else if (is_word_char(c)) {
            const std::string_view word = word_at(text, i);
            nesting.word(word);
            i += word.size();
        } else {
            if (c == '(' || c == '[')
                nesting.open_bracket();
            else if (c == ')' || c == ']')
                nesting.close_bracket();
            else if (c == ',')
                nesting.comma();
            ++i;
        }
        if (nesting.exceeded())
            return at;
    }
    return std::string_view::npos;
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
    const std::size_t deep = may_be_too_deep(text.substr(piece.begin, size))
                                 ? too_deep(text, piece.begin, piece.end)
                                 : std::string_view::npos;
    if (deep != std::string_view::npos) {
        const auto at = static_cast<std::uint32_t>(deep);
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
    const std::size_t before = diagnostics.size();
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
                if (diagnostics.size() - before >= limits::faults_per_file) {
                    pieces.back().end = static_cast<std::uint32_t>(at);
                    break; // the reader counts these faults and stops too
                }
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
            if (pieces.size() == limits::declarations_per_file) {
                diagnostics.error("too-large", {file, piece.begin, piece.begin + 1},
                                  "a file holds at most " +
                                      std::to_string(limits::declarations_per_file) +
                                      " declarations; the rest of this one was not read");
                break;
            }
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
    if (!pieces.empty() && pieces.back().end == 0)
        pieces.back().end = static_cast<std::uint32_t>(text.size());
    std::erase_if(pieces,
                  [&](const Piece &p) { return !within_bounds(p, text, file, diagnostics); });
    return pieces;
}

} // namespace groundrule::syntax
