// A file as read, and places in it.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace groundrule {

// A stretch of one source, in bytes. `file` indexes a Sources; no_file means "nowhere in a file".
struct Span {
    static constexpr std::uint32_t no_file = 0xffffffff;
    std::uint32_t file = no_file;
    std::uint32_t begin = 0;
    std::uint32_t end = 0;
};

// Line and column count from 1; a column counts characters (UTF-8 code points), as editors show
// them.
struct Place {
    std::uint32_t line = 1;
    std::uint32_t column = 1;
};

class SourceText {
  public:
    SourceText(std::string name, std::string text);

    const std::string &name() const { return name_; }
    std::string_view text() const { return text_; }
    Place place(std::uint32_t offset) const;
    std::string_view line(std::uint32_t number) const; // without its newline

  private:
    std::string name_;
    std::string text_;
    std::vector<std::uint32_t> line_starts_;
};

using Sources = std::vector<SourceText>;

// Number of characters in UTF-8 text.
std::uint32_t character_count(std::string_view utf8);

// Offset of the first byte that is not UTF-8, or npos.
std::size_t first_bad_utf8(std::string_view bytes);

} // namespace groundrule
