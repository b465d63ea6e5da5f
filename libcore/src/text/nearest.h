// The known name that somebody probably meant.
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace groundrule {

// The candidate with the fewest edits (insert, delete, replace, swap neighbours), if it is near
// enough to be a slip of the pen: at most a third of the word. Empty if none is.
std::string nearest(std::string_view word, std::span<const std::string> candidates);

} // namespace groundrule
