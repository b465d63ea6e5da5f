/* What changed from one book to another. Since 0.2. The conventions are those of groundrule.h,
 * which includes this header. */
#ifndef GROUNDRULE_COMPARISON_H
#define GROUNDRULE_COMPARISON_H

#include <groundrule/groundrule.h>

#ifdef __cplusplus
extern "C" {
#endif

/* What changed from one book to another. It keeps what it needs of both books alive, and belongs to
 * one thread at a time. */
typedef struct gr_comparison gr_comparison;

/* Compares requirement by requirement, matched by topic: scope, limits, table cells, exceptions,
 * listed parts and messages, whatever the files look like. Fails: status GR_BAD_ARGUMENT,
 * memory. Owns: caller. Threads: any. Since 0.2. */
GR_API GR_CHECK gr_status gr_compare_books(const gr_book *before, const gr_book *after,
                                           gr_comparison **out, gr_error *error) GR_NOEXCEPT;

/* Fails: never. Threads: one. Since 0.2. */
GR_API void gr_comparison_free(gr_comparison *comparison) GR_NOEXCEPT;

/* Checks a job (a JSON document, docs/jobs.md) against both books and adds to the comparison
 * which findings change. `name` is how the job is called in the result. After a failure the
 * comparison is as it was before the call. Fails: status GR_BAD_FACTS (for either book), memory.
 * Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_comparison_add_job(gr_comparison *comparison, const char *json,
                                                size_t size, const char *name, size_t name_size,
                                                gr_error *error) GR_NOEXCEPT;

/* 1: the books say the same, and no job had a finding that changed. Fails: never. Threads: one.
 * Since 0.2. */
GR_API int gr_comparison_same(const gr_comparison *comparison) GR_NOEXCEPT;

/* As GR_JSON or GR_PLAIN. Borrowed until the next gr_comparison_render of this comparison, or
 * until it is freed. Fails: status GR_BAD_ARGUMENT, memory. Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_comparison_render(gr_comparison *comparison, int format, gr_text *out,
                                               gr_error *error) GR_NOEXCEPT;

#ifdef __cplusplus
} /* extern "C" */
#endif

#endif /* GROUNDRULE_COMPARISON_H */
