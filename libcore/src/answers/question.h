// One thing to find out: a fact, or how many items a list has.
#pragma once

#include "answers/trial.h"
#include "report/finding.h"

#include <string>
#include <vector>

namespace groundrule::answers {

struct Question {
    bool list = false;       // whether a list is complete, and what else is in it
    Place at;                // of a list: its owner, and in `field` which of its lists
    report::Missing missing; // the fact, its item, kind, question, choices, other facts instead
    std::string unit;        // how an answer is written: "A", "ft, in, mm, m"; empty for choices
    double decides = 0;      // open findings that an answer decides by itself, in the mean
    std::vector<std::size_t> waiting; // open verdicts that name it
    std::vector<Place> implies;       // other facts that are asked for and that it may imply
    bool proven = false;
};

// What an answer decides for the effort of getting it: a choice is known at the desk, a mark has to
// be looked up, a length taken on site. Questions stand in this order, apart from those that only
// an inspector or an authority can answer.
double worth(const Question &question);

Question fact_question(const Subject &subject, const Place &at);
Question list_question(const Subject &subject, const Place &at);

} // namespace groundrule::answers
