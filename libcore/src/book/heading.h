// What a rule file is and for which editions, told by its first line that is no comment.
#pragma once

#include <algorithm>
#include <string_view>

namespace groundrule::book {

inline std::string_view heading(std::string_view text) {
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        const std::string_view line = text.substr(0, end);
        if (!line.empty() && line[0] != '#' && line[0] != ' ' && line[0] != '\r')
            return line;
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return {};
}

} // namespace groundrule::book
