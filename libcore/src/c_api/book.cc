// gr_book: opening, describing, testing.
#include "c_api/guard.h"
#include "c_api/handles.h"

#include "book/digest.h"
#include "book/show.h"
#include "evaluate/rule_tests.h"
#include "program/compile.h"
#include "quantity/date.h"
#include "report/render.h"
#include "text/nearest.h"

using groundrule::Diagnostics;
using groundrule::LateText;
using groundrule::Place;
using groundrule::c_api::bad_pointer;
using groundrule::c_api::bad_size;
using groundrule::c_api::fail;
using groundrule::c_api::fail_with;
using groundrule::c_api::guard;
using groundrule::c_api::handed_over;
using groundrule::c_api::let_go;
using groundrule::c_api::live;
using groundrule::c_api::take;
using groundrule::c_api::text_of;
using groundrule::c_api::told;
using groundrule::c_api::view;
namespace book = groundrule::book;
namespace evaluate = groundrule::evaluate;
namespace program = groundrule::program;
namespace report = groundrule::report;

namespace {

std::string lines(const std::vector<std::string> &names) {
    std::string out;
    for (const std::string &n : names)
        out += n + "\n";
    return out;
}

const std::string &shipped_editions() {
    static const std::string text = lines(book::shipped_editions());
    return text;
}

const std::string &shipped_amendments() {
    static const std::string text = lines(book::shipped_amendments());
    return text;
}

std::string outcome_text(const book::Book &b, const evaluate::TestOutcome &outcome) {
    std::string out;
    for (const evaluate::TestFailure &f : outcome.failures) {
        const groundrule::SourceText &source = b.sources[f.span.file];
        const Place place = source.place(f.span.begin);
        out += source.name() + ":" + std::to_string(place.line) + ":" +
               std::to_string(place.column) + ": " + f.message + "\n";
    }
    // Tests of a layer speak of what the layer changed; how much of the whole book they reach says
    // nothing.
    if (b.layers.size() > 1)
        return out + std::to_string(outcome.cases) + " cases, " +
               std::to_string(outcome.failures.size()) + " failed\n";
    for (const std::string &line : outcome.reached.unreached())
        out += line + "\n";
    const auto share = [](const evaluate::Coverage::Counts &c) {
        return std::to_string(c.reached) + " of " + std::to_string(c.all);
    };
    return out + "reached: " + share(outcome.reached.rules()) + " rules, " +
           share(outcome.reached.parts()) + " parts, " + share(outcome.reached.cells()) +
           " cells\n" + std::to_string(outcome.cases) + " cases, " +
           std::to_string(outcome.failures.size()) + " failed\n";
}

// A text that is made at its first use; empty, and tried again the next time, if memory runs out.
template <typename Make>
gr_text late(LateText &text, Make make) noexcept {
    try {
        return text_of(text.get(make));
    } catch (...) {
        return {"", 0};
    }
}

book::Lineage lineage_of(const groundrule::c_api::OpenBook &open) {
    return book::lineage(open.book->layers.front().name, open.given);
}

const std::string &shipped_adoptions() {
    static const std::string text = lines(book::shipped_adoptions());
    return text;
}

} // namespace

const char *gr_version(void) noexcept {
    return GROUNDRULE_VERSION;
}

const char *gr_shipped_editions(void) noexcept {
    try {
        return shipped_editions().c_str();
    } catch (...) {
        return "";
    }
}

const char *gr_shipped_amendments(void) noexcept {
    try {
        return shipped_amendments().c_str();
    } catch (...) {
        return "";
    }
}

const char *gr_shipped_adoptions(void) noexcept {
    try {
        return shipped_adoptions().c_str();
    } catch (...) {
        return "";
    }
}

gr_status gr_book_open(const char *name, size_t name_size, const gr_source *sources, size_t count,
                       const gr_book_options *options, gr_book **out, gr_error *error) noexcept {
    return guard(error, [&] {
        if (name == nullptr || out == nullptr || !told(sources, count))
            return bad_pointer(error);
        gr_book_options with = GR_BOOK_OPTIONS_INIT;
        if (!take(options, with, offsetof(gr_book_options, most_source_bytes)))
            return bad_size(error);
        std::size_t bytes = 0;
        for (std::size_t i = 0; i < count; ++i)
            bytes += sources[i].text.size;
        if (with.most_source_bytes != 0 && bytes > with.most_source_bytes)
            return groundrule::c_api::too_large(error, GR_BAD_RULES, "rule files have bytes,",
                                                with.most_source_bytes);
        std::optional<int> on;
        if (with.on != nullptr) {
            on = groundrule::date_from_text(with.on);
            if (!on)
                return fail(error, GR_BAD_ARGUMENT, "bad-date",
                            "\"" + std::string(with.on) +
                                "\" is no day of the calendar such as 2021-07-01");
        }
        std::vector<book::NamedText> given = groundrule::c_api::named_texts(sources, count);
        std::string asked(view(name, name_size));
        book::Opened opened = book::open_book(asked, given, on, book::Tests::leave_out);
        if (!opened.book)
            return fail_with(error, GR_BAD_RULES, opened.diagnostics, opened.sources);
        if (opened.book->adoption)
            return fail(error, GR_BAD_RULES, "unknown-book",
                        "\"" + opened.book->name +
                            "\" is a place; its adoption tells which book applies there");
        auto open = std::make_shared<groundrule::c_api::OpenBook>();
        Diagnostics diagnostics;
        open->program = program::compile(*opened.book, diagnostics);
        if (diagnostics.has_errors())
            return fail_with(error, GR_BAD_RULES, diagnostics, opened.book->sources);
        const std::string fault = program::fault_in(open->program);
        if (!fault.empty())
            return fail(error, GR_INTERNAL, "internal", fault);
        open->dense.emplace(open->program);
        open->admissions.emplace(*opened.book);
        open->book = std::move(opened.book);
        open->asked = std::move(asked);
        open->given = std::move(given);
        open->on = on;
        open->most_job_bytes = with.most_job_bytes;
        open->most_items = with.most_items;
        if (groundrule::c_api::somebody_listens())
            groundrule::c_api::tell(
                GR_LOG_DONE, "opened",
                (open->book->name + " " + book::digest_of(*open->book)).c_str());
        *out = handed_over(gr_book{{}, std::move(open), {}});
        return GR_OK;
    });
}

void gr_book_free(gr_book *handle) noexcept {
    let_go(handle);
}

gr_text gr_book_name(const gr_book *handle) noexcept {
    return !live(handle) ? gr_text{"", 0} : text_of(handle->open->book->name);
}
gr_text gr_book_digest(const gr_book *handle) noexcept {
    if (!live(handle))
        return {"", 0};
    try {
        return text_of(book::digest_of(*handle->open->book));
    } catch (...) {
        return {"", 0};
    }
}
gr_text gr_book_describe(const gr_book *handle) noexcept {
    return !live(handle) ? gr_text{"", 0} : late(handle->open->description, [&] {
        return report::describe(*handle->open->book, lineage_of(*handle->open));
    });
}
gr_text gr_book_schema(const gr_book *handle) noexcept {
    return !live(handle) ? gr_text{"", 0} : late(handle->open->schema, [&] {
        return report::job_schema(*handle->open->book);
    });
}

gr_status gr_book_show(const gr_book *handle, int what, gr_document **out,
                       gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || out == nullptr)
            return bad_pointer(error);
        if (what != GR_SHOW_BOOK && what != GR_SHOW_CHANGES)
            return fail(error, GR_BAD_ARGUMENT, "unknown-format",
                        "a book is not shown in this way");
        const book::Book &b = *handle->open->book;
        *out = handed_over(gr_document{
            {}, what == GR_SHOW_BOOK ? book::printed_book(b) : book::printed_changes(b)});
        return GR_OK;
    });
}

gr_status gr_book_describe_rule(const gr_book *handle, const char *name, size_t size,
                                gr_document **out, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || name == nullptr || out == nullptr)
            return bad_pointer(error);
        const groundrule::c_api::OpenBook &open = *handle->open;
        const std::string wanted(view(name, size));
        std::string text = book::printed_rules(*open.book, wanted, lineage_of(open));
        if (!text.empty()) {
            *out = handed_over(gr_document{{}, std::move(text)});
            return GR_OK;
        }
        std::vector<std::string> known;
        for (const book::Rule &r : open.book->rules) {
            known.push_back(r.citation);
            known.push_back(r.topic);
        }
        const std::string near = groundrule::nearest(wanted, known);
        return fail(error, GR_BAD_ARGUMENT, "unknown-rule",
                    "the book has no rule \"" + wanted + "\"" +
                        (near.empty() ? "" : "; did you mean \"" + near + "\"?"));
    });
}

gr_status gr_book_test(gr_book *handle, gr_text *text, size_t *failed, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || text == nullptr || failed == nullptr)
            return bad_pointer(error);
        const groundrule::c_api::OpenBook &open = *handle->open;
        const book::Opened tested = book::open_book(open.asked, open.given, open.on);
        if (!tested.book)
            return fail_with(error, GR_BAD_RULES, tested.diagnostics, tested.sources);
        Diagnostics diagnostics;
        const program::Program program = program::compile(*tested.book, diagnostics);
        const evaluate::TestOutcome outcome = evaluate::run_rule_tests(*tested.book, program);
        handle->test_report = outcome_text(*tested.book, outcome);
        *text = text_of(handle->test_report);
        *failed = outcome.failures.size();
        return GR_OK;
    });
}

gr_status gr_book_slot(const gr_book *handle, const char *name, size_t size, gr_slot *out,
                       gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || name == nullptr || out == nullptr)
            return bad_pointer(error);
        const book::Book &b = *handle->open->book;
        const std::string wanted(view(name, size));
        std::vector<std::string> known;
        for (std::uint32_t i = 0; i < b.items.size(); ++i) {
            for (std::uint32_t f = 0; f < b.items[i].fields.size(); ++f) {
                known.push_back(b.items[i].name + "." + b.items[i].fields[f].name);
                if (known.back() == wanted) {
                    *out = {i, f};
                    return GR_OK;
                }
            }
        }
        const std::string near = groundrule::nearest(wanted, known);
        return fail(error, GR_BAD_ARGUMENT, "unknown-field",
                    "there is no fact \"" + wanted + "\"" +
                        (near.empty() ? "" : "; did you mean \"" + near + "\"?"));
    });
}
