// gr_mutation: the mutants of a book that its tests do not notice.
#include "c_api/guard.h"
#include "c_api/handles.h"

#include "mutate/mutation.h"
#include "report/mutation.h"

using groundrule::Place;
using groundrule::SourceText;
using groundrule::c_api::asking;
using groundrule::c_api::bad_pointer;
using groundrule::c_api::bad_size;
using groundrule::c_api::cancelled;
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
namespace mutate = groundrule::mutate;
namespace report = groundrule::report;

struct gr_mutation : groundrule::c_api::Mark<gr_mutation> {
    std::unique_ptr<const groundrule::book::Book> book; // with the tests of its shipped files
    mutate::Mutation mutation;
    std::string rendered;
};

gr_status gr_mutate(const gr_book *book, const gr_mutation_options *options, gr_mutation **out,
                    gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(book) || out == nullptr)
            return bad_pointer(error);
        gr_mutation_options wanted = GR_MUTATION_OPTIONS_INIT;
        if (!take(options, wanted, offsetof(gr_mutation_options, progress)))
            return bad_size(error);
        if (!told(wanted.file))
            return bad_pointer(error);
        if (wanted.threads > 256)
            return fail(error, GR_BAD_ARGUMENT, "too-large", "at most 256 threads");
        const groundrule::c_api::OpenBook &open = *book->open;
        groundrule::book::Opened tested =
            groundrule::book::open_book(open.asked, open.given, open.on);
        if (!tested.book)
            return fail_with(error, GR_BAD_RULES, tested.diagnostics, tested.sources);
        gr_mutation made{{}, std::move(tested.book), {}, {}};
        const std::string file(view(wanted.file.data, wanted.file.size));
        switch (mutate::mutate(*made.book,
                               {file, wanted.threads, asking(wanted.progress, wanted.user)},
                               made.mutation)) {
        case mutate::Refusal::no_such_file:
            return fail(error, GR_BAD_ARGUMENT, "unknown-file",
                        "book " + made.book->name + " has no file \"" + file + "\"");
        case mutate::Refusal::failing_tests:
            return fail(error, GR_BAD_RULES, "failing-tests",
                        "tests of book " + made.book->name +
                            " fail without any change; until they pass they tell nothing apart");
        case mutate::Refusal::ended:
            return cancelled(error);
        case mutate::Refusal::none:
            break;
        }
        *out = handed_over(std::move(made));
        return GR_OK;
    });
}

void gr_mutation_free(gr_mutation *mutation) noexcept {
    let_go(mutation);
}

size_t gr_mutation_mutants(const gr_mutation *mutation) noexcept {
    return !live(mutation) ? 0 : mutation->mutation.mutants;
}

size_t gr_mutation_killed(const gr_mutation *mutation) noexcept {
    return !live(mutation) ? 0 : mutation->mutation.killed();
}

gr_status gr_mutation_survivor(const gr_mutation *mutation, size_t index, gr_survivor *out,
                               gr_error *error) noexcept {
    return give_element(mutation, index,
                        {gr_mutation_mutants(mutation) - gr_mutation_killed(mutation),
                         "no-such-row", "there are fewer survivors"},
                        out, error, [&] {
                            const mutate::Mutant &m = mutation->mutation.survivors[index];
                            const SourceText &source = mutation->book->sources[m.span.file];
                            const Place place = source.place(m.span.begin);
                            const std::string_view kind = m.kind;
                            return gr_survivor{sizeof(gr_survivor), text_of(source.name()),
                                               place.line,          place.column,
                                               text_of(m.subject),  {kind.data(), kind.size()},
                                               text_of(m.from),     text_of(m.to)};
                        });
}

gr_status gr_mutation_render(gr_mutation *mutation, int format, gr_text *out,
                             gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(mutation) || out == nullptr)
            return bad_pointer(error);
        if (format != GR_JSON && format != GR_PLAIN)
            return fail(error, GR_BAD_ARGUMENT, "unknown-format", "there is no such format");
        const groundrule::book::Book &book = *mutation->book;
        mutation->rendered = format == GR_JSON ? report::to_json(book, mutation->mutation)
                                               : report::to_text(book, mutation->mutation);
        *out = text_of(mutation->rendered);
        return GR_OK;
    });
}
