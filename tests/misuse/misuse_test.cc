// Every function of the public headers, called wrongly. Which functions there are is read from the
// headers, so that a new one without a line here fails the test.
#include "misuse.h"

#include "../capi/small_book.h"
#include "../faults/table.h"

#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <vector>

// With its name, which is looked up in the list of the headers' functions.
#define CALL(function) #function, function

using namespace misuse;

namespace {

const std::string_view name = small_book_name;
const std::string_view text = small_book;
const std::string_view facts = small_job;
constexpr std::string_view fact = "circuit.breaker";
constexpr std::string_view shown = "shown";

gr_error *no_error() {
    static gr_error error;
    return &error;
}

void books(Misuse &m, Handles &h) {
    const gr_source source = {words(name), words(text)};
    const gr_book_options options = GR_BOOK_OPTIONS_INIT;
    gr_book *book = nullptr;
    gr_document *document = nullptr;
    gr_text told;
    std::size_t count = 0;
    gr_slot slot;
    m.status(CALL(gr_book_open), {4}, name.data(), name.size(), &source, 1U, &options, &book,
             no_error());
    m.status(CALL(gr_book_show), {}, h.book, GR_SHOW_BOOK, &document, no_error());
    m.status(CALL(gr_book_describe_rule), {}, h.book, "210.8(A)", 8U, &document, no_error());
    m.status(CALL(gr_book_test), {}, h.book, &told, &count, no_error());
    m.status(CALL(gr_book_slot), {}, h.book, fact.data(), fact.size(), &slot, no_error());
    m.status(CALL(gr_lay_out), {2}, text.data(), text.size(), name.data(), name.size(), &document,
             no_error());
    m.status(CALL(gr_lint), {}, name.data(), name.size(), &source, 1U, GR_LINT_TEXT, &count,
             &document, no_error());
    m.quiet(CALL(gr_book_name));
    m.quiet(CALL(gr_book_digest));
    m.quiet(CALL(gr_book_describe));
    m.quiet(CALL(gr_book_schema));
    m.quiet(CALL(gr_book_free));
    m.quiet(CALL(gr_document_text));
    m.quiet(CALL(gr_document_free));
    gr_version();
    gr_shipped_editions();
    gr_shipped_amendments();
    gr_shipped_adoptions();
    for (const char *harmless :
         {"gr_version", "gr_shipped_editions", "gr_shipped_amendments", "gr_shipped_adoptions"})
        m.seen(harmless); // nothing to give them
    m.seen("gr_set_allocator");
    m.seen("gr_set_log");
    gr_allocator none = GR_ALLOCATOR_INIT;
    gr_log nobody = GR_LOG_INIT;
    m.expect("gr_set_allocator", "none", gr_set_allocator(nullptr, nullptr) == GR_BAD_ARGUMENT);
    m.expect("gr_set_allocator", "without functions",
             gr_set_allocator(&none, nullptr) == GR_BAD_ARGUMENT);
    m.expect("gr_set_log", "without a function", gr_set_log(&nobody, nullptr) == GR_BAD_ARGUMENT);
    nobody.size = 3;
    m.expect("gr_set_log", "of a wrong size", gr_set_log(&nobody, nullptr) == GR_BAD_ARGUMENT);
    m.expect("gr_set_log", "nobody", gr_set_log(nullptr, nullptr) == GR_OK);
}

gr_slot slot_of(const gr_book *book, std::string_view of) {
    gr_slot slot = {};
    const gr_status status = gr_book_slot(book, of.data(), of.size(), &slot, nullptr);
    return status == GR_OK ? slot : gr_slot{99, 99};
}

void jobs(Misuse &m, Handles &h) {
    gr_job *job = nullptr;
    std::uint32_t row = 0;
    std::uint32_t code = 0;
    const gr_slot breaker = slot_of(h.book, fact);
    const gr_slot gfci = slot_of(h.book, "outlet.gfci");
    const gr_slot location = slot_of(h.book, "outlet.location");
    const double number = 20;
    constexpr std::string_view assumed = R"({"assume": {"outlet.gfci": true}})";
    m.status(CALL(gr_job_new), {}, h.book, &job, no_error());
    m.status(CALL(gr_job_from_json), {3}, h.book, facts.data(), facts.size(), shown.data(),
             shown.size(), &job, no_error());
    m.status(CALL(gr_job_add), {}, h.job, 0U, "circuits", 8U, &row, no_error());
    m.status(CALL(gr_job_complete), {}, h.job, 0U, "circuits", 8U, 1, no_error());
    m.status(CALL(gr_job_set_text), {}, h.job, breaker, 0U, "15 A", 4U, no_error());
    m.status(CALL(gr_job_set_number), {}, h.job, breaker, 0U, 20.0, no_error());
    m.status(CALL(gr_job_set_truth), {}, h.job, gfci, 0U, 1, no_error());
    m.status(CALL(gr_book_code), {}, h.book, location, "garage", 6U, &code, no_error());
    m.status(CALL(gr_job_set_code), {}, h.job, location, 0U, code, no_error());
    m.status(CALL(gr_job_set_numbers), {}, h.job, 0U, &breaker, &number, 1U, no_error());
    m.status(CALL(gr_job_clear), {}, h.job, gfci, 0U, no_error());
    m.status(CALL(gr_job_assume_json), {3}, h.job, assumed.data(), assumed.size(), shown.data(),
             shown.size(), no_error());
    m.status(CALL(gr_job_find), {}, h.job, location, "circuits[0].outlets[0]", 22U, &row,
             no_error());
    m.quiet(CALL(gr_job_free));

    // Slots and rows of nowhere.
    const gr_slot nowhere = {99, 99};
    const gr_slot no_field = {breaker.item, 99};
    for (const gr_slot wrong : {nowhere, no_field}) {
        m.expect("gr_job_set_number", "a slot of nowhere",
                 gr_job_set_number(h.job, wrong, 0, 1, nullptr) == GR_BAD_ARGUMENT);
        m.expect("gr_job_clear", "a slot of nowhere",
                 gr_job_clear(h.job, wrong, 0, nullptr) == GR_BAD_ARGUMENT);
        m.expect("gr_book_code", "a slot of nowhere",
                 gr_book_code(h.book, wrong, "x", 1, &code, nullptr) == GR_BAD_ARGUMENT);
    }
    m.expect("gr_job_set_text", "a row of nowhere",
             gr_job_set_text(h.job, breaker, ~0U, "15 A", 4, nullptr) == GR_BAD_ARGUMENT);
}

std::size_t first_undetermined(const gr_report *report) {
    std::size_t finding = 0;
    while (finding < gr_report_count(report) && gr_report_missing_count(report, finding) == 0)
        ++finding;
    return finding;
}

void checks(Misuse &m, Handles &h) {
    const gr_check_options options = GR_CHECK_OPTIONS_INIT;
    const gr_render_options how = GR_RENDER_OPTIONS_INIT;
    gr_report *report = nullptr;
    gr_finding finding = GR_FINDING_INIT;
    unsigned char verdicts[64];
    std::size_t count = 0;
    gr_text told;
    m.status(CALL(gr_check), {1}, h.job, &options, &report, no_error());
    m.status(CALL(gr_check_verdicts), {1}, h.job, &options, verdicts, sizeof verdicts, &count,
             no_error());
    m.status(CALL(gr_report_finding), {}, h.report, 0U, &finding, no_error());
    gr_missing missing = GR_MISSING_INIT;
    const std::size_t open = first_undetermined(h.report);
    m.status(CALL(gr_report_missing), {}, h.report, open, 0U, &missing, no_error());
    m.quiet(CALL(gr_report_missing_count), std::size_t{0});
    m.status(CALL(gr_report_render), {2}, h.report, GR_JSON, &how, &told, no_error());
    m.quiet(CALL(gr_report_count));
    m.quiet(CALL(gr_report_exit_status), 1);
    m.quiet(CALL(gr_report_free));
}

void answers(Misuse &m, Handles &h) {
    const gr_explain_options why = GR_EXPLAIN_OPTIONS_INIT;
    const gr_interview_options ask = GR_INTERVIEW_OPTIONS_INIT;
    const gr_remedy_options pass = GR_REMEDY_OPTIONS_INIT;
    gr_largest_options grid = GR_LARGEST_OPTIONS_INIT;
    grid.from = "15 A";
    grid.to = "20 A";
    grid.step = "5 A";
    gr_explanation *explanation = nullptr;
    gr_interview *interview = nullptr;
    gr_remedies *remedies = nullptr;
    gr_document *document = nullptr;
    gr_question question = GR_QUESTION_INIT;
    gr_text told;
    int asked = 0;
    m.status(CALL(gr_explain), {1}, h.job, &why, &explanation, no_error());
    m.status(CALL(gr_explanation_render), {}, h.explanation, GR_HTML, &told, no_error());
    m.quiet(CALL(gr_explanation_count));
    m.quiet(CALL(gr_explanation_free));
    m.status(CALL(gr_interview_new), {3, 5}, h.book, "{}", 2U, shown.data(), shown.size(), &ask,
             &interview, no_error());
    m.status(CALL(gr_interview_render), {}, h.interview, GR_JSON, &told, no_error());
    m.status(CALL(gr_interview_job), {}, h.interview, &told, no_error());
    m.status(CALL(gr_interview_question), {}, h.interview, &asked, &question, no_error());
    m.quiet(CALL(gr_interview_free));
    m.status(CALL(gr_find_remedies), {1}, h.job, &pass, &remedies, no_error());
    m.status(CALL(gr_remedies_render), {}, h.remedies, GR_JSON, &told, no_error());
    m.quiet(CALL(gr_remedies_count));
    m.quiet(CALL(gr_remedies_exhausted));
    m.quiet(CALL(gr_remedies_free));
    m.seen("gr_remedies_apply");
    m.expect("gr_remedies_apply", "no handle",
             gr_remedies_apply(nullptr, 0, h.job, nullptr) == GR_BAD_ARGUMENT);
    m.expect("gr_remedies_apply", "no job",
             gr_remedies_apply(h.remedies, 0, nullptr, nullptr) == GR_BAD_ARGUMENT);
    m.expect("gr_remedies_apply", "a remedy of nowhere",
             gr_remedies_apply(h.remedies, 99, h.job, nullptr) == GR_BAD_ARGUMENT);
    const gr_place place = {slot_of(h.book, fact), 0};
    m.status(CALL(gr_find_largest), {}, h.job, place, &grid, GR_JSON, &document, no_error());
    // Last, since an answer changes what the interview asks.
    m.status(CALL(gr_interview_skip), {}, h.interview, no_error());
    m.seen("gr_interview_answer");
    for (gr_interview *wrong :
         {static_cast<gr_interview *>(nullptr), reinterpret_cast<gr_interview *>(h.document)})
        m.expect("gr_interview_answer", "no handle",
                 gr_interview_answer(wrong, "yes", 3, nullptr) == GR_BAD_ARGUMENT);
    m.expect("gr_interview_answer", "no text",
             gr_interview_answer(h.interview, nullptr, 3, nullptr) == GR_BAD_ARGUMENT);
}

void audits(Misuse &m, Handles &h) {
    const Table table = table_of_circuits();
    const gr_audit_options options = GR_AUDIT_OPTIONS_INIT;
    const gr_audit_stream_options how = GR_AUDIT_STREAM_OPTIONS_INIT;
    gr_audit *audit = nullptr;
    gr_job *job = nullptr;
    ArrowSchema schema = {};
    ArrowArray verdicts = {};
    std::size_t faulty = 0;
    m.status(CALL(gr_audit_open), {2}, h.book, &table.schema, &options, &audit, no_error());
    m.status(CALL(gr_audit_schema), {}, h.audit, &schema, no_error());
    m.status(CALL(gr_audit_batch), {3}, h.audit, &table.rows, &verdicts, &faulty, no_error());
    m.status(CALL(gr_audit_job), {}, h.audit, &table.rows, 0U, &job, no_error());
    gr_missing_fact missing = GR_MISSING_FACT_INIT;
    m.status(CALL(gr_audit_missing), {}, h.audit, 0U, &missing, no_error());
    m.quiet(CALL(gr_audit_faults));
    m.quiet(CALL(gr_audit_missing_count));
    m.quiet(CALL(gr_audit_free));

    // What was released is none; a stream likewise, whose audit may be none too.
    ArrowSchema released = table.schema;
    released.release = nullptr;
    m.expect("gr_audit_open", "a released schema",
             gr_audit_open(h.book, &released, nullptr, &audit, nullptr) == GR_BAD_ARGUMENT);
    ArrowArrayStream rows = {};
    ArrowArrayStream out = {};
    m.seen("gr_audit_stream");
    m.expect("gr_audit_stream", "a released stream",
             gr_audit_stream(h.audit, &rows, &how, &out, nullptr) == GR_BAD_ARGUMENT);
    m.expect("gr_audit_stream", "no stream",
             gr_audit_stream(h.audit, nullptr, nullptr, &out, nullptr) == GR_BAD_ARGUMENT);
    m.expect("gr_audit_stream", "no handle",
             gr_audit_stream(reinterpret_cast<gr_audit *>(h.book), &rows, nullptr, &out, nullptr) ==
                 GR_BAD_ARGUMENT);
}

void comparisons(Misuse &m, Handles &h) {
    gr_comparison *comparison = nullptr;
    gr_mutation *mutation = nullptr;
    gr_survivor survivor = GR_SURVIVOR_INIT;
    const gr_mutation_options options = GR_MUTATION_OPTIONS_INIT;
    gr_text told;
    m.status(CALL(gr_compare_books), {}, h.book, h.book, &comparison, no_error());
    m.status(CALL(gr_comparison_add_job), {3}, h.comparison, facts.data(), facts.size(),
             shown.data(), shown.size(), no_error());
    m.status(CALL(gr_comparison_render), {}, h.comparison, GR_JSON, &told, no_error());
    m.quiet(CALL(gr_comparison_same));
    m.quiet(CALL(gr_comparison_free));
    m.status(CALL(gr_mutate), {1}, h.book, &options, &mutation, no_error());
    m.status(CALL(gr_mutation_survivor), {}, h.mutation, 0U, &survivor, no_error());
    m.status(CALL(gr_mutation_render), {}, h.mutation, GR_JSON, &told, no_error());
    m.quiet(CALL(gr_mutation_mutants));
    m.quiet(CALL(gr_mutation_killed));
    m.quiet(CALL(gr_mutation_free));
}

void adoptions(Misuse &m, Handles &h) {
    constexpr std::string_view place = "harbor-city";
    const gr_find_options options = GR_FIND_OPTIONS_INIT;
    gr_adoption *adoption = nullptr;
    gr_answer *answer = nullptr;
    gr_period period = GR_PERIOD_INIT;
    gr_text told;
    m.status(CALL(gr_adoption_open), {2}, place.data(), place.size(),
             static_cast<const gr_source *>(nullptr), 0U, &adoption, no_error());
    m.status(CALL(gr_adoption_find), {3, 5}, h.adoption, "{}", 2U, shown.data(), shown.size(),
             &options, &answer, no_error());
    m.quiet(CALL(gr_adoption_timeline), int{GR_JSON});
    m.quiet(CALL(gr_adoption_free));
    m.status(CALL(gr_answer_period), {}, h.answer, 0U, &period, no_error());
    m.status(CALL(gr_answer_render), {}, h.answer, GR_JSON, &told, no_error());
    m.quiet(CALL(gr_answer_outcome));
    m.quiet(CALL(gr_answer_count));
    m.quiet(CALL(gr_answer_free));
}

// Documents cut anywhere, and bytes that are no text: errors, or whatever a shorter text says.
void cut_texts(Misuse &m, Handles &h) {
    std::size_t read = 0;
    for (std::size_t size = 0; size < facts.size(); ++size) {
        const std::string cut(facts.substr(0, size)); // its own memory: a byte too far is seen
        gr_job *job = nullptr;
        read += gr_job_from_json(h.book, cut.data(), size, nullptr, 0, &job, nullptr) == GR_OK;
        gr_job_free(job);
    }
    m.expect("gr_job_from_json", "a cut document is none", read == 0);
    for (std::size_t size = 0; size < text.size(); size += 7) {
        const std::string cut(text.substr(0, size));
        const gr_source source = {words(name), words(cut)};
        gr_book *book = nullptr;
        gr_error error;
        const gr_status status =
            gr_book_open(name.data(), name.size(), &source, 1, nullptr, &book, &error);
        m.expect("gr_book_open", "a cut book opens or has a fault",
                 status == GR_OK ? book != nullptr : error.message[0] != '\0');
        gr_book_free(book);
    }
    const gr_source none = {words(name), {nullptr, 5}};
    gr_book *book = nullptr;
    m.expect("gr_book_open", "a source without text",
             gr_book_open(name.data(), name.size(), &none, 1, nullptr, &book, nullptr) ==
                 GR_BAD_ARGUMENT);
    m.expect("gr_job_set_text", "bytes that are no text",
             gr_job_set_text(h.job, slot_of(h.book, fact), 0, "\xFF\xFE A", 4, nullptr) ==
                 GR_BAD_FACTS);
}

// As far as it can be told: the memory of a freed handle may be another's by now, and under a
// sanitizer it may not be looked at.
void freed_handles([[maybe_unused]] Misuse &m, [[maybe_unused]] Handles &h) {
#ifndef GROUNDRULE_SANITIZED
    gr_job *job = nullptr;
    m.expect("gr_job_new", "a job", gr_job_new(h.book, &job, nullptr) == GR_OK);
    gr_job_free(job);
    gr_report *report = nullptr;
    m.expect("gr_check", "a freed job",
             gr_check(job, nullptr, &report, nullptr) == GR_BAD_ARGUMENT);
    gr_job_free(job); // twice
#endif
}

std::set<std::string> functions_of_the_headers() {
    std::set<std::string> out;
    const std::filesystem::path below =
        std::filesystem::path(GROUNDRULE_SOURCE_DIR) / "libcore/include/groundrule";
    const std::regex declaration(R"(GR_API[^;{]*?\b(gr_\w+)\()");
    for (const auto &entry : std::filesystem::directory_iterator(below)) {
        if (entry.path().extension() != ".h")
            continue;
        std::ifstream in(entry.path());
        const std::string header{std::istreambuf_iterator<char>(in), {}};
        for (std::sregex_iterator at(header.begin(), header.end(), declaration), end; at != end;
             ++at)
            out.insert((*at)[1]);
    }
    return out;
}

} // namespace

int main() {
    Handles good;
    Misuse m(good);
    books(m, good);
    jobs(m, good);
    checks(m, good);
    answers(m, good);
    audits(m, good);
    comparisons(m, good);
    adoptions(m, good);
    cut_texts(m, good);
    freed_handles(m, good);
    const std::set<std::string> all = functions_of_the_headers();
    m.expect("the headers", "hold functions", all.size() > 50);
    for (const std::string &function : all)
        m.expect(function.c_str(), "is not misused by this test", m.names().contains(function));
    std::printf("%zu functions misused\n", m.names().size());
    return m.wrong() == 0 ? 0 : 1;
}
