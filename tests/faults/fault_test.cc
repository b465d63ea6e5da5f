// Every allocation of a whole cycle fails in turn, once alone and once with all that follow: the
// call that needed it tells GR_NO_MEMORY, nothing leaks, and the same handles do their work
// afterwards.
//
// Of a small book each allocation fails once. Those of a shipped edition are too many to fail one
// by one (a cycle makes tens of thousands, and to reach the n-th the n before it have to be made),
// so they fail at a stride that reaches all parts of the cycle, from another start each time the
// count of allocations changes: `sampled` tells how many.
#include "failing_memory.h"

#include "../capi/every_handle.h"
#include "../capi/garage.h"
#include "../capi/small_book.h"
#include "table.h"

#include <groundrule/groundrule.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace {

#ifdef GROUNDRULE_SANITIZED
constexpr std::size_t sampled = 12; // each takes five times as long
#else
constexpr std::size_t sampled = 60;
#endif

int wrong = 0;
gr_error error;

void complain(const char *cycle, std::size_t n, const char *what) {
    std::fprintf(stderr, "%s, allocation %zu: %s (status %d: %s)\n", cycle, n, what,
                 static_cast<int>(error.status), error.message);
    ++wrong;
}

// A cycle of calls; it frees what it made and gives the first failure.
using Cycle = std::function<gr_status()>;

// `most` 0: every allocation.
void fail_each(const char *name, const Cycle &cycle, std::size_t most = 0) {
    error = {};
    if (cycle() != GR_OK || cycle() != GR_OK) { // twice: what is made once is made by now
        complain(name, 0, "fails without a fault");
        return;
    }
    const std::ptrdiff_t before = faults::held();
    faults::fail_at(0);
    if (cycle() != GR_OK)
        complain(name, 0, "fails without a fault");
    const std::size_t all = faults::made();
    const std::size_t stride = most == 0 || all <= most ? 1 : all / most;
    std::size_t tried = 0;
    for (std::size_t n = 1 + all % stride; n <= all; n += stride) {
        for (const bool and_after : {false, true}) {
            error = {};
            faults::fail_at(n, and_after);
            const gr_status status = cycle();
            const bool reached = faults::failed();
            faults::fail_at(0);
            if (reached && status != GR_NO_MEMORY)
                complain(name, n, "does not tell that memory ran out");
            if (!reached && status != GR_OK)
                complain(name, n, "fails without a fault");
            if (faults::held() != before)
                complain(name, n, "leaks");
        }
        ++tried;
        if (wrong > 20)
            return;
    }
    if (cycle() != GR_OK)
        complain(name, all, "is of no use afterwards");
    std::printf("%-32s %8zu allocations, %6zu failed in turn\n", name, all, tried);
}

// Whether to go on. A text that a call can only leave empty counts as failed memory.
struct Steps {
    gr_status status = GR_OK;
    bool operator()(gr_status s) {
        if (status == GR_OK)
            status = s;
        return s == GR_OK;
    }
    void needs(gr_text text) { (*this)(text.size == 0 ? GR_NO_MEMORY : GR_OK); }
};

struct Named {
    std::string_view name;
    std::string_view text; // of a printed book; empty: it ships
};
const Named small{small_book_name, small_book};
constexpr Named edition{"nec-2020", {}};

gr_status open(const Named &which, gr_book **out) {
    const gr_source source = {{which.name.data(), which.name.size()},
                              {which.text.data(), which.text.size()}};
    return gr_book_open(which.name.data(), which.name.size(), &source, which.text.empty() ? 0U : 1U,
                        nullptr, out, &error);
}

gr_status read(const gr_book *book, std::string_view json, gr_job **out) {
    return gr_job_from_json(book, json.data(), json.size(), nullptr, 0, out, &error);
}

// Opened, checked, reported in all forms.
gr_status whole_cycle(const Named &which, std::string_view facts) {
    EveryHandle h;
    Steps step;
    gr_text text;
    if (step(open(which, &h.book)) && step(read(h.book, facts, &h.job)) &&
        step(gr_check(h.job, nullptr, &h.report, &error))) {
        for (const int format : {GR_JSON, GR_SARIF, GR_PLAIN})
            step(gr_report_render(h.report, format, nullptr, &text, &error));
        step.needs(gr_book_describe(h.book));
        step.needs(gr_book_schema(h.book));
        step.needs(gr_book_digest(h.book));
    }
    return step.status;
}

// A job that stays: set, grown, checked again and again through faults.
gr_status live_job(const gr_book *book, gr_job *job, const char *list, const char *fact) {
    Steps step;
    std::uint32_t row = 0;
    gr_slot slot;
    unsigned char verdicts[4096];
    std::size_t count = 0;
    if (step(gr_job_add(job, 0, list, std::strlen(list), &row, &error)) &&
        step(gr_book_slot(book, fact, std::strlen(fact), &slot, &error)) &&
        step(gr_job_set_text(job, slot, row, "20 A", 4, &error))) {
        const double amperes = 15;
        step(gr_job_set_numbers(job, row, &slot, &amperes, 1, &error));
        step(gr_check_verdicts(job, nullptr, verdicts, sizeof verdicts, &count, &error));
        step(gr_job_set_number(job, slot, row, 17, &error));
        step(gr_check_verdicts(job, nullptr, verdicts, sizeof verdicts, &count, &error));
    }
    return step.status;
}

gr_status answers(const gr_book *book, std::string_view facts, const char *fact) {
    EveryHandle h;
    Steps step;
    gr_text text;
    if (!step(read(book, facts, &h.job)))
        return step.status;
    if (step(gr_explain(h.job, nullptr, &h.explanation, &error))) {
        for (const int format : {int{GR_JSON}, int{GR_PLAIN}, GR_HTML})
            step(gr_explanation_render(h.explanation, format, &text, &error));
    }
    gr_remedy_options few = GR_REMEDY_OPTIONS_INIT;
    few.most_changes = 1;
    few.most_tries = 8;
    if (step(gr_find_remedies(h.job, &few, &h.remedies, &error))) {
        for (const int format : {GR_JSON, GR_PLAIN})
            step(gr_remedies_render(h.remedies, format, &text, &error));
    }
    gr_interview_options whole = GR_INTERVIEW_OPTIONS_INIT;
    whole.outline = 1;
    if (step(gr_interview_new(book, facts.data(), facts.size(), nullptr, 0, &whole, &h.interview,
                              &error))) {
        int asked = 0;
        gr_question question = GR_QUESTION_INIT;
        step(gr_interview_question(h.interview, &asked, &question, &error));
        step(gr_interview_skip(h.interview, &error));
        for (const int format : {GR_JSON, GR_PLAIN})
            step(gr_interview_render(h.interview, format, &text, &error));
        step(gr_interview_job(h.interview, &text, &error));
    }
    gr_largest_options grid = GR_LARGEST_OPTIONS_INIT;
    grid.from = "15 A";
    grid.to = "20 A";
    grid.step = "5 A";
    gr_place place = {{0, 0}, 0};
    if (step(gr_book_slot(book, fact, std::strlen(fact), &place.slot, &error)))
        step(gr_find_largest(h.job, place, &grid, GR_JSON, &h.document, &error));
    return step.status;
}

gr_status audited(const gr_book *book, const Table &table, std::uint32_t threads) {
    EveryHandle h;
    Steps step;
    gr_audit_options options = GR_AUDIT_OPTIONS_INIT;
    options.threads = threads;
    ArrowSchema schema = {};
    ArrowArray verdicts = {};
    std::size_t faulty = 0;
    if (step(gr_audit_open(book, &table.schema, &options, &h.audit, &error))) {
        if (step(gr_audit_schema(h.audit, &schema, &error)))
            schema.release(&schema);
        if (step(gr_audit_batch(h.audit, &table.rows, &verdicts, &faulty, &error)))
            verdicts.release(&verdicts);
        step(gr_audit_job(h.audit, &table.rows, 0, &h.job, &error));
    }
    return step.status;
}

// A stream of one batch.
struct Rows {
    const Table &table;
    bool given = false;

    static Rows &of(ArrowArrayStream *stream) { return *static_cast<Rows *>(stream->private_data); }
    ArrowArrayStream stream() {
        return {[](ArrowArrayStream *s, ArrowSchema *out) {
                    *out = of(s).table.schema;
                    return 0;
                },
                [](ArrowArrayStream *s, ArrowArray *out) {
                    *out = of(s).given ? ArrowArray{} : of(s).table.rows;
                    of(s).given = true;
                    return 0;
                },
                [](ArrowArrayStream *) -> const char * { return nullptr; },
                [](ArrowArrayStream *s) { s->release = nullptr; }, this};
    }
};

gr_status streamed(const gr_book *book, const Table &table) {
    EveryHandle h;
    Steps step;
    Rows rows{table};
    ArrowArrayStream in = rows.stream();
    ArrowArrayStream out = {};
    ArrowSchema schema = {};
    ArrowArray verdicts = {};
    const auto told = [](int status) {
        return status == 0 ? GR_OK : status == ENOMEM ? GR_NO_MEMORY : GR_INTERNAL;
    };
    if (step(gr_audit_open(book, &table.schema, nullptr, &h.audit, &error)) &&
        step(gr_audit_stream(h.audit, &in, nullptr, &out, &error))) {
        if (step(told(out.get_schema(&out, &schema))))
            schema.release(&schema);
        if (step(told(out.get_next(&out, &verdicts))))
            verdicts.release(&verdicts);
        else // it stays failed
            step(told(out.get_next(&out, &verdicts)));
        out.release(&out);
    }
    return step.status;
}

gr_status books(const gr_book *book, std::string_view facts) {
    EveryHandle h;
    Steps step;
    gr_text text;
    std::size_t failed = 0;
    if (step(gr_compare_books(book, book, &h.comparison, &error))) {
        step(gr_comparison_add_job(h.comparison, facts.data(), facts.size(), nullptr, 0, &error));
        for (const int format : {GR_JSON, GR_PLAIN})
            step(gr_comparison_render(h.comparison, format, &text, &error));
    }
    step(gr_book_show(book, GR_SHOW_BOOK, &h.document, &error));
    EveryHandle of_rule;
    step(gr_book_describe_rule(book, "rating", 6, &of_rule.document, &error));
    step(gr_book_test(const_cast<gr_book *>(book), &text, &failed, &error));
    if (step(gr_mutate(book, nullptr, &h.mutation, &error)))
        step(gr_mutation_render(h.mutation, GR_JSON, &text, &error));
    return step.status;
}

gr_status texts() {
    EveryHandle h;
    EveryHandle again;
    Steps step;
    std::size_t faults = 0;
    const gr_source source = {{small_book_name, std::strlen(small_book_name)},
                              {small_book, std::strlen(small_book)}};
    step(gr_lay_out(small_book, std::strlen(small_book), "x", 1, &h.document, &error));
    step(gr_lint(small_book_name, std::strlen(small_book_name), &source, 1, GR_LINT_LSP, &faults,
                 &again.document, &error));
    return step.status;
}

gr_status adoption(std::string_view facts) {
    constexpr std::string_view place = "harbor-city";
    EveryHandle h;
    Steps step;
    gr_text text;
    if (step(gr_adoption_open(place.data(), place.size(), nullptr, 0, &h.adoption, &error)) &&
        step(gr_adoption_find(h.adoption, facts.data(), facts.size(), nullptr, 0, nullptr,
                              &h.answer, &error)))
        step(gr_answer_render(h.answer, GR_JSON, &text, &error));
    return step.status;
}

using Bytes = std::vector<std::string>;

// Verdicts of each rule on the rows of the table.
Bytes bytes_of(const ArrowArray &verdicts) {
    Bytes all;
    for (std::int64_t r = 0; r < verdicts.n_children; ++r) {
        const ArrowArray &rule = *verdicts.children[r];
        if (rule.n_children == 0)
            all.emplace_back(static_cast<const char *>(rule.buffers[1]),
                             static_cast<std::size_t>(rule.length));
    }
    return all;
}

// An audit that stays, whose four threads run out of memory in the midst of batches.
void live_audit(const gr_book *book, const Table &table) {
    EveryHandle h;
    gr_audit_options options = GR_AUDIT_OPTIONS_INIT;
    options.threads = 4;
    ArrowArray verdicts = {};
    if (gr_audit_open(book, &table.schema, &options, &h.audit, &error) != GR_OK ||
        gr_audit_batch(h.audit, &table.rows, &verdicts, nullptr, &error) != GR_OK) {
        complain("an audit that stays", 0, "fails without a fault");
        return;
    }
    const Bytes expected = bytes_of(verdicts);
    verdicts.release(&verdicts);
    std::size_t failed = 0;
    for (std::size_t n = 1; n < 200; ++n) {
        faults::fail_at(n % 41 + 1, n % 2 == 0);
        const gr_status status = gr_audit_batch(h.audit, &table.rows, &verdicts, nullptr, &error);
        const bool reached = faults::failed();
        faults::fail_at(0);
        if (status != (reached ? GR_NO_MEMORY : GR_OK))
            complain("an audit that stays", n, "tells another thing than what happened");
        if (status == GR_OK && bytes_of(verdicts) != expected)
            complain("an audit that stays", n, "gives other verdicts");
        if (status == GR_OK)
            verdicts.release(&verdicts);
        failed += reached ? 1 : 0;
    }
    if (failed == 0)
        complain("an audit that stays", 0, "never ran out of memory");
    if (gr_audit_batch(h.audit, &table.rows, &verdicts, nullptr, &error) != GR_OK)
        complain("an audit that stays", 0, "is of no use afterwards");
    else if (bytes_of(verdicts) != expected)
        complain("an audit that stays", 0, "gives other verdicts afterwards");
    if (verdicts.release != nullptr)
        verdicts.release(&verdicts);
}

void all_cycles(const Named &which, std::string_view facts, const Table &table, const Table &many,
                const char *list, const char *fact, std::size_t most) {
    EveryHandle h;
    if (open(which, &h.book) != GR_OK || gr_job_new(h.book, &h.job, &error) != GR_OK) {
        complain("open", 0, "fails without a fault");
        return;
    }
    fail_each(
        "open, check, report", [&] { return whole_cycle(which, facts); }, most);
    fail_each(
        "explain, ask, remedies, largest",
        [&] { return answers(h.book, facts, "circuit.breaker"); }, most);
    fail_each(
        "audit", [&] { return audited(h.book, table, 1); }, most);
    fail_each(
        "audit of a stream", [&] { return streamed(h.book, table); }, most);
    for (const std::uint32_t threads : {2U, 4U}) {
        const std::string name = "audit, " + std::to_string(threads) + " threads";
        fail_each(
            name.c_str(), [&] { return audited(h.book, many, threads); },
            most == 0 ? 4 * sampled : most);
    }
    live_audit(h.book, many);
    // How far a job has grown is another each time, so it alone is not counted in the leaks.
    for (std::size_t n = 1; n < 400; ++n) {
        faults::fail_at(n % 23 + 1, n % 2 == 0);
        const gr_status status = live_job(h.book, h.job, list, fact);
        faults::fail_at(0);
        if (status != GR_OK && status != GR_NO_MEMORY)
            complain("a job that stays", n, "fails otherwise");
    }
    if (live_job(h.book, h.job, list, fact) != GR_OK)
        complain("a job that stays", 0, "is of no use afterwards");
}

} // namespace

int main() {
    const Table circuits = table_of_circuits();
    const Table many = table_of_many_circuits();
    std::printf("a small book:\n");
    all_cycles(small, small_job, circuits, many, "circuits", "circuit.breaker", 0);
    EveryHandle h;
    if (open(small, &h.book) == GR_OK)
        fail_each("compare, show, test, mutate", [&] { return books(h.book, small_job); });
    fail_each("lay out, lint", texts, 4 * sampled);
    std::printf("nec-2020:\n");
    all_cycles(edition, garage, circuits, many, "panels", "panel.bus_rating", sampled);
    fail_each(
        "adoption", [] { return adoption(garage); }, sampled);
    return wrong == 0 ? 0 : 1;
}
