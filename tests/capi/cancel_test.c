/* Long work tells how far it has come, and its caller ends it: audits of one batch and of a stream,
 * mutants, remedies, the grid of a largest value. What was ended leaves nothing behind, and the
 * same handles do the work afterwards. */
#include <groundrule/groundrule.h>

#include <errno.h>
#include <stdlib.h>

#include "expect.h"
#include "garage.h"
#include "one_column.h"

#define UNTOUCHED(type) ((type *)(void *)&failures)

enum { rows = 20000 };

/* What a progress function heard, and at which call it says no; 0: never. */
typedef struct heard {
    size_t calls;
    size_t no_at;
    uint64_t done;
    uint64_t of;
    int in_order;
} heard;

static int listen(const gr_progress *progress, void *user) {
    heard *h = user;
    h->in_order = h->in_order && progress->size >= sizeof *progress && progress->done >= h->done &&
                  progress->done <= progress->of && (h->calls == 0 || progress->of == h->of);
    h->done = progress->done;
    h->of = progress->of;
    return ++h->calls == h->no_at;
}

static heard from_now_on(size_t no_at) {
    const heard h = {0, no_at, 0, 0, 1};
    return h;
}

static gr_book *opened(const char *name) {
    gr_book *book = NULL;
    gr_error error;
    if (gr_book_open(WORDS(name), NULL, 0, NULL, &book, &error) != GR_OK) {
        fprintf(stderr, "%s\n", error.message);
        exit(1);
    }
    return book;
}

static double amperes[rows];

static void fill(void) {
    for (int i = 0; i < rows; ++i)
        amperes[i] = i % 3 == 0 ? 17 : 20;
    make_table(amperes, rows);
}

static gr_audit *audit_of(const gr_book *book, uint32_t threads, heard *h) {
    static const gr_column unit = {{"breaker", 7}, {"circuit.breaker", 15}, {"A", 1}};
    gr_audit_options options = GR_AUDIT_OPTIONS_INIT;
    gr_audit *audit = NULL;
    gr_error error;
    options.columns = &unit;
    options.column_count = 1;
    options.threads = threads;
    options.progress = listen;
    options.user = h;
    if (gr_audit_open(book, &table_schema, &options, &audit, &error) != GR_OK) {
        fprintf(stderr, "%s\n", error.message);
        exit(1);
    }
    return audit;
}

static void an_audit_of_one_batch(const gr_book *book) {
    gr_error error;
    struct ArrowArray verdicts = {0};
    for (uint32_t threads = 1; threads <= 3; ++threads) {
        /* Before the work; of one thread alone it is certain how often it asks within. */
        const size_t no_at = threads == 1 ? 3 : 1;
        heard h = from_now_on(no_at);
        size_t faulty = 99;
        gr_audit *audit = audit_of(book, threads, &h);
        EXPECT(gr_audit_batch(audit, &table, &verdicts, &faulty, &error) == GR_CANCELLED);
        EXPECT(strcmp(error.code, "cancelled") == 0);
        EXPECT(verdicts.release == NULL && faulty == 99);
        EXPECT(h.calls == no_at && h.in_order && h.of == rows && h.done < rows);
        h = from_now_on(0);
        REQUIRE(gr_audit_batch(audit, &table, &verdicts, &faulty, &error) == GR_OK);
        EXPECT(faulty == 0 && verdicts.length == rows && h.calls >= 1 && h.in_order);
        verdicts.release(&verdicts);
        gr_audit_free(audit);
    }
}

/* Rows that contradict themselves are checked one by one, and told of one by one. */
static void an_audit_of_faulty_rows(const gr_book *book) {
    gr_error error;
    struct ArrowArray verdicts = {0};
    heard h = from_now_on(0);
    size_t faulty = 0;
    gr_audit *audit = audit_of(book, 1, &h); /* so that each run makes the same calls */
    for (int i = 0; i < 100; ++i)
        amperes[i] = -1;
    REQUIRE(gr_audit_batch(audit, &table, &verdicts, &faulty, &error) == GR_OK);
    EXPECT(faulty == 100 && h.in_order && h.done == rows - 1);
    verdicts.release(&verdicts);
    h = from_now_on(h.calls); /* at the last of them */
    EXPECT(gr_audit_batch(audit, &table, &verdicts, &faulty, &error) == GR_CANCELLED);
    gr_audit_free(audit);
    fill();
}

/* A stream that gives the table once. */
static int give_schema(struct ArrowArrayStream *stream, struct ArrowSchema *out) {
    (void)stream;
    *out = table_schema;
    return 0;
}
static int give_rows(struct ArrowArrayStream *stream, struct ArrowArray *out) {
    int *given = stream->private_data;
    memset(out, 0, sizeof *out);
    if (!*given)
        *out = table;
    *given = 1;
    return 0;
}
static const char *no_fault(struct ArrowArrayStream *stream) {
    (void)stream;
    return NULL;
}
static void close_stream(struct ArrowArrayStream *stream) {
    stream->release = NULL;
}

static void an_audit_of_a_stream(const gr_book *book) {
    gr_error error;
    heard h = from_now_on(1);
    int given = 0;
    gr_audit *audit = audit_of(book, 2, &h);
    struct ArrowArrayStream in = {give_schema, give_rows, no_fault, close_stream, &given};
    struct ArrowArrayStream out;
    struct ArrowArray verdicts = {0};
    REQUIRE(gr_audit_stream(audit, &in, NULL, &out, &error) == GR_OK);
    EXPECT(out.get_next(&out, &verdicts) == ECANCELED);
    EXPECT(HOLDS(out.get_last_error(&out), "ended"));
    EXPECT(out.get_next(&out, &verdicts) == ECANCELED && verdicts.release == NULL);
    EXPECT(h.calls == 1);
    out.release(&out);
    gr_audit_free(audit);
}

static void mutants(void) {
    gr_error error;
    gr_book *book = opened("nec-2020+harbor-city-2025");
    for (uint32_t threads = 1; threads <= 2; ++threads) {
        gr_mutation *mutation = UNTOUCHED(gr_mutation);
        gr_mutation_options options = GR_MUTATION_OPTIONS_INIT;
        const size_t no_at = threads == 1 ? 5 : 1;
        heard h = from_now_on(no_at);
        options.threads = threads;
        options.progress = listen;
        options.user = &h;
        EXPECT(gr_mutate(book, &options, &mutation, &error) == GR_CANCELLED);
        EXPECT(mutation == UNTOUCHED(gr_mutation) && h.calls == no_at && h.in_order);
        h = from_now_on(0);
        REQUIRE(gr_mutate(book, &options, &mutation, &error) == GR_OK);
        EXPECT(h.in_order && h.calls >= 1 && gr_mutation_mutants(mutation) > 5);
        gr_mutation_free(mutation);
    }
    gr_book_free(book);
}

static void remedies(const gr_job *job) {
    gr_error error;
    gr_remedies *found = UNTOUCHED(gr_remedies);
    gr_remedy_options options = GR_REMEDY_OPTIONS_INIT;
    heard h = from_now_on(2);
    options.progress = listen;
    options.user = &h;
    EXPECT(gr_find_remedies(job, &options, &found, &error) == GR_CANCELLED);
    EXPECT(found == UNTOUCHED(gr_remedies) && h.calls == 2 && h.in_order);
    h = from_now_on(0);
    REQUIRE(gr_find_remedies(job, &options, &found, &error) == GR_OK);
    EXPECT(h.in_order && h.calls >= 2 && h.of == 20000);
    EXPECT(gr_remedies_count(found) > 0 && gr_remedies_exhausted(found) == 1);
    gr_remedies_free(found);
}

static void the_largest(const gr_book *book, const gr_job *job) {
    gr_error error;
    gr_document *found = UNTOUCHED(gr_document);
    gr_largest_options options = GR_LARGEST_OPTIONS_INIT;
    gr_place place = {{0, 0}, 0};
    heard h = from_now_on(7);
    REQUIRE(gr_book_slot(book, WORDS("circuit.breaker"), &place.slot, &error) == GR_OK);
    options.from = "10 A";
    options.to = "60 A";
    options.step = "5 A";
    options.progress = listen;
    options.user = &h;
    EXPECT(gr_find_largest(job, place, &options, GR_JSON, &found, &error) == GR_CANCELLED);
    EXPECT(found == UNTOUCHED(gr_document) && h.done == 6 && h.of == 11);
    h = from_now_on(0);
    REQUIRE(gr_find_largest(job, place, &options, GR_JSON, &found, &error) == GR_OK);
    EXPECT(h.calls == 11 && h.in_order);
    gr_document_free(found);
}

int main(void) {
    gr_error error;
    gr_book *book = opened("nec-2020");
    gr_job *job = NULL;
    fill();
    an_audit_of_one_batch(book);
    an_audit_of_faulty_rows(book);
    an_audit_of_a_stream(book);
    mutants();
    REQUIRE(gr_job_from_json(book, WORDS(garage), "job", 3, &job, &error) == GR_OK);
    remedies(job);
    the_largest(book, job);
    gr_job_free(job);
    gr_book_free(book);
    return failures == 0 ? 0 : 1;
}
