// gr_audit: a book over tables.
#include "c_api/fault_lines.h"
#include "c_api/guard.h"
#include "c_api/handles.h"
#include "c_api/missing_facts.h"
#include "c_api/stages.h"

#include "columns/export.h"
#include "columns/row_stream.h"
#include "facts/json_reader.h"

using groundrule::Diagnostics;
using groundrule::c_api::asking;
using groundrule::c_api::bad_pointer;
using groundrule::c_api::bad_size;
using groundrule::c_api::cancelled;
using groundrule::c_api::check_items;
using groundrule::c_api::check_size;
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
namespace columns = groundrule::columns;
namespace facts = groundrule::facts;

namespace {

std::string copy(const gr_text &text) {
    return std::string(view(text.data, text.size));
}

columns::AuditOptions options_of(const gr_audit_options &given) {
    columns::AuditOptions out;
    if (given.item.size != 0)
        out.layout.item = copy(given.item);
    for (std::size_t i = 0; i < given.column_count; ++i) {
        const gr_column &c = given.columns[i];
        out.layout.columns.push_back({copy(c.column), copy(c.fact), copy(c.unit)});
    }
    for (std::size_t i = 0; i < given.complete_count; ++i)
        out.layout.complete.push_back(copy(given.complete[i]));
    out.layout.ignore_unknown = given.ignore_unknown_columns != 0;
    out.plan.stage = given.stage == nullptr ? "" : given.stage;
    out.plan.read_all = given.read_all_columns != 0;
    out.plan.lacks = given.count_missing != 0;
    out.threads = given.threads;
    return out;
}

bool pointers_are_there(const gr_audit_options &given) {
    if ((given.columns == nullptr && given.column_count != 0) ||
        (given.complete == nullptr && given.complete_count != 0))
        return false;
    const auto all_told = [](const gr_text &t) { return told(t); };
    return told(given.item) && told(given.assumptions) &&
           std::all_of(
               given.columns, given.columns + given.column_count,
               [](const gr_column &c) { return told(c.column) && told(c.fact) && told(c.unit); }) &&
           std::all_of(given.complete, given.complete + given.complete_count, all_told);
}

} // namespace

gr_status gr_audit_open(const gr_book *book, const ArrowSchema *schema,
                        const gr_audit_options *options, gr_audit **out, gr_error *error) noexcept {
    return guard(error, [&] {
        gr_audit_options given = GR_AUDIT_OPTIONS_INIT;
        if (!take(options, given, offsetof(gr_audit_options, progress)))
            return bad_size(error);
        if (!live(book) || schema == nullptr || schema->release == nullptr ||
            schema->format == nullptr || out == nullptr || !pointers_are_there(given))
            return bad_pointer(error);
        columns::AuditOptions wanted = options_of(given);
        if (!groundrule::c_api::is_stage(wanted.plan.stage))
            return fail(error, GR_BAD_ARGUMENT, "unknown-stage",
                        groundrule::c_api::no_such_stage(wanted.plan.stage));
        if (wanted.threads > 256)
            return fail(error, GR_BAD_ARGUMENT, "too-large", "at most 256 threads");
        const groundrule::c_api::OpenBook &open = *book->open;
        const gr_status fits = check_size(open, given.assumptions.size, error);
        if (fits != GR_OK)
            return fits;
        Diagnostics diagnostics;
        if (given.assumptions.size != 0)
            wanted.plan.assumptions = facts::assumptions_from_json(
                *open.book, view(given.assumptions.data, given.assumptions.size), "assumptions",
                diagnostics);
        auto audit = diagnostics.has_errors() ? std::nullopt
                                              : columns::Audit::open(*open.book, open.program,
                                                                     *schema, wanted, diagnostics);
        if (!audit)
            return fail_with(error, GR_BAD_FACTS, diagnostics, {});
        *out = handed_over(
            gr_audit{{},
                     std::make_shared<groundrule::c_api::OpenAudit>(
                         groundrule::c_api::OpenAudit{book->open,
                                                      std::move(*audit),
                                                      wanted.plan.assumptions,
                                                      columns::shape_of(*schema),
                                                      {},
                                                      {},
                                                      asking(given.progress, given.user)})});
        return GR_OK;
    });
}

void gr_audit_free(gr_audit *handle) noexcept {
    let_go(handle);
}

gr_status gr_audit_schema(const gr_audit *handle, ArrowSchema *out, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || out == nullptr)
            return bad_pointer(error);
        columns::export_schema(*handle->open->book->book, handle->open->audit, *out);
        return GR_OK;
    });
}

gr_status gr_audit_batch(gr_audit *handle, const ArrowArray *rows, ArrowArray *out, size_t *faulty,
                         gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || rows == nullptr || rows->release == nullptr || out == nullptr)
            return bad_pointer(error);
        std::string fault;
        auto outcome = handle->open->audit.batch(*rows, fault, handle->open->go_on);
        if (!outcome && fault.empty())
            return cancelled(error);
        if (!outcome)
            return fail(error, GR_BAD_FACTS, "wrong-type", fault);
        handle->open->faults = groundrule::c_api::fault_lines(*outcome, 0);
        handle->open->missing = groundrule::c_api::missing_facts(*handle->open, *outcome);
        const std::size_t count = outcome->faulty;
        columns::export_array(std::move(*outcome), *out);
        if (faulty != nullptr)
            *faulty = count;
        return GR_OK;
    });
}

gr_text gr_audit_faults(const gr_audit *handle) noexcept {
    return !live(handle) ? gr_text{"", 0} : text_of(handle->open->faults);
}

size_t gr_audit_missing_count(const gr_audit *handle) noexcept {
    return !live(handle) ? 0 : handle->open->missing.size();
}

gr_status gr_audit_missing(const gr_audit *handle, size_t index, gr_missing_fact *out,
                           gr_error *error) noexcept {
    return give_element(
        handle, index,
        {gr_audit_missing_count(handle), "no-such-fact", "the batch lacks fewer facts"}, out, error,
        [&] {
            const groundrule::c_api::MissingFact &m = handle->open->missing[index];
            return gr_missing_fact{sizeof(gr_missing_fact),
                                   text_of(*m.topic),
                                   text_of(m.missing.fact),
                                   text_of(m.missing.kind),
                                   text_of(m.missing.question),
                                   m.count.verdicts,
                                   m.count.alone};
        });
}

gr_status gr_audit_job(const gr_audit *handle, const ArrowArray *rows, size_t row, gr_job **out,
                       gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || rows == nullptr || rows->release == nullptr || out == nullptr)
            return bad_pointer(error);
        std::string fault;
        const groundrule::c_api::OpenAudit &open = *handle->open;
        auto job = open.audit.job(*rows, row, fault);
        if (!job)
            return fail(error, GR_BAD_FACTS, "bad-row", fault);
        const gr_status fits = check_items(*open.book, job->row_count(), GR_BAD_FACTS, error);
        if (fits != GR_OK)
            return fits;
        *out = handed_over(gr_job{{}, open.book, std::move(*job), open.assumptions, {}});
        return GR_OK;
    });
}
