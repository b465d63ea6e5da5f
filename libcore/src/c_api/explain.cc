// gr_explanation.
#include "c_api/answers.h"

using groundrule::c_api::bad_pointer;
using groundrule::c_api::bad_size;
using groundrule::c_api::fail;
using groundrule::c_api::guard;
using groundrule::c_api::handed_over;
using groundrule::c_api::let_go;
using groundrule::c_api::live;
using groundrule::c_api::or_empty;
using groundrule::c_api::take;
using groundrule::c_api::text_of;
namespace answers = groundrule::answers;

gr_status gr_explain(const gr_job *job, const gr_explain_options *options, gr_explanation **out,
                     gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(job) || out == nullptr)
            return bad_pointer(error);
        gr_explain_options which = GR_EXPLAIN_OPTIONS_INIT;
        if (!take(options, which))
            return bad_size(error);
        gr_status status = GR_OK;
        const auto about = groundrule::c_api::asked(*job, which.stage, status, error);
        if (!about)
            return status;
        const groundrule::c_api::OpenBook &open = *job->book;
        const std::string clause = or_empty(which.clause);
        gr_explanation made{{},
                            job->book,
                            answers::explain_some(*open.book, open.program, about->facts,
                                                  job->workspace, about->stage, clause,
                                                  or_empty(which.item)),
                            {}};
        if (made.explanations.empty() && !clause.empty())
            return fail(error, GR_BAD_ARGUMENT, "no-such-finding",
                        groundrule::c_api::no_such_finding(*open.book, clause));
        *out = handed_over(std::move(made));
        return GR_OK;
    });
}

void gr_explanation_free(gr_explanation *handle) noexcept {
    let_go(handle);
}

size_t gr_explanation_count(const gr_explanation *handle) noexcept {
    return !live(handle) ? 0 : handle->explanations.size();
}

gr_status gr_explanation_render(gr_explanation *handle, int format, gr_text *out,
                                gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || out == nullptr)
            return bad_pointer(error);
        switch (format) {
        case GR_JSON:
            handle->rendered = answers::explained_json(*handle->book->book, handle->explanations);
            break;
        case GR_PLAIN:
            handle->rendered = answers::explained_text(handle->explanations);
            break;
        case GR_HTML:
            handle->rendered = answers::explained_html(*handle->book->book, handle->explanations);
            break;
        default:
            return fail(error, GR_BAD_ARGUMENT, "unknown-format", "there is no such format");
        }
        *out = text_of(handle->rendered);
        return GR_OK;
    });
}
