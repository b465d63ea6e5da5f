/* A table of one column in static memory, as a host hands it over: the breakers of circuits, in
 * amperes. */
#ifndef GROUNDRULE_TESTS_ONE_COLUMN_H
#define GROUNDRULE_TESTS_ONE_COLUMN_H

#include <groundrule/groundrule.h>

static const void *buffers[2];
static const void *no_bits[1];
static struct ArrowSchema column_schema, table_schema, *schemas[1] = {&column_schema};
static struct ArrowArray column, table, *arrays[1] = {&column};

static void keep_schema(struct ArrowSchema *schema) {
    schema->release = NULL;
}
static void keep_array(struct ArrowArray *array) {
    array->release = NULL;
}

static void make_table(const double *amperes, int64_t rows) {
    buffers[1] = amperes;
    column_schema.format = "g";
    column_schema.name = "breaker";
    column_schema.release = keep_schema;
    table_schema.format = "+s";
    table_schema.name = "";
    table_schema.n_children = 1;
    table_schema.children = schemas;
    table_schema.release = keep_schema;
    column.length = table.length = rows;
    column.n_buffers = 2;
    column.buffers = buffers;
    column.release = table.release = keep_array;
    table.n_buffers = 1;
    table.buffers = no_bits;
    table.n_children = 1;
    table.children = arrays;
}

#endif
