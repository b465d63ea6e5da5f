/* Streams of rows through the C API: the verdicts of the whole table, batches cut to a bound and
 * empty ones passed over, progress and an early end, what a failing or foreign stream gets. The
 * rule and the rows are invented. */
#include "expect.h"

#include "groundrule/groundrule.h"

#include <errno.h>
#include <stdlib.h>

static const char rules[] = "edition small\n"
                            "  title \"Small\"\n"
                            "  publisher \"Invented\"\n"
                            "\n"
                            "rule 1.1 \"Breakers\"\n"
                            "  topic small_breakers\n"
                            "  stage design\n"
                            "  for   circuit\n"
                            "  shall breaker at most 20 A\n"
                            "  says  \"At most 20 A.\"\n";

enum { batches = 5, longest = 7 };
static const int lengths[batches] = {3, 0, 7, 1, 0};

/* A host's stream: breakers of 10 A, 11 A, … one a row; every seventh tells none, and `bad` (a row)
 * one that can't be. */
struct host {
    int next;
    int32_t row;
    int32_t bad;
    int fails_at; /* which batch, or -1 */
    int released;
    int32_t values[longest];
    uint8_t told[1];
    const void *buffers[2];
    const void *none[1];
    struct ArrowSchema column;
    struct ArrowSchema *columns[1];
    struct ArrowArray array;
    struct ArrowArray *arrays[1];
    int alive; /* batches that are not released yet */
};

static void keep_schema(struct ArrowSchema *s) {
    s->release = NULL;
}
static void end_batch(struct ArrowArray *a) {
    --((struct host *)a->private_data)->alive;
    a->release = NULL;
}

static int schema_of(struct ArrowArrayStream *stream, struct ArrowSchema *out) {
    struct host *h = stream->private_data;
    memset(out, 0, sizeof *out);
    memset(&h->column, 0, sizeof h->column);
    h->column.format = "i";
    h->column.name = "breaker";
    h->columns[0] = &h->column;
    out->format = "+s";
    out->n_children = 1;
    out->children = h->columns;
    out->release = keep_schema;
    return 0;
}

static int next_batch(struct ArrowArrayStream *stream, struct ArrowArray *out) {
    struct host *h = stream->private_data;
    int i;
    memset(out, 0, sizeof *out);
    EXPECT(h->alive == 0); /* one batch at a time: memory is bounded */
    if (h->next == h->fails_at)
        return EIO;
    if (h->next == batches)
        return 0;
    h->told[0] = 0;
    for (i = 0; i < lengths[h->next]; ++i, ++h->row) {
        h->values[i] = h->row == h->bad ? -1 : 10 + h->row;
        h->told[0] = (uint8_t)(h->told[0] | (h->row % 7 != 6) << i);
    }
    h->buffers[0] = h->told;
    h->buffers[1] = h->values;
    memset(&h->array, 0, sizeof h->array);
    h->array.length = lengths[h->next];
    h->array.null_count = -1;
    h->array.n_buffers = 2;
    h->array.buffers = h->buffers;
    h->arrays[0] = &h->array;
    out->length = lengths[h->next];
    out->n_buffers = 1;
    out->buffers = h->none;
    out->n_children = 1;
    out->children = h->arrays;
    out->release = end_batch;
    out->private_data = h;
    ++h->alive;
    ++h->next;
    return 0;
}

static const char *host_error(struct ArrowArrayStream *stream) {
    (void)stream;
    return "the disk is gone";
}
static void end_host(struct ArrowArrayStream *stream) {
    ++((struct host *)stream->private_data)->released;
    stream->release = NULL;
}

static struct ArrowArrayStream stream_of(struct host *h, int fails_at) {
    struct ArrowArrayStream s = {schema_of, next_batch, host_error, end_host, NULL};
    memset(h, 0, sizeof *h);
    h->bad = -1;
    h->fails_at = fails_at;
    s.private_data = h;
    return s;
}

struct seen {
    int calls;
    uint64_t rows;
    uint64_t faulty;
    char faults[256];
    int stop_after; /* so many calls; 0: never */
};

static int look(const gr_audit_progress *progress, void *user) {
    struct seen *s = user;
    ++s->calls;
    s->rows = progress->rows;
    s->faulty = progress->faulty;
    if (progress->faults.size != 0)
        strncpy(s->faults, progress->faults.data, sizeof s->faults - 1);
    return s->calls == s->stop_after;
}

static gr_audit *audit_of(const gr_book *book) {
    struct host h;
    struct ArrowArrayStream s = stream_of(&h, -1);
    struct ArrowSchema schema;
    gr_audit_options options = GR_AUDIT_OPTIONS_INIT;
    gr_column unit = {{"breaker", 7}, {"circuit.breaker", 15}, {"A", 1}};
    gr_text assume = {"{\"assume\": {\"circuit.work\": \"new\"}}", 35};
    gr_audit *audit = NULL;
    gr_error error;
    options.columns = &unit;
    options.column_count = 1;
    options.assumptions = assume;
    REQUIRE(s.get_schema(&s, &schema) == 0);
    if (gr_audit_open(book, &schema, &options, &audit, &error) != GR_OK)
        fprintf(stderr, "%s\n", error.message);
    REQUIRE(audit != NULL);
    return audit;
}

/* What the rule says of row i. */
static int expected(int i, int bad) {
    return i == bad       ? GR_NO_VERDICT
           : i % 7 == 6   ? GR_UNDETERMINED
           : 10 + i <= 20 ? GR_COMPLIES
                          : GR_VIOLATES;
}

static void verdicts_are_those_of_the_rows(const gr_book *book, size_t at_once, int32_t bad) {
    struct host h;
    struct ArrowArrayStream rows = stream_of(&h, -1);
    struct ArrowArrayStream out;
    struct ArrowSchema schema;
    struct ArrowArray batch;
    struct seen seen = {0};
    gr_audit_stream_options options = GR_AUDIT_STREAM_OPTIONS_INIT;
    gr_audit *audit = audit_of(book);
    gr_error error;
    int row = 0;
    h.bad = bad;
    options.rows_at_once = at_once;
    options.progress = look;
    options.user = &seen;
    REQUIRE(gr_audit_stream(audit, &rows, &options, &out, &error) == GR_OK);
    EXPECT(rows.release == NULL); /* moved */
    gr_audit_free(audit);         /* the stream keeps what it needs */
    REQUIRE(out.get_schema(&out, &schema) == 0);
    EXPECT(schema.n_children == 1);
    EXPECT(strcmp(schema.children[0]->name, "small_breakers") == 0);
    schema.release(&schema);
    for (;;) {
        int64_t i;
        REQUIRE(out.get_next(&out, &batch) == 0);
        if (batch.release == NULL)
            break;
        EXPECT(batch.length > 0);
        EXPECT(at_once == 0 || batch.length <= (int64_t)at_once);
        for (i = 0; i < batch.length; ++i, ++row)
            EXPECT(((const uint8_t *)batch.children[0]->buffers[1])[i] == expected(row, bad));
        EXPECT(seen.rows == (uint64_t)row);
        batch.release(&batch);
    }
    EXPECT(row == 11);
    EXPECT(seen.faulty == (bad < 0 ? 0u : 1u));
    if (bad >= 0) /* counted from the first row of the stream */
        EXPECT(atoi(seen.faults) == bad && strstr(seen.faults, "column breaker") != NULL);
    EXPECT(out.get_next(&out, &batch) == 0 && batch.release == NULL);
    EXPECT(out.get_last_error(&out) == NULL);
    EXPECT(h.released == 0);
    out.release(&out);
    EXPECT(h.released == 1 && h.alive == 0);
}

static void the_caller_can_end_it(const gr_book *book) {
    struct host h;
    struct ArrowArrayStream rows = stream_of(&h, -1);
    struct ArrowArrayStream out;
    struct ArrowArray batch;
    struct seen seen = {0};
    gr_audit_stream_options options = GR_AUDIT_STREAM_OPTIONS_INIT;
    gr_audit *audit = audit_of(book);
    gr_error error;
    seen.stop_after = 2;
    options.rows_at_once = 2;
    options.progress = look;
    options.user = &seen;
    REQUIRE(gr_audit_stream(audit, &rows, &options, &out, &error) == GR_OK);
    REQUIRE(out.get_next(&out, &batch) == 0);
    batch.release(&batch);
    EXPECT(out.get_next(&out, &batch) == ECANCELED);
    EXPECT(out.get_next(&out, &batch) == ECANCELED);
    EXPECT(out.get_last_error(&out) != NULL);
    EXPECT(seen.calls == 2);
    out.release(&out);
    EXPECT(h.released == 1 && h.alive == 0);
    gr_audit_free(audit);
}

static void failures_of_the_host_are_told(const gr_book *book) {
    struct host h;
    struct ArrowArrayStream rows = stream_of(&h, 2);
    struct ArrowArrayStream out;
    struct ArrowArray batch;
    gr_audit *audit = audit_of(book);
    gr_error error;
    REQUIRE(gr_audit_stream(audit, &rows, NULL, &out, &error) == GR_OK);
    REQUIRE(out.get_next(&out, &batch) == 0);
    batch.release(&batch);
    EXPECT(out.get_next(&out, &batch) == EIO);
    REQUIRE(out.get_last_error(&out) != NULL);
    EXPECT(strcmp(out.get_last_error(&out), "the disk is gone") == 0);
    out.release(&out);
    EXPECT(h.released == 1);
    gr_audit_free(audit);
}

static int other_schema(struct ArrowArrayStream *stream, struct ArrowSchema *out) {
    const int status = schema_of(stream, out);
    ((struct host *)stream->private_data)->column.format = "l";
    return status;
}

static void a_stream_of_another_schema_stays_with_the_caller(const gr_book *book) {
    struct host h;
    struct ArrowArrayStream rows = stream_of(&h, -1);
    struct ArrowArrayStream out;
    gr_audit_stream_options unsized = GR_AUDIT_STREAM_OPTIONS_INIT;
    gr_audit *audit = audit_of(book);
    gr_error error;
    rows.get_schema = other_schema;
    EXPECT(gr_audit_stream(audit, &rows, NULL, &out, &error) == GR_BAD_FACTS);
    EXPECT(strstr(error.message, "another schema") != NULL);
    REQUIRE(rows.release != NULL);
    unsized.size = 0;
    EXPECT(gr_audit_stream(audit, &rows, &unsized, &out, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_audit_stream(NULL, &rows, NULL, &out, &error) == GR_BAD_ARGUMENT);
    rows.release(&rows);
    EXPECT(gr_audit_stream(audit, &rows, NULL, &out, &error) == GR_BAD_ARGUMENT);
    EXPECT(h.released == 1);
    gr_audit_free(audit);
}

int main(void) {
    gr_source source = {{"small.rules", 11}, {rules, sizeof rules - 1}};
    gr_book *book = NULL;
    gr_error error;
    if (gr_book_open("small", 5, &source, 1, NULL, &book, &error) != GR_OK)
        fprintf(stderr, "%s\n", error.message);
    REQUIRE(book != NULL);
    verdicts_are_those_of_the_rows(book, 0, -1);
    verdicts_are_those_of_the_rows(book, 1, -1);
    verdicts_are_those_of_the_rows(book, 4, -1);
    verdicts_are_those_of_the_rows(book, 4, 8);
    the_caller_can_end_it(book);
    failures_of_the_host_are_told(book);
    a_stream_of_another_schema_stays_with_the_caller(book);
    gr_book_free(book);
    return failures == 0 ? 0 : 1;
}
