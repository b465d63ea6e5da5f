// The two streams of the command: results on standard output, everything else on standard error.
#pragma once

#include <groundrule/groundrule.hpp>

#include <string_view>

namespace command {

// Only for a person at a terminal who did not ask for plain text (NO_COLOR, TERM=dumb).
bool wants_colour();

// Writes a result and ends it with a newline if it has none. If it could not be written, says so
// and gives back bad_input; otherwise `status`.
int print(std::string_view text, int status);

// One message with the name of the command in front.
void complain(std::string_view message);

// A fault that the library found. One with a place is left as it is: editors find the place.
void complain(const groundrule::Error &error);

} // namespace command
