// Cutting a declaration into tokens, and blanks between them.
#include "syntax/format_tokens.h"

#include "text/source_text.h"

#include <algorithm>

namespace groundrule::syntax {

namespace {

constexpr std::string_view marks = "()[],:=|";

bool is_blank(char c) {
    return c == ' ' || c == '\t' || c == '\r' || c == '\n';
}

bool digit(char c) {
    return c >= '0' && c <= '9';
}

// A citation or a label keeps its brackets: 210.8(A)(2), (B)(1). Only what the grammar has read is
// cut, so what opens there is closed.
std::size_t parts_end(std::string_view text, std::size_t at) {
    while (at < text.size() && text[at] == '(')
        at = std::min(text.find(')', at), text.size() - 1) + 1;
    return at;
}

std::size_t word_end(std::string_view text, std::size_t at) {
    std::size_t end = at;
    while (end < text.size() && !is_blank(text[end]) && text[end] != '"' && text[end] != '#' &&
           marks.find(text[end]) == std::string_view::npos)
        ++end;
    return digit(text[at]) ? parts_end(text, end) : end;
}

// A label stands behind listed, except, path, permits; there its brackets belong to it.
bool takes_label(const std::vector<FormatToken> &tokens) {
    if (tokens.empty())
        return false;
    const std::string &last = tokens.back().text;
    return last == "listed" || last == "except" || last == "path" || last == "permits" ||
           last == "exception";
}

} // namespace

std::vector<FormatToken> format_tokens(std::string_view text) {
    std::vector<FormatToken> tokens;
    std::size_t at = 0;
    bool line_start = true;
    bool blank = false;
    int depth = 0;
    while (at < text.size()) {
        if (is_blank(text[at])) {
            line_start = line_start || text[at] == '\n';
            blank = true;
            ++at;
            continue;
        }
        FormatToken token;
        token.first_on_line = line_start;
        token.after_blank = blank;
        std::size_t end = at + 1;
        if (text[at] == '#') {
            token.kind = FormatToken::Kind::comment;
            end = std::min(text.find('\n', at), text.size());
            while (is_blank(text[end - 1]))
                --end;
        } else if (text[at] == '"') {
            token.kind = FormatToken::Kind::text;
            end = std::min(text.find_first_of("\"\n", at + 1), text.size() - 1) + 1;
        } else if (text[at] == '(' && takes_label(tokens)) {
            end = parts_end(text, at);
        } else if (marks.find(text[at]) != std::string_view::npos) {
            token.kind = FormatToken::Kind::punctuation;
        } else {
            end = word_end(text, at);
        }
        token.text = std::string(text.substr(at, end - at));
        if (token.text == ")" || token.text == "]")
            depth = std::max(0, depth - 1);
        token.depth = depth;
        if (token.text == "(" || token.text == "[")
            ++depth;
        tokens.push_back(std::move(token));
        at = end;
        line_start = false;
        blank = false;
    }
    return tokens;
}

std::string joined_tokens(const std::vector<FormatToken> &tokens) {
    std::string out;
    for (std::size_t i = 0; i < tokens.size(); ++i) {
        const FormatToken &t = tokens[i];
        if (i > 0) {
            const std::string &before = tokens[i - 1].text;
            const bool glued =
                before == "(" || before == "[" || t.text == ")" || t.text == "]" || t.text == ",";
            const bool apart =
                before == "," || before == ":" || before == "=" || t.text == ":" || t.text == "=";
            if (t.kind == FormatToken::Kind::comment)
                out += "  ";
            else if (!glued && (apart || t.after_blank))
                out += " ";
        }
        out += t.text;
    }
    return out;
}

std::size_t width_of(const std::string &text) {
    return character_count(text);
}

} // namespace groundrule::syntax
