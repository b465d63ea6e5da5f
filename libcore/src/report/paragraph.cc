#include "report/paragraph.h"

#include <algorithm>

namespace groundrule::report {

namespace {

void one_line(const std::string &text, std::size_t indent, std::size_t first, std::string &out) {
    std::string current(first, ' ');
    bool empty = true;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        const std::string word = text.substr(at, end - at);
        if (!empty && current.size() + 1 + word.size() > page_width) {
            out += current + "\n";
            current.assign(indent, ' ');
            empty = true;
        }
        current += (empty ? "" : " ") + word;
        empty = false;
        at = end + 1;
    }
    out += current + "\n";
}

} // namespace

std::string paragraph(const std::string &text, std::size_t indent) {
    return paragraph(text, indent, indent);
}

std::string paragraph(const std::string &text, std::size_t indent, std::size_t first) {
    std::string out;
    std::size_t at = 0;
    for (;;) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        one_line(text.substr(at, end - at), indent, at == 0 ? first : indent, out);
        if (end == text.size())
            return out;
        at = end + 1;
    }
}

std::string on_one_line(std::string_view text) {
    std::string out;
    for (const char c : text) {
        const bool blank = c == ' ' || c == '\n' || c == '\t' || c == '\r';
        if (!blank)
            out += c;
        else if (!out.empty() && out.back() != ' ')
            out += ' ';
    }
    return out;
}

} // namespace groundrule::report
