// What to ask of an installation of which little is told: what kind of work it is, what is there,
// from the panel down to what stands in a box, and before that the choices on which it turns
// whether rules ask for such items at all.
#pragma once

#include "answers/next.h"

#include <optional>

namespace groundrule::answers {

std::optional<Question> outline_question(const Subject &subject, const NextOptions &skip);

} // namespace groundrule::answers
