// An explanation in the order in which a person follows it; its text, JSON and HTML forms say the
// same.
#pragma once

#include "answers/explain.h"

namespace groundrule::answers {

struct StoryLine {
    const Line *line = nullptr;
    std::string outcome; // yes, no, unknown; holds, does not hold
    std::string figures; // "50 A at most 40 A"
};

struct StoryPart {
    const char *key = "";
    const char *heading = "";
    std::vector<StoryLine> lines;
};

struct StoryValue {
    const Step *step = nullptr;
    std::string value;
    std::string from;    // "given", "implied by NEMA WD 6", "derived: Ampacity after all limits"
    std::string layer;   // of the text, if it came from one
    std::string words;   // of a definition: its expression
    std::string figures; // "40 A × 125 % = 50 A"
};

struct Story {
    std::vector<StoryPart> parts; // those that the rule has
    std::vector<StoryValue> values;
};

Story story(const Explanation &explanation);

} // namespace groundrule::answers
