// gr_comparison: two books, and the jobs that they are tried on.
#include "c_api/guard.h"
#include "c_api/handles.h"

#include "evaluate/scalar.h"
#include "facts/json_reader.h"

#include <utility>

using groundrule::Diagnostics;
using groundrule::c_api::bad_pointer;
using groundrule::c_api::check_items;
using groundrule::c_api::check_size;
using groundrule::c_api::fail;
using groundrule::c_api::fail_with;
using groundrule::c_api::guard;
using groundrule::c_api::handed_over;
using groundrule::c_api::let_go;
using groundrule::c_api::live;
using groundrule::c_api::OpenBook;
using groundrule::c_api::text_of;
using groundrule::c_api::view;
namespace evaluate = groundrule::evaluate;
namespace facts = groundrule::facts;
namespace report = groundrule::report;

namespace {

// The findings of every stage.
gr_status check(const OpenBook &open, std::string_view json, const std::string &name,
                evaluate::Workspace &workspace, report::Report &out, gr_error *error) {
    gr_status fits = check_size(open, json.size(), error);
    if (fits != GR_OK)
        return fits;
    Diagnostics diagnostics;
    auto job = facts::job_from_json(*open.book, json, name, diagnostics);
    if (!job)
        return fail_with(error, GR_BAD_FACTS, diagnostics, {});
    fits = check_items(open, job->row_count(), GR_BAD_FACTS, error);
    if (fits != GR_OK)
        return fits;
    job->inherit_work();
    evaluate::run(open.program, *job, workspace);
    if (!workspace.contradictions.empty())
        return fail_with(error, GR_BAD_FACTS,
                         report::contradictions(*open.book, open.program, *job, workspace), {});
    out = report::findings(*open.book, open.program, *job, workspace, {});
    return GR_OK;
}

} // namespace

gr_status gr_compare_books(const gr_book *before, const gr_book *after, gr_comparison **out,
                           gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(before) || !live(after) || out == nullptr)
            return bad_pointer(error);
        *out = handed_over(
            gr_comparison{{},
                          before->open,
                          after->open,
                          groundrule::book::compare(*before->open->book, *after->open->book),
                          {},
                          {},
                          {}});
        return GR_OK;
    });
}

void gr_comparison_free(gr_comparison *comparison) noexcept {
    let_go(comparison);
}

gr_status gr_comparison_add_job(gr_comparison *comparison, const char *json, size_t size,
                                const char *name, size_t name_size, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(comparison) || json == nullptr)
            return bad_pointer(error);
        const std::string shown = name == nullptr ? "job" : std::string(view(name, name_size));
        report::Report older;
        report::Report newer;
        const std::pair<const OpenBook *, report::Report *> sides[] = {
            {comparison->before.get(), &older}, {comparison->after.get(), &newer}};
        for (const auto &[open, found] : sides) {
            const gr_status status =
                check(*open, view(json, size), shown, comparison->workspace, *found, error);
            if (status != GR_OK)
                return status;
        }
        report::add_job(comparison->jobs, shown, older, newer);
        return GR_OK;
    });
}

int gr_comparison_same(const gr_comparison *comparison) noexcept {
    return live(comparison) && comparison->books.same() && comparison->jobs.changed == 0 &&
                   comparison->jobs.told_otherwise == 0
               ? 1
               : 0;
}

gr_status gr_comparison_render(gr_comparison *comparison, int format, gr_text *out,
                               gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(comparison) || out == nullptr)
            return bad_pointer(error);
        if (format != GR_JSON && format != GR_PLAIN)
            return fail(error, GR_BAD_ARGUMENT, "unknown-format", "there is no such format");
        const report::JobComparison *jobs =
            comparison->jobs.jobs == 0 ? nullptr : &comparison->jobs;
        comparison->rendered = format == GR_JSON ? report::to_json(comparison->books, jobs)
                                                 : report::to_text(comparison->books, jobs);
        *out = text_of(comparison->rendered);
        return GR_OK;
    });
}
