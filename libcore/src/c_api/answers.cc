#include "c_api/answers.h"

#include "evaluate/scalar.h"
#include "text/nearest.h"

namespace groundrule::c_api {

std::optional<Asked> asked(const gr_job &job, const char *stage, gr_status &status,
                           gr_error *error) {
    std::string name = or_empty(stage);
    if (!is_stage(name)) {
        status = fail(error, GR_BAD_ARGUMENT, "unknown-stage", no_such_stage(name));
        return std::nullopt;
    }
    facts::Job complete = job.facts;
    complete.inherit_work();
    facts::apply_assumptions(complete, job.assumptions);
    evaluate::run(job.book->program, complete, job.workspace);
    if (!job.workspace.contradictions.empty()) {
        status = fail_with(
            error, GR_BAD_FACTS,
            report::contradictions(*job.book->book, job.book->program, complete, job.workspace),
            {});
        return std::nullopt;
    }
    return Asked{std::move(name), std::move(complete)};
}

gr_status check_place(const gr_job &job, gr_slot slot, std::uint32_t row, gr_error *error) {
    const book::Book &b = *job.book->book;
    if (slot.item >= b.items.size() || slot.field >= b.items[slot.item].fields.size())
        return fail(error, GR_BAD_ARGUMENT, "bad-slot", "this slot is not of this book");
    if (row >= job.facts.rows(static_cast<std::int32_t>(slot.item)).size())
        return fail(error, GR_BAD_ARGUMENT, "no-such-row", "there is no such item");
    return GR_OK;
}

std::string no_such_finding(const book::Book &book, const std::string &clause) {
    std::vector<std::string> known;
    for (const book::Rule &r : book.rules) {
        known.push_back(r.citation);
        known.push_back(r.topic);
    }
    const std::string near = nearest(clause, known);
    return "there is no finding of \"" + clause + "\" at that item" +
           (near.empty() || near == clause ? "" : "; did you mean \"" + near + "\"?");
}

} // namespace groundrule::c_api
