// A rule file against the private edition of private_edition.cc.
#pragma once

#include "expect.h"

#include <string>

namespace groundrule::fuzz {

// Opens `name` with the text as an extra file. If it opens, the program must be whole, run the
// tests beside its rules, and mean the same once the text is laid out anew.
void expect_opens_soundly(const std::string &name, const std::string &text);

} // namespace groundrule::fuzz
