/* What an audit refuses before the first row and in the midst of batches, and that lists are whole
 * only where the caller says so. The rules and the rows are invented. */
#include <groundrule/groundrule.h>

#include <errno.h>
#include <stdlib.h>

#include "expect.h"
#include "one_column.h"

#define UNTOUCHED(type) ((type *)(void *)&failures)

static const char rules[] = "edition small\n"
                            "  title \"Small\"\n"
                            "  publisher \"Invented\"\n"
                            "\n"
                            "rule 1.1 \"Breakers\"\n"
                            "  topic small_breakers\n"
                            "  stage acceptance\n"
                            "  for   circuit\n"
                            "  shall breaker at most 20 A\n"
                            "  says  \"At most 20 A.\"\n"
                            "\n"
                            "rule 1.2 \"Circuits without outlets\"\n"
                            "  topic no_outlets\n"
                            "  for   circuit\n"
                            "  shall count(r in receptacles) at most 0\n"
                            "  says  \"There are some.\"\n";

static const gr_column breaker = {{"breaker", 7}, {"circuit.breaker", 15}, {"A", 1}};
static const gr_text new_work = {"{\"assume\": {\"circuit.work\": \"new\"}}", 35};
static const gr_text no_text = {NULL, 3};

enum { rows = 2 };
static const double amperes[rows] = {15, 30};

static gr_book *book;
static gr_error error;

static gr_audit_options usual(void) {
    gr_audit_options options = GR_AUDIT_OPTIONS_INIT;
    options.columns = &breaker;
    options.column_count = 1;
    options.assumptions = new_work;
    return options;
}

static gr_audit *opened(const gr_audit_options *options) {
    gr_audit *audit = NULL;
    if (gr_audit_open(book, &table_schema, options, &audit, &error) != GR_OK)
        fprintf(stderr, "%s\n", error.message);
    REQUIRE(audit != NULL);
    return audit;
}

static int refused(const gr_audit_options *options, gr_status status, const char *code) {
    gr_audit *audit = UNTOUCHED(gr_audit);
    return gr_audit_open(book, &table_schema, options, &audit, &error) == status &&
           strcmp(error.code, code) == 0 && audit == UNTOUCHED(gr_audit);
}

static void options_that_are_wrong(void) {
    gr_audit_options options = usual();
    options.stage = "dusk";
    EXPECT(refused(&options, GR_BAD_ARGUMENT, "unknown-stage"));
    EXPECT(HOLDS(error.message, "dusk") && HOLDS(error.message, "rough_in"));
    options = usual();
    options.threads = 257;
    EXPECT(refused(&options, GR_BAD_ARGUMENT, "too-large"));
    options = usual();
    options.assumptions.size -= 1;
    EXPECT(refused(&options, GR_BAD_FACTS, "not-json"));
    EXPECT(strcmp(error.file, "assumptions") == 0 && error.line == 1);
    options = usual();
    options.assumptions.data = "{\"assume\": {\"circuit.breakr\": \"15 A\"}}";
    options.assumptions.size = strlen(options.assumptions.data);
    EXPECT(refused(&options, GR_BAD_FACTS, "unknown-field"));
    EXPECT(HOLDS(error.message, "circuit.breaker"));
}

/* Each text by pointer and size, each array by pointer and count. */
static void pointers_that_are_missing(void) {
    gr_audit_options options = usual();
    gr_column named = breaker;
    const char *format = table_schema.format;
    options.columns = NULL;
    EXPECT(refused(&options, GR_BAD_ARGUMENT, "bad-pointer"));
    options.columns = &named;
    named.column = no_text;
    EXPECT(refused(&options, GR_BAD_ARGUMENT, "bad-pointer"));
    named = breaker;
    named.fact = no_text;
    EXPECT(refused(&options, GR_BAD_ARGUMENT, "bad-pointer"));
    named = breaker;
    named.unit = no_text;
    EXPECT(refused(&options, GR_BAD_ARGUMENT, "bad-pointer"));
    options = usual();
    options.item = no_text;
    EXPECT(refused(&options, GR_BAD_ARGUMENT, "bad-pointer"));
    options = usual();
    options.assumptions = no_text;
    EXPECT(refused(&options, GR_BAD_ARGUMENT, "bad-pointer"));
    options = usual();
    options.complete_count = 1;
    EXPECT(refused(&options, GR_BAD_ARGUMENT, "bad-pointer"));
    options.complete = &no_text;
    EXPECT(refused(&options, GR_BAD_ARGUMENT, "bad-pointer"));
    options = usual();
    table_schema.format = NULL;
    EXPECT(refused(&options, GR_BAD_ARGUMENT, "bad-pointer"));
    table_schema.format = format;
}

/* The verdict of the second rule on the first row. */
static int verdict_on_outlets(const gr_audit_options *options) {
    struct ArrowArray verdicts;
    gr_audit *audit = opened(options);
    int verdict;
    REQUIRE(gr_audit_batch(audit, &table, &verdicts, NULL, &error) == GR_OK);
    REQUIRE(verdicts.n_children == 2);
    verdict = ((const uint8_t *)verdicts.children[1]->buffers[1])[0];
    verdicts.release(&verdicts);
    gr_audit_free(audit);
    return verdict;
}

static void lists_are_whole_where_it_is_said(void) {
    gr_audit_options options = usual();
    gr_text list = {"circuit.receptacles", 19};
    EXPECT(verdict_on_outlets(&options) == GR_UNDETERMINED);
    options.complete = &list;
    options.complete_count = 1;
    EXPECT(verdict_on_outlets(&options) == GR_COMPLIES);
    list.size = 10; /* circuit.re */
    EXPECT(refused(&options, GR_BAD_FACTS, "unknown-list"));
}

/* Rules of other stages than the audit's have no column. */
static void a_stage_of_the_audit(void) {
    gr_audit_options options = usual();
    struct ArrowSchema schema;
    gr_audit *audit;
    options.stage = "design";
    audit = opened(&options);
    REQUIRE(gr_audit_schema(audit, &schema, &error) == GR_OK);
    EXPECT(schema.n_children == 1); /* the other rule names none, and is for all */
    EXPECT(strcmp(schema.children[0]->name, "no_outlets") == 0);
    schema.release(&schema);
    gr_audit_free(audit);
}

static void rows_that_are_not_as_they_were_told(void) {
    gr_audit_options options = usual();
    gr_audit *audit = opened(&options);
    struct ArrowArray verdicts = {0};
    gr_job *job = UNTOUCHED(gr_job);
    size_t faulty = 99;
    table.release = NULL;
    EXPECT(gr_audit_batch(audit, &table, &verdicts, &faulty, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_audit_job(audit, &table, 0, &job, &error) == GR_BAD_ARGUMENT);
    table.release = keep_array;
    table.n_children = 0;
    EXPECT(gr_audit_batch(audit, &table, &verdicts, &faulty, &error) == GR_BAD_FACTS);
    EXPECT(strcmp(error.code, "wrong-type") == 0);
    EXPECT(strcmp(error.message, "column breaker is not as its schema says") == 0);
    EXPECT(gr_audit_job(audit, &table, 0, &job, &error) == GR_BAD_FACTS);
    table.n_children = 1;
    EXPECT(verdicts.release == NULL && faulty == 99 && job == UNTOUCHED(gr_job));
    REQUIRE(gr_audit_batch(audit, &table, &verdicts, &faulty, &error) == GR_OK);
    EXPECT(faulty == 0 && ((const uint8_t *)verdicts.children[0]->buffers[1])[1] == GR_VIOLATES);
    verdicts.release(&verdicts);
    gr_audit_free(audit);
}

/* A row is a job of its own, with what the circuit stands in. */
static void a_job_within_the_bounds_of_its_book(void) {
    const gr_source source = {{"small.rules", 11}, {rules, sizeof rules - 1}};
    gr_book_options bounds = GR_BOOK_OPTIONS_INIT;
    gr_audit_options options = usual();
    gr_book *bounded = NULL;
    gr_audit *audit = NULL;
    gr_job *job = UNTOUCHED(gr_job);
    bounds.most_items = 2;
    bounds.most_job_bytes = 34;
    REQUIRE(gr_book_open(WORDS("small"), &source, 1, &bounds, &bounded, &error) == GR_OK);
    EXPECT(gr_audit_open(bounded, &table_schema, &options, &audit, &error) == GR_BAD_FACTS);
    EXPECT(strcmp(error.code, "too-large") == 0); /* of the assumptions */
    options.assumptions.size = 0;
    REQUIRE(gr_audit_open(bounded, &table_schema, &options, &audit, &error) == GR_OK);
    EXPECT(gr_audit_job(audit, &table, 0, &job, &error) == GR_BAD_FACTS);
    EXPECT(strcmp(error.code, "too-large") == 0 && job == UNTOUCHED(gr_job));
    gr_audit_free(audit);
    gr_book_free(bounded);
}

/* --- a stream that gives the table once, or fails */

static int fails_with;
static int tells_none; /* a schema that is released already */
static int given;

static int give_schema(struct ArrowArrayStream *stream, struct ArrowSchema *out) {
    (void)stream;
    *out = table_schema;
    if (tells_none)
        memset(out, 0, sizeof *out);
    return fails_with;
}
static int give_rows(struct ArrowArrayStream *stream, struct ArrowArray *out) {
    (void)stream;
    memset(out, 0, sizeof *out);
    if (!given)
        *out = table;
    given = 1;
    return 0;
}
static const char *said(struct ArrowArrayStream *stream) {
    (void)stream;
    return "the line is cut";
}
static void close_stream(struct ArrowArrayStream *stream) {
    stream->release = NULL;
}

static void a_stream_that_fails(void) {
    struct ArrowArrayStream in = {give_schema, give_rows, said, close_stream, NULL};
    struct ArrowArrayStream out;
    struct ArrowArray verdicts = {0};
    gr_audit_options options = usual();
    gr_audit *audit = opened(&options);
    fails_with = EIO;
    EXPECT(gr_audit_stream(audit, &in, NULL, &out, &error) == GR_BAD_FACTS);
    EXPECT(strcmp(error.code, "bad-stream") == 0 && HOLDS(error.message, "the line is cut"));
    EXPECT(in.release != NULL); /* it stays the caller's */
    fails_with = 0;
    tells_none = 1;
    EXPECT(gr_audit_stream(audit, &in, NULL, &out, &error) == GR_BAD_FACTS);
    EXPECT(strcmp(error.code, "wrong-type") == 0 && in.release != NULL);
    tells_none = 0;
    EXPECT(gr_audit_stream(audit, NULL, NULL, &out, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_audit_stream(audit, &in, NULL, NULL, &error) == GR_BAD_ARGUMENT);
    REQUIRE(gr_audit_stream(audit, &in, NULL, &out, &error) == GR_OK);
    table.n_children = 0;
    EXPECT(out.get_next(&out, &verdicts) == EINVAL);
    EXPECT(HOLDS(out.get_last_error(&out), "column breaker is not as its schema says"));
    table.n_children = 1;
    EXPECT(out.get_next(&out, &verdicts) == EINVAL && verdicts.release == NULL);
    out.release(&out);
    gr_audit_free(audit);
}

int main(void) {
    const gr_source source = {{"small.rules", 11}, {rules, sizeof rules - 1}};
    if (gr_book_open(WORDS("small"), &source, 1, NULL, &book, &error) != GR_OK)
        fprintf(stderr, "%s\n", error.message);
    REQUIRE(book != NULL);
    make_table(amperes, rows);
    options_that_are_wrong();
    pointers_that_are_missing();
    lists_are_whole_where_it_is_said();
    a_stage_of_the_audit();
    rows_that_are_not_as_they_were_told();
    a_job_within_the_bounds_of_its_book();
    a_stream_that_fails();
    gr_book_free(book);
    return failures == 0 ? 0 : 1;
}
