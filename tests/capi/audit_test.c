/* A table of receptacles through the C API: told columns, misfits before the first row, verdicts of
 * all rows, rows that contradict themselves, one row explained. The table is invented. */
#include "expect.h"

#include "groundrule/groundrule.h"

#include <stdlib.h>
#include <string.h>

enum { rows = 5 };

/* Indices into the texts below; the fourth receptacle tells no place. */
static const int8_t location[rows] = {0, 0, 1, 0, 0};
static const uint8_t location_told[1] = {0x17};
static const int32_t location_offsets[] = {0, 6, 14};
static const char location_texts[] = "garageoutdoors";
static const uint8_t protection[rows] = {0, 1, 1, 1, 0};
static const int32_t protection_offsets[] = {0, 4, 11};
static const char protection_texts[] = "noneclass_a";
/* The last two columns tell voltages; the last row's contradict: 120 V to ground of a 208 V supply.
 */
static const int64_t to_ground[rows] = {120, 120, 120, 120, 120};
static const double rated[rows] = {125, 125, 125, 125, -125};

static struct ArrowSchema schemas[8];
static struct ArrowArray arrays[8];
static const void *buffers[8][3];

/* The table lies in static memory. Every schema and array has to have a `release` all the same. */
static void release_schema(struct ArrowSchema *schema) {
    schema->release = NULL;
}

static void release_array(struct ArrowArray *array) {
    array->release = NULL;
}

static void column(int i, const char *name, const char *format, const void *told,
                   const void *values) {
    schemas[i].format = format;
    schemas[i].name = name;
    arrays[i].length = rows;
    arrays[i].null_count = told == NULL ? 0 : -1;
    arrays[i].n_buffers = 2;
    buffers[i][0] = told;
    buffers[i][1] = values;
    arrays[i].buffers = buffers[i];
}

static void texts(int i, int of, const int32_t *offsets, int count, const char *data) {
    schemas[i].format = "u";
    schemas[i].name = "";
    arrays[i].length = count;
    arrays[i].n_buffers = 3;
    buffers[i][0] = NULL;
    buffers[i][1] = offsets;
    buffers[i][2] = data;
    arrays[i].buffers = buffers[i];
    schemas[of].dictionary = &schemas[i];
    arrays[of].dictionary = &arrays[i];
}

static gr_text text(const char *s) {
    gr_text t;
    t.data = s;
    t.size = strlen(s);
    return t;
}

/* How many findings of a rule lack a fact, or lack nothing else, one row after the other. */
static uint64_t lacking(const gr_audit *audit, const struct ArrowArray *batch,
                        gr_missing_fact wanted, int alone) {
    gr_error error;
    uint64_t count = 0;
    for (size_t row = 0; row + 1 < rows; ++row) {
        gr_job *job = NULL;
        gr_report *report = NULL;
        EXPECT(gr_audit_job(audit, batch, row, &job, &error) == GR_OK);
        EXPECT(gr_check(job, NULL, &report, &error) == GR_OK);
        for (size_t f = 0; f < gr_report_count(report); ++f) {
            gr_finding finding = GR_FINDING_INIT;
            int lacks = 0;
            int other = 0;
            EXPECT(gr_report_finding(report, f, &finding, &error) == GR_OK);
            if (strcmp(finding.topic.data, wanted.topic.data) != 0)
                continue;
            for (size_t k = 0; k < gr_report_missing_count(report, f); ++k) {
                gr_missing missing = GR_MISSING_INIT;
                EXPECT(gr_report_missing(report, f, k, &missing, &error) == GR_OK);
                if (strcmp(missing.kind.data, wanted.kind.data) == 0 &&
                    strcmp(missing.fact.data, wanted.fact.data) == 0)
                    lacks = 1;
                else
                    other = 1;
            }
            count += lacks && !(alone && other);
        }
        gr_report_free(report);
        gr_job_free(job);
    }
    return count;
}

int main(void) {
    struct ArrowSchema table = {0};
    struct ArrowArray batch = {0};
    struct ArrowSchema *schema_children[4] = {&schemas[0], &schemas[1], &schemas[2], &schemas[3]};
    struct ArrowArray *array_children[4] = {&arrays[0], &arrays[1], &arrays[2], &arrays[3]};
    const void *no_bits = NULL;
    gr_error error;
    gr_book *book = NULL;
    gr_audit *audit = NULL;
    gr_audit_options options = GR_AUDIT_OPTIONS_INIT;
    gr_column units[2];
    struct ArrowSchema verdict_schema;
    struct ArrowArray verdicts;
    gr_job *job = NULL;
    gr_report *report = NULL;
    size_t faulty = 99;
    int64_t i;
    int64_t found = -1;

    column(0, "location", "c", location_told, location);
    column(1, "gfci", "C", NULL, protection);
    column(2, "circuit.voltage_to_ground", "l", NULL, to_ground);
    column(3, "rated_voltage", "g", NULL, rated);
    texts(4, 0, location_offsets, 2, location_texts);
    texts(5, 1, protection_offsets, 2, protection_texts);
    table.format = "+s";
    table.release = release_schema;
    table.n_children = 4;
    table.children = schema_children;
    batch.length = rows;
    batch.n_buffers = 1;
    batch.release = release_array;
    batch.buffers = &no_bits;
    batch.n_children = 4;
    batch.children = array_children;

    EXPECT(gr_book_open("nec-2020", 8, NULL, 0, NULL, &book, &error) == GR_OK);

    /* Told before the first row: a unit that is missing, a name that is not known. */
    options.item = text("receptacle");
    EXPECT(gr_audit_open(book, &table, &options, &audit, &error) == GR_BAD_FACTS);
    EXPECT(strstr(error.message, "which unit") != NULL);
    schemas[3].name = "rated_voltag";
    EXPECT(gr_audit_open(book, &table, &options, &audit, &error) == GR_BAD_FACTS);
    EXPECT(strstr(error.message, "rated_voltage") != NULL);
    schemas[3].name = "rated_voltage";

    units[0].column = text("circuit.voltage_to_ground");
    units[0].fact = text("circuit.voltage_to_ground");
    units[0].unit = text("V");
    units[1].column = text("rated_voltage");
    units[1].fact = text("receptacle.rated_voltage");
    units[1].unit = text("V");
    options.columns = units;
    options.column_count = 2;
    options.assumptions = text("{\"assume\": {\"receptacle.work\": \"new\", \"job.occupancy\": "
                               "\"one_family_dwelling\", \"circuit.phases\": 1, "
                               "\"receptacle.serves\": \"vehicle_charging\"}}");
    options.threads = 2;
    options.count_missing = 1;
    if (gr_audit_open(book, &table, &options, &audit, &error) != GR_OK) {
        fprintf(stderr, "%s\n", error.message);
        return 1;
    }
    EXPECT(gr_audit_schema(audit, &verdict_schema, &error) == GR_OK);
    EXPECT(strcmp(verdict_schema.format, "+s") == 0);
    for (i = 0; i < verdict_schema.n_children; ++i) {
        if (strcmp(verdict_schema.children[i]->name, "dwelling_receptacle_gfci") == 0)
            found = i;
    }
    EXPECT(found >= 0);
    verdict_schema.release(&verdict_schema);

    EXPECT(gr_audit_batch(audit, &batch, &verdicts, &faulty, &error) == GR_OK);
    EXPECT(verdicts.length == rows);
    EXPECT(faulty == 1);
    EXPECT(strncmp(gr_audit_faults(audit).data, "4 column rated_voltage", 22) == 0);
    {
        /* A garage without protection, with it, the outdoors with it, somewhere with it, no row. */
        const uint8_t *v = verdicts.children[found]->buffers[1];
        EXPECT(v[0] == GR_VIOLATES);
        EXPECT(v[1] == GR_COMPLIES);
        EXPECT(v[2] == GR_COMPLIES);
        EXPECT(v[3] == GR_COMPLIES);
        EXPECT(v[4] == GR_NO_VERDICT);
    }
    /* What is missing is what each row's findings lack, for all rows but the last, which has none.
     */
    EXPECT(gr_audit_missing_count(audit) > 10);
    for (size_t m = 0; m < gr_audit_missing_count(audit); ++m) {
        gr_missing_fact told = GR_MISSING_FACT_INIT;
        EXPECT(gr_audit_missing(audit, m, &told, &error) == GR_OK);
        EXPECT(told.verdicts == lacking(audit, &batch, told, 0));
        EXPECT(told.alone == lacking(audit, &batch, told, 1));
    }
    EXPECT(gr_audit_missing(audit, gr_audit_missing_count(audit),
                            &(gr_missing_fact)GR_MISSING_FACT_INIT, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_audit_job(audit, &batch, 0, &job, &error) == GR_OK);
    EXPECT(gr_audit_job(audit, &batch, rows, &job, &error) == GR_BAD_FACTS);
    gr_audit_free(audit);
    gr_book_free(book);
    EXPECT(gr_check(job, NULL, &report, &error) == GR_OK);
    EXPECT(gr_report_exit_status(report, 0) == 1);
    gr_report_free(report);
    gr_job_free(job);

    /* A consumer may move a column out of its table. */
    {
        struct ArrowArray moved = *verdicts.children[found];
        verdicts.children[found]->release = NULL;
        verdicts.release(&verdicts);
        EXPECT(((const uint8_t *)moved.buffers[1])[0] == GR_VIOLATES);
        moved.release(&moved);
    }
    EXPECT(gr_audit_open(NULL, &table, NULL, &audit, &error) == GR_BAD_ARGUMENT);
    gr_audit_free(NULL);
    return failures == 0 ? 0 : 1;
}
