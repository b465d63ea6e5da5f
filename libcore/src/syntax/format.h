// One canonical layout of rule text. Only blanks and line breaks change: words, texts, comments and
// their order stay, so the tree stays the same; formatting twice changes nothing.
#pragma once

#include "text/diagnostics.h"

#include <optional>
#include <string>

namespace groundrule::syntax {

// Nothing, with the faults reported, if the file does not parse.
std::optional<std::string> format(const SourceText &source, Diagnostics &diagnostics);

} // namespace groundrule::syntax
