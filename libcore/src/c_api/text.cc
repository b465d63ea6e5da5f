// Rule text without a book: layout and faults.
#include "c_api/guard.h"
#include "c_api/handles.h"

#include "book/adoption.h"
#include "evaluate/review.h"
#include "report/diagnostics_json.h"
#include "syntax/format.h"

using groundrule::Diagnostics;
using groundrule::Sources;
using groundrule::SourceText;
using groundrule::c_api::bad_pointer;
using groundrule::c_api::fail_with;
using groundrule::c_api::guard;
using groundrule::c_api::handed_over;
using groundrule::c_api::let_go;
using groundrule::c_api::live;
using groundrule::c_api::text_of;
using groundrule::c_api::told;
using groundrule::c_api::view;
namespace book = groundrule::book;
namespace evaluate = groundrule::evaluate;
namespace report = groundrule::report;

namespace {

// Warnings about the caller's files only: what an edition does not use of the shared text is no
// concern of theirs.
Diagnostics about(const Diagnostics &all, std::size_t first_own) {
    Diagnostics out;
    for (const groundrule::Diagnostic &d : all.list()) {
        if (d.severity == groundrule::Severity::error ||
            (d.span.file >= first_own && d.span.file != groundrule::Span::no_file))
            out.add(d);
    }
    return out;
}

} // namespace

gr_status gr_lay_out(const char *text, size_t size, const char *name, size_t name_size,
                     gr_document **out, gr_error *error) noexcept {
    return guard(error, [&] {
        if (text == nullptr || out == nullptr)
            return bad_pointer(error);
        const SourceText source(std::string(view(name, name_size)), std::string(view(text, size)));
        Diagnostics diagnostics;
        auto formatted = groundrule::syntax::format(source, diagnostics);
        if (!formatted)
            return fail_with(error, GR_BAD_RULES, diagnostics, Sources{source});
        *out = handed_over(gr_document{{}, std::move(*formatted)});
        return GR_OK;
    });
}

gr_status gr_lint(const char *name, size_t name_size, const gr_source *sources, size_t count,
                  int format, size_t *faults, gr_document **out, gr_error *error) noexcept {
    return guard(error, [&] {
        if (name == nullptr || faults == nullptr || out == nullptr || !told(sources, count))
            return bad_pointer(error);
        const std::string wanted(view(name, name_size));
        const auto given = groundrule::c_api::named_texts(sources, count);
        const book::Opened opened = book::open_book(wanted, given);
        const Sources &texts = opened.book ? opened.book->sources : opened.sources;
        Diagnostics told = opened.diagnostics;
        if (opened.book && opened.book->adoption) {
            told = book::open_adoption(wanted, given).diagnostics;
        } else if (opened.book) {
            evaluate::review(*opened.book, told);
        }
        told = about(told, texts.size() - count);
        told.sort();
        gr_document *document = handed_over(gr_document{
            {}, format == GR_LINT_LSP ? report::to_lsp_json(told, texts) : render(told, texts)});
        *faults = told.errors();
        *out = document;
        return GR_OK;
    });
}

gr_text gr_document_text(const gr_document *document) noexcept {
    return !live(document) ? gr_text{"", 0} : text_of(document->text);
}

void gr_document_free(gr_document *document) noexcept {
    let_go(document);
}
