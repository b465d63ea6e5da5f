#include "handles.h"

#include "../capi/small_book.h"
#include "../faults/table.h"

#include <cstdio>
#include <cstdlib>

namespace misuse {

namespace {

void must(gr_status status, const gr_error &error) {
    if (status == GR_OK)
        return;
    std::fprintf(stderr, "a good handle can't be made: %s\n", error.message);
    std::exit(1);
}

} // namespace

Handles::Handles() {
    const std::string_view name = small_book_name;
    const std::string_view text = small_book;
    const std::string_view facts = small_job;
    const std::string_view place = "harbor-city";
    const gr_source source = {words(name), words(text)};
    const Table table = table_of_circuits();
    gr_error e{};
    must(gr_book_open(name.data(), name.size(), &source, 1, nullptr, &book, &e), e);
    must(gr_job_from_json(book, facts.data(), facts.size(), nullptr, 0, &job, &e), e);
    must(gr_check(job, nullptr, &report, &e), e);
    must(gr_book_show(book, GR_SHOW_BOOK, &document, &e), e);
    must(gr_explain(job, nullptr, &explanation, &e), e);
    must(gr_interview_new(book, facts.data(), facts.size(), nullptr, 0, nullptr, &interview, &e),
         e);
    must(gr_find_remedies(job, nullptr, &remedies, &e), e);
    gr_audit_options counting = GR_AUDIT_OPTIONS_INIT;
    counting.count_missing = 1;
    must(gr_audit_open(book, &table.schema, &counting, &audit, &e), e);
    ArrowArray verdicts = {};
    must(gr_audit_batch(audit, &table.rows, &verdicts, nullptr, &e), e);
    verdicts.release(&verdicts);
    must(gr_compare_books(book, book, &comparison, &e), e);
    must(gr_mutate(book, nullptr, &mutation, &e), e);
    must(gr_adoption_open(place.data(), place.size(), nullptr, 0, &adoption, &e), e);
    must(gr_adoption_find(adoption, "{}", 2, nullptr, 0, nullptr, &answer, &e), e);
}

} // namespace misuse
