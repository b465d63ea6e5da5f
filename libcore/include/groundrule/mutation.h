/* How firmly tests hold their rules: small changes to the rules that no test notices. Since 0.2.
 * The conventions are those of groundrule.h, which includes this header; docs/mutation.md tells
 * which changes are made. */
#ifndef GROUNDRULE_MUTATION_H
#define GROUNDRULE_MUTATION_H

#include <groundrule/groundrule.h>

#ifdef __cplusplus
extern "C" {
#endif

/* What became of the mutants of a book. It needs its book no longer, and belongs to one
 * thread at a time. */
typedef struct gr_mutation gr_mutation;

typedef struct gr_mutation_options {
    size_t size;      /* sizeof(gr_mutation_options) */
    gr_text file;     /* only what stands in the file of this name is changed; empty: whatever the
                         topmost layer says, or of an edition alone all of it */
    uint32_t threads; /* how many to use; 0 means 1. They change nothing but the time */
    gr_progress_function progress; /* of rules whose tests are through; NULL: not called */
    void *user;
} gr_mutation_options;

#define GR_MUTATION_OPTIONS_INIT                                                                   \
    { sizeof(gr_mutation_options), {NULL, 0}, 1, NULL, NULL }

/* A mutant that lived: no test fails once `from` is read as `to`. Line and column count from 1. */
typedef struct gr_survivor {
    size_t size; /* sizeof(gr_survivor): start from GR_SURVIVOR_INIT */
    gr_text file;
    uint32_t line;
    uint32_t column;
    gr_text subject; /* "rule 210.8(A) (dwelling_receptacle_gfci)", "table 310.16" */
    gr_text kind;    /* "limit", "comparison", "table cell", … */
    gr_text from;
    gr_text to;
} gr_survivor;

#define GR_SURVIVOR_INIT                                                                           \
    {                                                                                              \
        sizeof(gr_survivor), {NULL, 0}, 0, 0, {NULL, 0}, {NULL, 0}, {NULL, 0}, {                   \
            NULL, 0                                                                                \
        }                                                                                          \
    }

/* Makes the mutants one after another and runs the tests beside the rules on each until one
 * fails. Those tests are the topmost layer's. The work is bounded by the number of mutants times
 * that of the cases of the rules that read the place. `options` may be NULL. Fails: status
 * GR_BAD_RULES (a test fails without a change, or is at fault: gr_book_test tells which),
 * GR_BAD_ARGUMENT (the book has no such file), GR_CANCELLED, memory. Owns: caller. Threads: any.
 * Since 0.2. */
GR_API GR_CHECK gr_status gr_mutate(const gr_book *book, const gr_mutation_options *options,
                                    gr_mutation **out, gr_error *error) GR_NOEXCEPT;

/* Fails: never. Threads: one. Since 0.2. */
GR_API void gr_mutation_free(gr_mutation *mutation) GR_NOEXCEPT;

/* How many were made, and how many of them some test noticed; the others are the survivors.
 * Fails: never. Threads: one. Since 0.2. */
GR_API size_t gr_mutation_mutants(const gr_mutation *mutation) GR_NOEXCEPT;
GR_API size_t gr_mutation_killed(const gr_mutation *mutation) GR_NOEXCEPT;

/* Survivors in the order of their places, from 0. Texts are borrowed until the mutation is
 * freed. Fails: status GR_BAD_ARGUMENT. Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_mutation_survivor(const gr_mutation *mutation, size_t index,
                                               gr_survivor *out, gr_error *error) GR_NOEXCEPT;

/* As GR_JSON or GR_PLAIN. Borrowed until the next gr_mutation_render of this mutation, or until
 * it is freed. Fails: status GR_BAD_ARGUMENT, memory. Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_mutation_render(gr_mutation *mutation, int format, gr_text *out,
                                             gr_error *error) GR_NOEXCEPT;

#ifdef __cplusplus
} /* extern "C" */
#endif

#endif /* GROUNDRULE_MUTATION_H */
