// Lines, columns and UTF-8 of a source file.
#include "text/source_text.h"

#include <algorithm>
#include <cstdint>
#include <cstring>

namespace groundrule {

SourceText::SourceText(std::string name, std::string text)
    : name_(std::move(name)), text_(std::move(text)) {
    line_starts_.push_back(0);
    for (std::size_t i = text_.find('\n'); i != std::string::npos; i = text_.find('\n', i + 1))
        line_starts_.push_back(static_cast<std::uint32_t>(i + 1));
}

Place SourceText::place(std::uint32_t offset) const {
    offset = std::min(offset, static_cast<std::uint32_t>(text_.size()));
    const auto after = std::upper_bound(line_starts_.begin(), line_starts_.end(), offset);
    const auto line = static_cast<std::uint32_t>(after - line_starts_.begin());
    const std::uint32_t start = line_starts_[line - 1];
    return {line, character_count(std::string_view(text_).substr(start, offset - start)) + 1};
}

std::string_view SourceText::line(std::uint32_t number) const {
    if (number == 0 || number > line_starts_.size())
        return {};
    const std::string_view all = text_;
    const std::uint32_t start = line_starts_[number - 1];
    const std::size_t end = std::min(all.find('\n', start), all.size());
    std::string_view line = all.substr(start, end - start);
    if (!line.empty() && line.back() == '\r')
        line.remove_suffix(1);
    return line;
}

std::uint32_t character_count(std::string_view utf8) {
    std::uint32_t count = 0;
    for (const char c : utf8)
        count += (static_cast<unsigned char>(c) & 0xC0u) != 0x80u;
    return count;
}

std::size_t first_bad_utf8(std::string_view bytes) {
    std::size_t i = 0;
    while (i < bytes.size()) {
        // Most text is plain, and eight bytes of it are found so at once.
        std::uint64_t eight = 0;
        while (i + sizeof eight <= bytes.size()) {
            std::memcpy(&eight, bytes.data() + i, sizeof eight);
            if ((eight & 0x8080808080808080u) != 0)
                break;
            i += sizeof eight;
        }
        if (i == bytes.size())
            break;
        const auto lead = static_cast<unsigned char>(bytes[i]);
        std::size_t length = 1;
        char32_t code = lead;
        if (lead >= 0xF0u && lead < 0xF5u) {
            length = 4;
            code = lead & 0x07u;
        } else if (lead >= 0xE0u && lead < 0xF0u) {
            length = 3;
            code = lead & 0x0Fu;
        } else if (lead >= 0xC2u && lead < 0xE0u) {
            length = 2;
            code = lead & 0x1Fu;
        } else if (lead >= 0x80u) {
            return i;
        }
        if (i + length > bytes.size())
            return i;
        for (std::size_t k = 1; k < length; ++k) {
            const auto next = static_cast<unsigned char>(bytes[i + k]);
            if ((next & 0xC0u) != 0x80u)
                return i;
            code = (code << 6u) | (next & 0x3Fu);
        }
        const bool overlong = (length == 3 && code < 0x800u) || (length == 4 && code < 0x10000u);
        if (overlong || code > 0x10FFFFu || (code >= 0xD800u && code <= 0xDFFFu))
            return i;
        i += length;
    }
    return std::string_view::npos;
}

} // namespace groundrule
