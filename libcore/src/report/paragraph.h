// Text broken at the width of a page.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace groundrule::report {

inline constexpr std::size_t page_width = 100;

// Words broken at the page's width, each line behind `indent` blanks, the first behind `first`
// (as many if left out). Lines of the text stay lines; the last one ends with a newline.
std::string paragraph(const std::string &text, std::size_t indent);
std::string paragraph(const std::string &text, std::size_t indent, std::size_t first);

// A text of several lines as one, with one blank where there were several.
std::string on_one_line(std::string_view text);

} // namespace groundrule::report
