// The tokens of a declaration as the formatter sees them: what must stay together, and where lines
// and blanks stood.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace groundrule::syntax {

struct FormatToken {
    enum class Kind : unsigned char { word, text, comment, punctuation } kind = Kind::word;
    std::string text;
    bool first_on_line = false;
    bool after_blank = false; // blanks or a line break stood before it
    int depth = 0;            // brackets open before it
};

std::vector<FormatToken> format_tokens(std::string_view text);

// The tokens of one line with canonical blanks between them.
std::string joined_tokens(const std::vector<FormatToken> &tokens);

// Width in characters.
std::size_t width_of(const std::string &text);

} // namespace groundrule::syntax
