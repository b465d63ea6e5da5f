/* A table of a hundred thousand circuits in Arrow columns (C99), checked batch by batch with as
 * many threads as are asked for; a progress function could end it. A program with an Arrow library
 * hands over that library's structs instead of the ones made here. All rows are invented.
 *
 *   cc bulk_audit.c $(pkg-config --cflags --libs groundrule) -o bulk_audit
 */
#include <groundrule/groundrule.h>

#include <stdio.h>
#include <string.h>

enum { rows = 100000, columns = 2 };

static double breaker[rows];   /* amperes */
static double to_ground[rows]; /* volts */

static void keep_schema(struct ArrowSchema *schema) {
    schema->release = NULL; /* all of it lies in static memory */
}
static void keep_array(struct ArrowArray *array) {
    array->release = NULL;
}

/* A column of numbers, none of them unknown. */
static void describe(struct ArrowSchema *schema, struct ArrowArray *array, const char *name,
                     const void **buffers) {
    memset(schema, 0, sizeof *schema);
    schema->format = "g"; /* float64 */
    schema->name = name;
    schema->release = keep_schema;
    memset(array, 0, sizeof *array);
    array->length = rows;
    array->n_buffers = 2;
    array->buffers = buffers;
    array->release = keep_array;
}

int main(void) {
    static const void *buffers[columns][2] = {{NULL, breaker}, {NULL, to_ground}};
    static const void *no_bits[1] = {NULL};
    struct ArrowSchema schemas[columns], *schema_of[columns] = {&schemas[0], &schemas[1]};
    struct ArrowArray arrays[columns], *array_of[columns] = {&arrays[0], &arrays[1]};
    struct ArrowSchema table;
    struct ArrowArray batch, verdicts;
    const gr_column units[columns] = {
        {{"breaker", 7}, {"circuit.breaker", 15}, {"A", 1}},
        {{"to_ground", 9}, {"circuit.voltage_to_ground", 25}, {"V", 1}}};
    gr_audit_options options = GR_AUDIT_OPTIONS_INIT;
    gr_book *book = NULL;
    gr_audit *audit = NULL;
    gr_error error;
    size_t faulty = 0, violated = 0, complies = 0;

    for (int i = 0; i < rows; ++i) {
        breaker[i] = i % 3 == 0 ? 17 : 20;
        to_ground[i] = 120;
    }
    describe(&schemas[0], &arrays[0], "breaker", buffers[0]);
    describe(&schemas[1], &arrays[1], "to_ground", buffers[1]);
    describe(&table, &batch, "", NULL);
    table.format = "+s"; /* a struct of columns: a table */
    table.n_children = batch.n_children = columns;
    table.children = schema_of;
    batch.children = array_of;
    batch.n_buffers = 1;
    batch.buffers = no_bits;
    options.columns = units;
    options.column_count = columns;
    options.ignore_unknown_columns = 1;
    options.threads = 2;

    gr_status status = gr_book_open("nec-2020", 8, NULL, 0, NULL, &book, &error);
    if (status == GR_OK)
        status = gr_audit_open(book, &table, &options, &audit, &error);
    if (status == GR_OK)
        status = gr_audit_batch(audit, &batch, &verdicts, &faulty, &error);
    if (status == GR_OK) {
        for (int64_t k = 0; k < verdicts.n_children; ++k) {
            const struct ArrowArray *rule = verdicts.children[k];
            if (rule->n_children != 0)
                continue; /* on items of a list; a row of this table has none */
            const unsigned char *verdict = rule->buffers[1];
            for (int64_t i = 0; i < rule->length; ++i) {
                violated += verdict[i] == GR_VIOLATES;
                complies += verdict[i] == GR_COMPLIES;
            }
        }
        printf("%d rows, %u without verdicts, %u times violated, %u complied\n", rows,
               (unsigned)faulty, (unsigned)violated, (unsigned)complies);
        verdicts.release(&verdicts);
    } else {
        fprintf(stderr, "%s\n", error.message);
    }
    gr_audit_free(audit);
    gr_book_free(book);
    return status == GR_OK ? 0 : 1;
}
