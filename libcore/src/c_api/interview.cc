// gr_interview.
#include "c_api/answers.h"

using groundrule::Diagnostics;
using groundrule::c_api::bad_pointer;
using groundrule::c_api::bad_size;
using groundrule::c_api::fail;
using groundrule::c_api::fail_with;
using groundrule::c_api::give;
using groundrule::c_api::guard;
using groundrule::c_api::handed_over;
using groundrule::c_api::has_room;
using groundrule::c_api::let_go;
using groundrule::c_api::live;
using groundrule::c_api::take;
using groundrule::c_api::text_of;
using groundrule::c_api::view;
namespace answers = groundrule::answers;

gr_status gr_interview_new(const gr_book *book, const char *json, size_t size, const char *name,
                           size_t name_size, const gr_interview_options *options,
                           gr_interview **out, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(book) || json == nullptr || out == nullptr)
            return bad_pointer(error);
        gr_interview_options with = GR_INTERVIEW_OPTIONS_INIT;
        if (!take(options, with))
            return bad_size(error);
        answers::InterviewOptions how;
        how.stage = groundrule::c_api::or_empty(with.stage);
        how.outline = with.outline != 0;
        if (!groundrule::c_api::is_stage(how.stage))
            return fail(error, GR_BAD_ARGUMENT, "unknown-stage",
                        groundrule::c_api::no_such_stage(how.stage));
        const groundrule::c_api::OpenBook &open = *book->open;
        const gr_status fits = groundrule::c_api::check_size(open, size, error);
        if (fits != GR_OK)
            return fits;
        how.most_items = open.most_items;
        Diagnostics diagnostics;
        auto interview = answers::Interview::begin(
            *open.book, open.program, *open.dense, view(json, size),
            name == nullptr ? "job" : std::string(view(name, name_size)), how, diagnostics);
        if (!interview)
            return fail_with(error, GR_BAD_FACTS, diagnostics, {});
        *out = handed_over(gr_interview{{}, book->open, std::move(*interview), {}, {}, {}});
        return GR_OK;
    });
}

void gr_interview_free(gr_interview *handle) noexcept {
    let_go(handle);
}

gr_status gr_interview_question(gr_interview *handle, int *asked, gr_question *out,
                                gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || asked == nullptr || out == nullptr)
            return bad_pointer(error);
        if (!has_room(*out))
            return bad_size(error);
        const answers::Question *q = handle->interview.question();
        *asked = q == nullptr ? 0 : 1;
        if (q == nullptr)
            return GR_OK;
        handle->choices.clear();
        if (q->missing.choices != nullptr) {
            for (const std::string &c : *q->missing.choices)
                handle->choices += (handle->choices.empty() ? "" : "\n") + c;
        }
        give(*out, gr_question{
                       sizeof(gr_question), text_of(q->missing.fact), text_of(q->missing.item),
                       text_of(q->missing.kind), text_of(q->missing.question), text_of(q->unit),
                       text_of(handle->choices), q->waiting.size(), q->decides, q->proven ? 1 : 0});
        return GR_OK;
    });
}

gr_status gr_interview_answer(gr_interview *handle, const char *text, size_t size,
                              gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || text == nullptr)
            return bad_pointer(error);
        Diagnostics diagnostics;
        if (!handle->interview.answer(view(text, size), diagnostics))
            return fail_with(error, GR_BAD_FACTS, diagnostics, {});
        return GR_OK;
    });
}

gr_status gr_interview_skip(gr_interview *handle, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle))
            return bad_pointer(error);
        handle->interview.skip();
        return GR_OK;
    });
}

gr_status gr_interview_render(gr_interview *handle, int format, gr_text *out,
                              gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || out == nullptr)
            return bad_pointer(error);
        if (format != GR_JSON && format != GR_PLAIN)
            return fail(error, GR_BAD_ARGUMENT, "unknown-format", "there is no such format");
        const answers::Subject subject = handle->interview.subject();
        handle->rendered = format == GR_JSON
                               ? answers::next_json(subject, handle->interview.next())
                               : answers::next_text(subject, handle->interview.next());
        *out = text_of(handle->rendered);
        return GR_OK;
    });
}

gr_status gr_interview_job(gr_interview *handle, gr_text *out, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || out == nullptr)
            return bad_pointer(error);
        handle->job = handle->interview.job_json();
        *out = text_of(handle->job);
        return GR_OK;
    });
}
