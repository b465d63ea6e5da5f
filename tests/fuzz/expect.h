// What every target demands of the core, whatever the input.
#pragma once

#include "text/diagnostics.h"

namespace groundrule::fuzz {

// Aborts with the words if the condition fails: a debugger, a fuzzer and ctest all notice.
void expect(bool condition, const char *words);

// Every fault has a code, words and a place inside its file, and can be shown.
void expect_sound(const Diagnostics &diagnostics, const Sources &sources);

} // namespace groundrule::fuzz
