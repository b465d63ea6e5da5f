// The known word that somebody probably meant.
#pragma once

#include <string>
#include <vector>

namespace command {

// Empty if none is near enough to be a slip of the pen.
std::string nearest_word(const std::string &word, const std::vector<std::string> &known);

} // namespace command
