/* One book over many rows: an Arrow table in, verdicts out. Since 0.2. The conventions are those of
 * groundrule.h, which includes this header; docs/audits.md tells how a table is read. */
#ifndef GROUNDRULE_AUDIT_H
#define GROUNDRULE_AUDIT_H

#include <groundrule/arrow_abi.h>
#include <groundrule/groundrule.h>

#ifdef __cplusplus
extern "C" {
#endif

/* A table layout made ready for one book. Belongs to one thread at a time; it uses threads of its
 * own if told to. Keeps what it needs of its book alive. */
typedef struct gr_audit gr_audit;

/* What a column tells. Names of columns in structs and lists are joined by points. */
typedef struct gr_column {
    gr_text column;
    gr_text fact; /* "circuit.breaker" */
    gr_text unit; /* of its numbers: "A", "ft"; empty where the fact has none or the column holds
                     texts with units */
} gr_column;

typedef struct gr_audit_options {
    size_t size;              /* sizeof(gr_audit_options) */
    gr_text item;             /* what a row of the table is; empty: "circuit" */
    const gr_column *columns; /* beyond those that bear the name of their fact */
    size_t column_count;
    const gr_text *complete; /* lists that the table holds whole: "circuit.receptacles" */
    size_t complete_count;
    gr_text assumptions;           /* a JSON document as for gr_job_assume_json, or empty */
    const char *stage;             /* as in gr_check_options */
    uint32_t threads;              /* how many to use; 0 means 1 */
    int ignore_unknown_columns;    /* 0: a column that names no fact is an error */
    gr_progress_function progress; /* of each batch, also of a stream's: rows; NULL: not called */
    void *user;
    int count_missing;    /* 1: gr_audit_missing tells what is missing */
    int read_all_columns; /* 1: also columns that no rule needs are looked at */
} gr_audit_options;

#define GR_AUDIT_OPTIONS_INIT                                                                      \
    {                                                                                              \
        sizeof(gr_audit_options), {NULL, 0}, NULL, 0, NULL, 0, {NULL, 0}, NULL, 1, 0, NULL, NULL,  \
            0, 0                                                                                   \
    }

/* `schema` describes a table: a struct of columns, each a fact by its name or by `options`. A
 * fact of the row's own item is named bare ("breaker"), one of an item above or of a single item
 * below behind its item's name ("panel.rating"); a list of structs bears the name of a list
 * ("runs"). Numbers of any width, booleans, texts (plain, large, view) and dictionaries of texts
 * are read; null is unknown. A name, type or unit that does not fit is an error here, before the
 * first row. The schema stays the caller's. `options` may be NULL. Fails: status GR_BAD_FACTS,
 * GR_BAD_ARGUMENT, memory. Owns: caller. Threads: any. Since 0.2. */
GR_API GR_CHECK gr_status gr_audit_open(const gr_book *book, const struct ArrowSchema *schema,
                                        const gr_audit_options *options, gr_audit **out,
                                        gr_error *error) GR_NOEXCEPT;

/* Fails: never. Threads: one. Since 0.2. */
GR_API void gr_audit_free(gr_audit *audit) GR_NOEXCEPT;

/* What gr_audit_batch gives: a struct of one column for each rule, in the order of the book,
 * named by the rule's topic, with "citation", "title" and "item" in its metadata. A rule on the
 * rows of the table has a uint8 a row; one on items of a list a list of them. The caller releases
 * it. Fails: status GR_BAD_ARGUMENT, memory. Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_audit_schema(const gr_audit *audit, struct ArrowSchema *out,
                                          gr_error *error) GR_NOEXCEPT;

/* Verdicts of all rows: a gr_verdict each, or GR_NO_VERDICT for a row whose facts contradict
 * each other or can't be; columns that no rule needs are looked at only with `read_all_columns`.
 * Columns are read where
 * they stand; the array stays the caller's and must be as its schema said. `*faulty` (may be
 * NULL) is set to the number of rows without verdicts. The caller releases `out`, which may
 * outlive the audit. The same bytes whatever the number of threads. Fails: status GR_BAD_FACTS,
 * GR_BAD_ARGUMENT, GR_CANCELLED, memory. Threads: one. Since 0.2. */
#define GR_NO_VERDICT 4
GR_API GR_CHECK gr_status gr_audit_batch(gr_audit *audit, const struct ArrowArray *rows,
                                         struct ArrowArray *out, size_t *faulty,
                                         gr_error *error) GR_NOEXCEPT;

/* Why rows of the last batch have no verdicts: a line for each of the first hundred, the row's
 * number (from 0), a blank, the cause. Borrowed until the next batch or until the audit is
 * freed. Fails: never. Threads: one. Since 0.2. */
GR_API gr_text gr_audit_faults(const gr_audit *audit) GR_NOEXCEPT;

/* A fact that undetermined verdicts of a rule lack. Texts are borrowed as those of
 * gr_audit_missing. */
typedef struct gr_missing_fact {
    size_t size;   /* sizeof(gr_missing_fact): start from GR_MISSING_FACT_INIT */
    gr_text topic; /* of the rule */
    gr_text fact;  /* as in gr_missing, as the next two are */
    gr_text kind;
    gr_text question;
    uint64_t verdicts; /* how many lack it */
    uint64_t alone;    /* how many of them lack nothing else */
} gr_missing_fact;

#define GR_MISSING_FACT_INIT                                                                       \
    { sizeof(gr_missing_fact), {NULL, 0}, {NULL, 0}, {NULL, 0}, {NULL, 0}, 0, 0 }

/* What is missing in the rows of the last batch, counted over all of them, if `count_missing` was
 * set: one for each rule and fact, in the order of the book. The same as the findings of each row
 * tell, however many there are. Fails: never. Threads: one. Since 0.2. */
GR_API size_t gr_audit_missing_count(const gr_audit *audit) GR_NOEXCEPT;

/* Borrowed until the next batch or until the audit is freed. Fails: status GR_BAD_ARGUMENT.
 * Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_audit_missing(const gr_audit *audit, size_t index,
                                           gr_missing_fact *out, gr_error *error) GR_NOEXCEPT;

/* How far a stream has come. */
typedef struct gr_audit_progress {
    size_t size;     /* sizeof(gr_audit_progress) of the library: it may be larger than here */
    uint64_t rows;   /* that have verdicts by now, or none because of a fault */
    uint64_t faulty; /* the latter */
    gr_text faults;  /* of the last batch, as gr_audit_faults; borrowed during the call */
} gr_audit_progress;

typedef struct gr_audit_stream_options {
    size_t size;         /* sizeof(gr_audit_stream_options) */
    size_t rows_at_once; /* longest batch of verdicts; 0: 65,536 */
    /* Called after each batch of verdicts, by the thread that asked for it. Not 0 ends the stream:
     * that get_next and all later ones give ECANCELED, as they do when the audit's own progress
     * function ends a batch. NULL: not called. */
    int (*progress)(const gr_audit_progress *progress, void *user);
    void *user;
} gr_audit_stream_options;

#define GR_AUDIT_STREAM_OPTIONS_INIT                                                               \
    { sizeof(gr_audit_stream_options), 0, NULL, NULL }

/* Rows in and verdicts out as Arrow streams: each get_next of `out` pulls rows, at most
 * `rows_at_once` of them, and gives their verdicts as gr_audit_batch does, so memory does not
 * grow with the table. `rows` must have the schema that the audit was opened with; it is moved
 * from (its `release` becomes NULL) if the call succeeds, and released with `out`. Batches
 * longer than `rows_at_once` are taken in parts, empty ones passed over. Rows in
 * gr_audit_faults, which tells of the stream's last batch, count from the first row of the
 * stream. get_next gives EINVAL for rows that are not as their schema says, else the errno value
 * of `rows`; get_last_error tells why. The stream keeps what it needs of the audit alive; the
 * two belong to one thread at a time. Releasing it early is allowed. `options` may be NULL.
 * Fails: status GR_BAD_FACTS (another schema, or `rows` fails to tell it), GR_BAD_ARGUMENT,
 * memory. Owns: caller (release). Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_audit_stream(gr_audit *audit, struct ArrowArrayStream *rows,
                                          const gr_audit_stream_options *options,
                                          struct ArrowArrayStream *out,
                                          gr_error *error) GR_NOEXCEPT;

/* One row as a job, with the audit's assumptions: gr_check explains its findings. Fails: status
 * GR_BAD_FACTS, GR_BAD_ARGUMENT, memory. Owns: caller. Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_audit_job(const gr_audit *audit, const struct ArrowArray *rows,
                                       size_t row, gr_job **out, gr_error *error) GR_NOEXCEPT;

#ifdef __cplusplus
} /* extern "C" */
#endif

#endif /* GROUNDRULE_AUDIT_H */
