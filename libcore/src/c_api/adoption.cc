// gr_adoption and gr_answer: which book applies at a place.
#include "c_api/guard.h"
#include "c_api/handles.h"

#include "facts/json_reader.h"
#include "program/compile.h"
#include "quantity/date.h"

#include <optional>

using groundrule::Diagnostics;
using groundrule::c_api::bad_pointer;
using groundrule::c_api::bad_size;
using groundrule::c_api::fail;
using groundrule::c_api::fail_with;
using groundrule::c_api::give_element;
using groundrule::c_api::guard;
using groundrule::c_api::handed_over;
using groundrule::c_api::let_go;
using groundrule::c_api::live;
using groundrule::c_api::take;
using groundrule::c_api::text_of;
using groundrule::c_api::told;
using groundrule::c_api::view;
namespace book = groundrule::book;
namespace facts = groundrule::facts;
namespace program = groundrule::program;
namespace report = groundrule::report;

gr_status gr_adoption_open(const char *place, size_t place_size, const gr_source *sources,
                           size_t count, gr_adoption **out, gr_error *error) noexcept {
    return guard(error, [&] {
        if (place == nullptr || out == nullptr || !told(sources, count))
            return bad_pointer(error);
        auto open = std::make_shared<groundrule::c_api::OpenAdoption>();
        open->adoption = book::open_adoption(std::string(view(place, place_size)),
                                             groundrule::c_api::named_texts(sources, count));
        if (!open->adoption.book)
            return fail_with(error, GR_BAD_RULES, open->adoption.diagnostics,
                             open->adoption.sources);
        Diagnostics diagnostics;
        open->program = program::compile(*open->adoption.book, diagnostics);
        if (diagnostics.has_errors())
            return fail_with(error, GR_BAD_RULES, diagnostics, open->adoption.book->sources);
        open->json = report::timeline_json(open->adoption);
        open->text = report::timeline_text(open->adoption);
        *out = handed_over(gr_adoption{{}, std::move(open)});
        return GR_OK;
    });
}

void gr_adoption_free(gr_adoption *adoption) noexcept {
    let_go(adoption);
}

gr_text gr_adoption_timeline(const gr_adoption *adoption, int format) noexcept {
    if (!live(adoption) || (format != GR_JSON && format != GR_PLAIN))
        return {"", 0};
    return text_of(format == GR_JSON ? adoption->open->json : adoption->open->text);
}

gr_status gr_adoption_find(const gr_adoption *adoption, const char *json, size_t size,
                           const char *name, size_t name_size, const gr_find_options *options,
                           gr_answer **out, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(adoption) || json == nullptr || out == nullptr)
            return bad_pointer(error);
        gr_find_options with = GR_FIND_OPTIONS_INIT;
        if (!take(options, with))
            return bad_size(error);
        const groundrule::c_api::OpenAdoption &open = *adoption->open;
        const std::string shown = name == nullptr ? "job" : std::string(view(name, name_size));
        Diagnostics diagnostics;
        auto job = facts::job_from_json(*open.adoption.book, view(json, size), shown, diagnostics);
        if (!job)
            return fail_with(error, GR_BAD_FACTS, diagnostics, {});
        job->inherit_work();
        if (with.on != nullptr) {
            const auto on = groundrule::date_from_text(with.on);
            if (!on)
                return fail(error, GR_BAD_ARGUMENT, "bad-date",
                            std::string("\"") + with.on +
                                "\" is no day of the calendar, such as 2021-07-01");
            report::put_date(open.adoption, *on, *job, diagnostics);
            if (diagnostics.has_errors())
                return fail_with(error, GR_BAD_FACTS, diagnostics, {});
        }
        const std::string choose = with.choose == nullptr ? "" : with.choose;
        report::Answer answer =
            report::answer(open.adoption, open.program, *job, choose, diagnostics);
        if (diagnostics.has_errors())
            return fail_with(error,
                             diagnostics.list()[0].code == "not-to-choose" ? GR_BAD_ARGUMENT
                                                                           : GR_BAD_FACTS,
                             diagnostics, {});
        *out = handed_over(gr_answer{{}, adoption->open, std::move(answer), {}});
        return GR_OK;
    });
}

void gr_answer_free(gr_answer *answer) noexcept {
    let_go(answer);
}

gr_outcome gr_answer_outcome(const gr_answer *answer) noexcept {
    return !live(answer) ? GR_NO_PERIOD : static_cast<gr_outcome>(answer->answer.outcome);
}

size_t gr_answer_count(const gr_answer *answer) noexcept {
    return !live(answer) ? 0 : answer->answer.periods.size();
}

gr_status gr_answer_period(const gr_answer *answer, size_t index, gr_period *out,
                           gr_error *error) noexcept {
    return give_element(
        answer, index, {gr_answer_count(answer), "no-such-period", "the answer has fewer periods"},
        out, error, [&] {
            const report::Candidate &c = answer->answer.periods[index];
            const book::Book &b = *answer->adoption->adoption.book;
            gr_period period = GR_PERIOD_INIT;
            period.in_force = c.in_force ? 1 : 0;
            period.name = text_of(c.period->name);
            period.title = text_of(b.rules[c.period->rule].title);
            period.book = text_of(c.period->book);
            period.handed_over = text_of(c.period->handed_over);
            period.by =
                text_of(b.items.front().fields[static_cast<std::size_t>(c.period->by)].name);
            period.on = text_of(c.on);
            return period;
        });
}

gr_status gr_answer_render(gr_answer *answer, int format, gr_text *out, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(answer) || out == nullptr)
            return bad_pointer(error);
        if (format != GR_JSON && format != GR_PLAIN)
            return fail(error, GR_BAD_ARGUMENT, "unknown-format", "there is no such format");
        answer->rendered =
            format == GR_JSON ? report::to_json(answer->answer) : report::to_text(answer->answer);
        *out = text_of(answer->rendered);
        return GR_OK;
    });
}
