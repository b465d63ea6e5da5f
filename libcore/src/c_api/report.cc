// gr_check and gr_report.
#include "c_api/guard.h"
#include "c_api/handles.h"
#include "c_api/stages.h"

#include "evaluate/scalar.h"
#include "report/render.h"

using groundrule::c_api::bad_pointer;
using groundrule::c_api::bad_size;
using groundrule::c_api::fail;
using groundrule::c_api::fail_with;
using groundrule::c_api::give_element;
using groundrule::c_api::guard;
using groundrule::c_api::let_go;
using groundrule::c_api::live;
using groundrule::c_api::take;
using groundrule::c_api::text_of;
namespace book = groundrule::book;
namespace evaluate = groundrule::evaluate;
namespace facts = groundrule::facts;
namespace report = groundrule::report;

gr_status gr_check(const gr_job *job, const gr_check_options *options, gr_report **out,
                   gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(job) || out == nullptr)
            return bad_pointer(error);
        gr_check_options with = GR_CHECK_OPTIONS_INIT;
        const gr_status right = groundrule::c_api::read_check(*job, options, with, error);
        if (right != GR_OK)
            return right;
        const std::string stage = with.stage == nullptr ? "" : with.stage;
        const groundrule::c_api::OpenBook &open = *job->book;
        facts::Job complete = job->facts;
        complete.inherit_work();
        facts::apply_assumptions(complete, job->assumptions);
        evaluate::run(open.program, complete, job->workspace);
        if (!job->workspace.contradictions.empty())
            return fail_with(
                error, GR_BAD_FACTS,
                report::contradictions(*open.book, open.program, complete, job->workspace), {});
        auto handle = std::make_unique<gr_report>();
        handle->book = job->book;
        handle->report =
            report::findings(*open.book, open.program, complete, job->workspace, stage);
        *out = handle.release();
        return GR_OK;
    });
}

void gr_report_free(gr_report *handle) noexcept {
    let_go(handle);
}

size_t gr_report_count(const gr_report *handle) noexcept {
    return !live(handle) ? 0 : handle->report.findings.size();
}

gr_status gr_report_finding(const gr_report *handle, size_t index, gr_finding *out,
                            gr_error *error) noexcept {
    return give_element(
        handle, index,
        {gr_report_count(handle), "no-such-finding", "the report has fewer findings"}, out, error,
        [&] {
            const report::Finding &f = handle->report.findings[index];
            const book::Rule &rule = handle->report.book->rules[f.rule];
            gr_finding finding = {};
            finding.size = sizeof(gr_finding);
            finding.verdict = static_cast<gr_verdict>(f.verdict);
            finding.counts = rule.force == groundrule::ast::Force::shall ? 1 : 0;
            finding.known_to_apply = f.known_to_apply ? 1 : 0;
            finding.citation = text_of(f.citation);
            finding.topic = text_of(rule.topic);
            finding.title = text_of(rule.title);
            finding.item = text_of(f.item);
            finding.layer = text_of(f.layer);
            finding.decided_by = text_of(f.decided_by);
            finding.says = text_of(f.says);
            return finding;
        });
}

size_t gr_report_missing_count(const gr_report *handle, size_t finding) noexcept {
    return !live(handle) || finding >= handle->report.findings.size()
               ? 0
               : handle->report.findings[finding].missing.size();
}

gr_status gr_report_missing(const gr_report *handle, size_t finding, size_t index, gr_missing *out,
                            gr_error *error) noexcept {
    return give_element(
        handle, index,
        {gr_report_missing_count(handle, finding), "no-such-fact", "the finding lacks fewer facts"},
        out, error, [&] {
            const report::Missing &m = handle->report.findings[finding].missing[index];
            return gr_missing{sizeof(gr_missing), text_of(m.fact), text_of(m.item), text_of(m.kind),
                              text_of(m.question)};
        });
}

int gr_report_exit_status(const gr_report *handle, int strict) noexcept {
    return !live(handle) ? 2 : report::exit_status(handle->report, strict != 0);
}

gr_status gr_report_render(gr_report *handle, int format, const gr_render_options *options,
                           gr_text *out, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || out == nullptr)
            return bad_pointer(error);
        gr_render_options with = GR_RENDER_OPTIONS_INIT;
        if (!take(options, with))
            return bad_size(error);
        report::TextOptions text;
        text.all = with.all != 0;
        text.colour = with.colour != 0;
        switch (format) {
        case GR_JSON:
            handle->rendered = report::to_json(handle->report);
            break;
        case GR_SARIF:
            handle->rendered = report::to_sarif(handle->report);
            break;
        case GR_PLAIN:
            handle->rendered = report::to_text(handle->report, text);
            break;
        default:
            return fail(error, GR_BAD_ARGUMENT, "unknown-format", "there is no such format");
        }
        *out = text_of(handle->rendered);
        return GR_OK;
    });
}
