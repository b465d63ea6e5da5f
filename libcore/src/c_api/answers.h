// What the handles of groundrule/answers.h hold, and what their files share.
#pragma once

#include "answers/explain.h"
#include "answers/interview.h"
#include "answers/remedy.h"
#include "c_api/handles.h"
#include "c_api/stages.h"

struct gr_explanation : groundrule::c_api::Mark<gr_explanation> {
    std::shared_ptr<const groundrule::c_api::OpenBook> book;
    std::vector<groundrule::answers::Explanation> explanations;
    std::string rendered;
};

struct gr_interview : groundrule::c_api::Mark<gr_interview> {
    std::shared_ptr<const groundrule::c_api::OpenBook> book;
    groundrule::answers::Interview interview;
    std::string choices; // of the question that was last asked for
    std::string rendered;
    std::string job;
};

struct gr_remedies : groundrule::c_api::Mark<gr_remedies> {
    std::shared_ptr<const groundrule::c_api::OpenBook> book;
    groundrule::facts::Job facts; // that they are for
    std::string stage;
    groundrule::answers::Remedies remedies;
    std::string rendered;
};

namespace groundrule::c_api {

inline std::string or_empty(const char *text) {
    return text == nullptr ? std::string() : std::string(text);
}

// What each question about a job begins with: the stage that it is about, and the facts as a check
// takes them (work inherited, assumptions in), once they are known not to contradict each other;
// else the failure in `status`.
struct Asked {
    std::string stage;
    facts::Job facts;
};
std::optional<Asked> asked(const gr_job &job, const char *stage, gr_status &status,
                           gr_error *error);

// Whether a slot and row are those of a job; else a failure.
gr_status check_place(const gr_job &job, gr_slot slot, std::uint32_t row, gr_error *error);

std::string no_such_finding(const book::Book &book, const std::string &clause);

} // namespace groundrule::c_api
