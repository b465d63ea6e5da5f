// Text broken at the width of a page.
#pragma once

#include <cstddef>
#include <string>

namespace groundrule::report {

inline constexpr std::size_t page_width = 100;

// Words broken at the page's width, each line behind `indent` blanks, the first behind `first`
// (as many if left out). Lines of the text stay lines; the last one ends with a newline.
std::string paragraph(const std::string &text, std::size_t indent);
std::string paragraph(const std::string &text, std::size_t indent, std::size_t first);

} // namespace groundrule::report
