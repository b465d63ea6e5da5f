// What to find out next: the facts, and the completeness of lists, that can change a verdict which
// is open, those first that decide most.
//
// A question is proven if values were found, for it and for what else is unknown, such that the
// answer changes an open verdict: only proven ones are asked while there is one. Then all samples
// of all that a verdict can depend on are tried: if no answer decides, it is not asked, and the
// verdict says so. Only where these are too many is a fact asked, last, that may decide nothing.
#pragma once

#include "answers/question.h"

#include <string>
#include <vector>

namespace groundrule::answers {

// What stays open although nothing is left to ask for it.
struct Remaining {
    std::size_t verdict = 0;
    std::vector<std::string> reasons;
};

struct NextOptions {
    std::vector<Place> skipped_facts; // not to be asked
    std::vector<Place> skipped_lists;
    std::size_t tries = 32;           // walks through what else is unknown, for each question
    std::size_t combinations = 20000; // of samples that are tried at the end, for each verdict
};

struct Next {
    std::vector<Question> questions; // choice, look_up, measure and lists, what decides most first
    std::vector<Question> apart;     // for judgement, then for an authority
    std::vector<Remaining> remaining;
    std::size_t open = 0; // verdicts
    std::size_t tried = 0;
};

Next next_questions(const Subject &subject, const NextOptions &options);

std::string next_text(const Subject &subject, const Next &next);
std::string next_json(const Subject &subject, const Next &next);

} // namespace groundrule::answers
