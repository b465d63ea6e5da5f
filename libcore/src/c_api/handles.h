// What the opaque handles hold.
#pragma once

#include "book/open.h"
#include "c_api/given.h"
#include "columns/audit.h"
#include "evaluate/dense.h"
#include "evaluate/verdicts.h"
#include "evaluate/workspace.h"
#include "facts/admission.h"
#include "facts/job.h"
#include "program/program.h"
#include "report/answer.h"
#include "report/compare_jobs.h"
#include "report/finding.h"
#include "text/late_text.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace groundrule::c_api {

inline bool told(const gr_source *sources, std::size_t count) {
    return (sources != nullptr || count == 0) &&
           std::all_of(sources, sources + count,
                       [](const gr_source &s) { return told(s.name) && told(s.text); });
}

// Files of the caller as the book room takes them.
inline std::vector<book::NamedText> named_texts(const gr_source *sources, std::size_t count) {
    std::vector<book::NamedText> texts;
    for (std::size_t i = 0; i < count; ++i)
        texts.push_back({std::string(view(sources[i].name.data, sources[i].name.size)),
                         std::string(view(sources[i].text.data, sources[i].text.size))});
    return texts;
}

struct OpenBook {
    std::unique_ptr<const book::Book> book;
    program::Program program;
    std::optional<evaluate::Dense> dense; // of the program
    std::optional<facts::Admissions> admissions;
    // Made when they are first asked for, which few do.
    mutable LateText description;
    mutable LateText schema;
    // What it was opened from: its tests are read when they are to run.
    std::string asked; // a printed book's is another than its name
    std::vector<book::NamedText> given;
    std::optional<int> on;
    // Bounds of the host's; 0: none but ours.
    std::size_t most_job_bytes = 0;
    std::size_t most_items = 0;
};

inline gr_status too_large(gr_error *error, gr_status status, const char *what, std::size_t most) {
    return fail(error, status, "too-large",
                std::string(what) + " at most " + std::to_string(most) + " here");
}

// Whether a document is as short as the host wants it; else a failure.
inline gr_status check_size(const OpenBook &open, std::size_t bytes, gr_error *error) {
    return open.most_job_bytes != 0 && bytes > open.most_job_bytes
               ? too_large(error, GR_BAD_FACTS, "a job document has bytes,", open.most_job_bytes)
               : GR_OK;
}
inline gr_status check_items(const OpenBook &open, std::size_t items, gr_status status,
                             gr_error *error) {
    return open.most_items != 0 && items > open.most_items
               ? too_large(error, status, "a job has items,", open.most_items)
               : GR_OK;
}

// Shared by an audit and the streams that run through it.
// What open verdicts of a rule lack.
struct MissingFact {
    const std::string *topic = nullptr; // of the book's rule
    report::Missing missing;
    columns::LackCount count;
};

struct OpenAudit {
    std::shared_ptr<const OpenBook> book;
    columns::Audit audit;
    std::vector<facts::Assumption> assumptions;
    std::string shape;                // of the rows' schema
    std::string faults;               // of the last batch
    std::vector<MissingFact> missing; // likewise
    GoOn go_on;
};

struct OpenAdoption {
    book::Adoption adoption;
    program::Program program;
    std::string json;
    std::string text;
};

} // namespace groundrule::c_api

struct gr_document : groundrule::c_api::Mark<gr_document> {
    std::string text;
};

struct gr_adoption : groundrule::c_api::Mark<gr_adoption> {
    std::shared_ptr<const groundrule::c_api::OpenAdoption> open;
};

struct gr_answer : groundrule::c_api::Mark<gr_answer> {
    std::shared_ptr<const groundrule::c_api::OpenAdoption> adoption;
    groundrule::report::Answer answer;
    std::string rendered;
};

struct gr_book : groundrule::c_api::Mark<gr_book> {
    // Shared with the jobs and reports that were made from it, so the order in which handles are
    // freed does not matter.
    std::shared_ptr<const groundrule::c_api::OpenBook> open;
    std::string test_report;
};

struct gr_job : groundrule::c_api::Mark<gr_job> {
    std::shared_ptr<const groundrule::c_api::OpenBook> book;
    groundrule::facts::Job facts;
    std::vector<groundrule::facts::Assumption> assumptions;
    // Grown once to the size of the job; a second check of it allocates only the report.
    mutable groundrule::evaluate::Workspace workspace;
    groundrule::evaluate::Verdicts verdicts{};
    std::vector<double> numbers{}; // scratch of gr_job_set_numbers
};

struct gr_audit : groundrule::c_api::Mark<gr_audit> {
    std::shared_ptr<groundrule::c_api::OpenAudit> open;
};

struct gr_report : groundrule::c_api::Mark<gr_report> {
    std::shared_ptr<const groundrule::c_api::OpenBook> book;
    groundrule::report::Report report;
    std::string rendered;
};

struct gr_comparison : groundrule::c_api::Mark<gr_comparison> {
    std::shared_ptr<const groundrule::c_api::OpenBook> before;
    std::shared_ptr<const groundrule::c_api::OpenBook> after;
    groundrule::book::Comparison books;
    groundrule::report::JobComparison jobs;
    groundrule::evaluate::Workspace workspace; // grown once; each job uses it twice
    std::string rendered;
};
