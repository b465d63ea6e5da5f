// Texts that are laid out for a screen, as one line: a line may end where another blank would
// stand.
#pragma once

#include <string>
#include <string_view>

namespace trial {

inline std::string in_one_line(std::string_view text) {
    std::string out;
    for (const char c : text) {
        const bool blank = c == ' ' || c == '\n';
        if (!blank || (!out.empty() && out.back() != ' '))
            out += blank ? ' ' : c;
    }
    return out;
}

inline bool tells(const std::string &one_line, std::string_view part) {
    return one_line.find(in_one_line(part)) != std::string::npos;
}

} // namespace trial
