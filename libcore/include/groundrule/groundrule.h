/* Groundrule: checks of electrical installations against a code edition and its amendments.
 *
 * Conventions, stated once:
 *
 *  1. Handles (gr_book, gr_job, gr_report) are opaque. Each is freed by its own gr_…_free, which
 * takes NULL.
 *  2. Text is UTF-8, passed as pointer and length in bytes; it need not end in a zero. Text that
 * comes back through a gr_text ends in a zero that its length does not count.
 *  3. Every call that can fail returns a gr_status and takes a gr_error *, which may be NULL. On
 * failure out-parameters are left as they were. Each declaration says: Fails: never | memory |
 * status (and which).
 *  4. Ownership: "Owns: caller" means that the caller frees the result; "borrowed until …" names
 * the handle and call up to which a pointer stays good. Jobs and reports keep what they need of
 * their book alive: handles may be freed in any order.
 *  5. Threads: "any" says that any number of threads may call at once, with the same handle; a
 * gr_book is immutable. "one" says that the handles of the call belong to one thread at a time.
 * Nothing here is global but what host.h sets; no call reads the environment, the clock or a file.
 *  6. Structs of options, and those that a call fills in, carry their size, so that they can grow;
 * start from GR_…_INIT. What an older caller does not know is as before; zero always means that.
 *  7. Truths are int: 0 or 1. A verdict is a gr_verdict. Units stand where a number has one.
 *  8. A null pointer, a handle of another kind, a struct of a wrong size and text that is cut off
 * are answered with GR_BAD_ARGUMENT, or with nothing by a call that can't fail. So is a freed
 * handle as long as its memory went to nobody else; beyond that nothing can be told of it.
 *  9. "Since" names the version that brought a function. docs/embedding.md says what is promised.
 *
 * adoption.h (which book applies at a place), answers.h (why a finding is what it is, what to ask
 * next, what would pass), audit.h (a table of many), comparison.h (what changed between two books),
 * host.h (memory and a log of the host's) and mutation.h (what the tests of a book do not pin) go
 * by the same conventions and come with this header.
 *
 * Findings inform licensed work and never replace it: the locally adopted code and the authority
 * having jurisdiction decide.
 */
#ifndef GROUNDRULE_H
#define GROUNDRULE_H

#include <stddef.h>
#include <stdint.h>

#if defined(_WIN32)
#define GR_API __declspec(dllexport)
#elif defined(__GNUC__)
#define GR_API __attribute__((visibility("default")))
#else
#define GR_API
#endif

#if defined(__GNUC__)
#define GR_CHECK __attribute__((warn_unused_result))
#else
#define GR_CHECK
#endif

#ifdef __cplusplus
#define GR_NOEXCEPT noexcept
extern "C" {
#else
#define GR_NOEXCEPT
#endif

typedef struct gr_book gr_book;
typedef struct gr_job gr_job;
typedef struct gr_report gr_report;

typedef enum gr_status {
    GR_OK = 0,
    GR_BAD_RULES = 1, /* rule text is at fault, or no such book */
    GR_BAD_FACTS = 2, /* a job or an assumption is at fault, or contradicts itself */
    GR_BAD_ARGUMENT =
        3, /* the caller is at fault: a null pointer, an unknown name, a row that does not exist */
    GR_NO_MEMORY = 4,
    GR_INTERNAL = 5, /* the library is at fault; please report it */
    GR_CANCELLED = 6 /* the caller's progress function ended the work */
} gr_status;

/* How far long work has come. Since 0.2. */
typedef struct gr_progress {
    size_t size;   /* sizeof(gr_progress) of the library: it may be larger than here */
    uint64_t done; /* in the work's own units, which its options name; never falls */
    uint64_t of;   /* that there are at most */
} gr_progress;

/* What options of long work name, to be called after each step (some thousand rows, a mutant, a job
 * that is tried: micro- or milliseconds) by the thread that made the call. It may not throw, jump
 * out or use the handles of the call. Anything but 0 ends the work: the call then fails with
 * GR_CANCELLED, and what it would have set is as it was. Since 0.2. */
typedef int (*gr_progress_function)(const gr_progress *progress, void *user);

typedef enum gr_verdict {
    GR_COMPLIES = 0,
    GR_VIOLATES = 1,
    GR_NOT_APPLICABLE = 2,
    GR_UNDETERMINED = 3
} gr_verdict;

/* The first fault. `message` holds the whole list of faults as a person reads it (file, line, the
 * line itself, the fault underlined), cut at its size if need be. line and column count from 1; 0
 * if the fault is in no file. */
typedef struct gr_error {
    gr_status status;
    uint32_t line;
    uint32_t column;
    char code[32];
    char file[256];
    char message[4096];
} gr_error;

/* A text that the library owns. Borrowed until its owner is freed or, where said so, until the next
 * call. */
typedef struct gr_text {
    const char *data;
    size_t size;
} gr_text;

/* "0.2.0". Fails: never. Threads: any. Since 0.1. */
GR_API const char *gr_version(void) GR_NOEXCEPT;

/* --- books
 * ----------------------------------------------------------------------------------------------------------
 */

/* A rule file of the caller's: its name is shown in messages only. */
typedef struct gr_source {
    gr_text name;
    gr_text text;
} gr_source;

typedef struct gr_book_options {
    size_t size; /* sizeof(gr_book_options) */
    /* Zero-terminated "2021-07-01": amendments that are not in force on this day are left out, and
     * the book's description names them. NULL: every layer that the name asks for is in force. */
    const char *on;
    /* Bounds that are narrower than the library's own, of which docs/embedding.md has a list; 0:
     * those. What is larger is refused with "too-large". */
    size_t most_source_bytes; /* of all sources together */
    size_t most_job_bytes;    /* of a JSON document for this book */
    size_t most_items;        /* of a job for this book, the job itself counted */
} gr_book_options;

#define GR_BOOK_OPTIONS_INIT                                                                       \
    { sizeof(gr_book_options), NULL, 0, 0, 0 }

/* Opens a book by name: an edition and its layers in order, "nec-2017+tia-17-2". The shipped
 * editions are inside the library; `sources` (may be NULL if count is 0) brings further files,
 * for example a city's amendment. A printed book (gr_book_show) among them is opened by its
 * source name. `options` may be NULL. Fails: status GR_BAD_RULES, GR_BAD_ARGUMENT (a date of no
 * calendar), memory. Owns: caller. Threads: any. Since 0.1. */
GR_API GR_CHECK gr_status gr_book_open(const char *name, size_t name_size, const gr_source *sources,
                                       size_t count, const gr_book_options *options, gr_book **out,
                                       gr_error *error) GR_NOEXCEPT;

/* Fails: never. Threads: one. Since 0.1. */
GR_API void gr_book_free(gr_book *book) GR_NOEXCEPT;

/* Name, and the SHA-256 of the book's meaning in hexadecimal, made at the first call and empty if
 * memory runs out then. Borrowed until the book is freed. Fails: never. Threads: any. Since 0.1. */
GR_API gr_text gr_book_name(const gr_book *book) GR_NOEXCEPT;
GR_API gr_text gr_book_digest(const gr_book *book) GR_NOEXCEPT;

/* A book described as JSON: layers, items with their fields and choices, rules with citation,
 * topic, title and lineage (under which number the same requirement stands in which edition), what
 * is not encoded. Made at the first call; empty if memory runs out then. Borrowed until the book is
 * freed. Fails: never. Threads: any. Since 0.1. */
GR_API gr_text gr_book_describe(const gr_book *book) GR_NOEXCEPT;

/* The facts of a job for this book as a JSON Schema (draft 2020-12). Made at the first call;
 * empty if memory runs out then. Borrowed until the book is freed. Fails: never. Threads: any.
 * Since 0.1. */
GR_API gr_text gr_book_schema(const gr_book *book) GR_NOEXCEPT;

/* Text that a call made for the caller. */
typedef struct gr_document gr_document;

typedef enum gr_show {
    GR_SHOW_BOOK = 0,   /* the whole book as one rule file: every layer's text as it takes effect,
                           with   the layer behind it; passed to gr_book_open as a source and named by
                           its   source name, it opens as the same book */
    GR_SHOW_CHANGES = 1 /* what each layer changed, from what to what, as text */
} gr_show;

/* The text of a rule by its topic or number, or of all rules below a number ("230.70"), with its
 * digests and its lineage: under which number the same requirement stands in which edition.
 * Fails: status GR_BAD_ARGUMENT (no such rule: "unknown-rule"), memory. Owns: caller. Threads: any.
 * Since 0.2. */
GR_API GR_CHECK gr_status gr_book_describe_rule(const gr_book *book, const char *name, size_t size,
                                                gr_document **out, gr_error *error) GR_NOEXCEPT;

/* Prints a book. Fails: status GR_BAD_ARGUMENT (no such kind), memory. Owns: caller. Threads:
 * any. Since 0.1. */
GR_API GR_CHECK gr_status gr_book_show(const gr_book *book, int what, gr_document **out,
                                       gr_error *error) GR_NOEXCEPT;

/* Runs the tests that stand beside the rules. `*report` is set to the outcome as text: a line
 * for each failure, then the counts; `*failed` to the number of failures. Borrowed until the
 * next gr_book_test or until the book is freed; for this one call the book belongs to one
 * thread. Fails: status, memory. Threads: one. Since 0.1. */
GR_API GR_CHECK gr_status gr_book_test(gr_book *book, gr_text *report, size_t *failed,
                                       gr_error *error) GR_NOEXCEPT;

/* Names of the shipped editions and amendments, separated by newlines. Borrowed for ever. Fails:
 * never. Threads: any. Since 0.1. */
GR_API const char *gr_shipped_editions(void) GR_NOEXCEPT;
GR_API const char *gr_shipped_amendments(void) GR_NOEXCEPT;
/* Places whose adoption ships, likewise. Borrowed for ever. Fails: never. Threads: any. Since 0.2.
 */
GR_API const char *gr_shipped_adoptions(void) GR_NOEXCEPT;

/* --- rule text
 * ------------------------------------------------------------------------------------------------------
 */

/* Borrowed until the document is freed. Fails: never. Threads: one. Since 0.1. */
GR_API gr_text gr_document_text(const gr_document *document) GR_NOEXCEPT;
GR_API void gr_document_free(gr_document *document) GR_NOEXCEPT;

/* Rule text in its one canonical layout: blanks and line breaks change, nothing else; formatting
 * twice changes nothing. `name` is shown in messages. Fails: status GR_BAD_RULES (the text does
 * not parse), memory. Owns: caller. Threads: any. Since 0.1. */
GR_API GR_CHECK gr_status gr_lay_out(const char *text, size_t size, const char *name,
                                     size_t name_size, gr_document **out,
                                     gr_error *error) GR_NOEXCEPT;

typedef enum gr_lint_format {
    GR_LINT_TEXT = 0, /* as a person reads it: place, cause, the line, the fault underlined, help */
    GR_LINT_LSP = 1   /* JSON in the shape of the Language Server Protocol's publishDiagnostics, an
                         array with one a file */
} gr_lint_format;

/* All faults of rule files, found by opening the book, or the place's adoption, that they belong
 * to; for a book that opens, also warnings about the given files (docs/diagnostics.md). The tests
 * of an amendment are run: those that fail are faults, and what none of them reaches is warned of.
 * A given file takes the place of the shipped one whose path it ends in. `*faults` is the number of
 * faults, without warnings. Fails: memory, status GR_BAD_ARGUMENT; faults of the text are no
 * failure of the call. Owns: caller. Threads: any. Since 0.1. */
GR_API GR_CHECK gr_status gr_lint(const char *book, size_t book_size, const gr_source *sources,
                                  size_t count, int format, size_t *faults, gr_document **out,
                                  gr_error *error) GR_NOEXCEPT;

/* --- jobs
 * -----------------------------------------------------------------------------------------------------------
 */

/* An empty job: one row, the job itself, number 0 of the item "job"; every fact unknown, every
 * list open. Fails: memory. Owns: caller. Threads: any. Since 0.1. */
GR_API GR_CHECK gr_status gr_job_new(const gr_book *book, gr_job **out,
                                     gr_error *error) GR_NOEXCEPT;

/* A job from a JSON document (docs/jobs.md). `name` is shown in messages. Fails: status
 * GR_BAD_FACTS, memory. Owns: caller. Threads: any. Since 0.1. */
GR_API GR_CHECK gr_status gr_job_from_json(const gr_book *book, const char *json, size_t size,
                                           const char *name, size_t name_size, gr_job **out,
                                           gr_error *error) GR_NOEXCEPT;

/* Fails: never. Threads: one. Since 0.1. */
GR_API void gr_job_free(gr_job *job) GR_NOEXCEPT;

/* A slot names one fact of one item type: "circuit.breaker". Look it up once per book, use it for
 * any job of that book. */
typedef struct gr_slot {
    uint32_t item;
    uint32_t field;
} gr_slot;

/* Fails: status GR_BAD_ARGUMENT (unknown name; the message has the nearest known one). Threads:
 * any. Since 0.1. */
GR_API GR_CHECK gr_status gr_book_slot(const gr_book *book, const char *name, size_t size,
                                       gr_slot *out, gr_error *error) GR_NOEXCEPT;

/* Adds an item to a list of the item `parent_row` of the type above: gr_job_add(job, 0,
 * "panels", …). `*row` is its number among all items of its type. Fails: status GR_BAD_ARGUMENT,
 * memory. Threads: one. Since 0.1. */
GR_API GR_CHECK gr_status gr_job_add(gr_job *job, uint32_t parent_row, const char *list,
                                     size_t size, uint32_t *row, gr_error *error) GR_NOEXCEPT;

/* Says that a job names all items of a list of one item, or takes it back. Fails: status
 * GR_BAD_ARGUMENT. Threads: one. Since 0.1. */
GR_API GR_CHECK gr_status gr_job_complete(gr_job *job, uint32_t parent_row, const char *list,
                                          size_t size, int complete, gr_error *error) GR_NOEXCEPT;

/* Sets a fact from text, as it would stand in JSON: "50 A", "8 AWG", "garage", "2024-03-31";
 * "yes" and "no" for truths. Fails: status GR_BAD_ARGUMENT (row or slot), GR_BAD_FACTS (value).
 * Threads: one. Since 0.1. */
GR_API GR_CHECK gr_status gr_job_set_text(gr_job *job, gr_slot slot, uint32_t row, const char *text,
                                          size_t size, gr_error *error) GR_NOEXCEPT;

/* Sets a quantity in the base unit of its dimension: A, V, VA, ohm, mm, mm², mm³, °C, K, cmil,
 * lbf-in, or a plain number. Allocates nothing. Fails: status GR_BAD_ARGUMENT (row or slot),
 * GR_BAD_FACTS (value). Threads: one. Since 0.1. */
GR_API GR_CHECK gr_status gr_job_set_number(gr_job *job, gr_slot slot, uint32_t row, double value,
                                            gr_error *error) GR_NOEXCEPT;

/* Allocates nothing. Fails: status GR_BAD_ARGUMENT, GR_BAD_FACTS. Threads: one. Since 0.1. */
GR_API GR_CHECK gr_status gr_job_set_truth(gr_job *job, gr_slot slot, uint32_t row, int value,
                                           gr_error *error) GR_NOEXCEPT;

/* The code of a choice or conductor size in a slot. Fails: GR_BAD_ARGUMENT, GR_BAD_FACTS.
 * Threads: any. Since 0.1. */
GR_API GR_CHECK gr_status gr_book_code(const gr_book *book, gr_slot slot, const char *text,
                                       size_t size, uint32_t *out, gr_error *error) GR_NOEXCEPT;

/* Sets it. Allocates nothing. Fails: status GR_BAD_ARGUMENT, GR_BAD_FACTS (no such code).
 * Threads: one. Since 0.1. */
GR_API GR_CHECK gr_status gr_job_set_code(gr_job *job, gr_slot slot, uint32_t row, uint32_t code,
                                          gr_error *error) GR_NOEXCEPT;

/* Several facts of one item in one call: quantities in the base unit as for gr_job_set_number,
 * truths as 0 or 1, choices and conductor sizes as their codes; not a number (NaN) makes a fact
 * unknown again. Every slot's item must have this row. All of them are set, or none. Allocates
 * nothing once it has been called with as many. Fails: status GR_BAD_ARGUMENT (row or slot),
 * GR_BAD_FACTS (value), memory. Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_job_set_numbers(gr_job *job, uint32_t row, const gr_slot *slots,
                                             const double *values, size_t count,
                                             gr_error *error) GR_NOEXCEPT;

/* Makes a fact unknown again. Fails: status GR_BAD_ARGUMENT. Threads: one. Since 0.1. */
GR_API GR_CHECK gr_status gr_job_clear(gr_job *job, gr_slot slot, uint32_t row,
                                       gr_error *error) GR_NOEXCEPT;

/* Declares assumptions from a JSON document: {"assume": {"run.ambient_temperature": "30 °C"}}.
 * They count for items that do not tell the fact, and every finding that rests on one says so.
 * Fails: status GR_BAD_FACTS, memory. Threads: one. Since 0.1. */
GR_API GR_CHECK gr_status gr_job_assume_json(gr_job *job, const char *json, size_t size,
                                             const char *name, size_t name_size,
                                             gr_error *error) GR_NOEXCEPT;

/* --- checks
 * ---------------------------------------------------------------------------------------------------------
 */

typedef struct gr_check_options {
    size_t size; /* sizeof(gr_check_options) */
    const char
        *stage; /* zero-terminated: design, rough_in, trim_out, acceptance; NULL: all stages */
    /* A check of more (rules times items of their types) is refused with "too-large" before it
     * runs; 0: no bound but that of the items. */
    size_t most_findings;
} gr_check_options;

#define GR_CHECK_OPTIONS_INIT                                                                      \
    { sizeof(gr_check_options), NULL, 0 }

/* Checks a job against the book it was made for. `options` may be NULL. A job that contradicts
 * itself gives no report. Fails: status GR_BAD_FACTS (contradiction), GR_BAD_ARGUMENT (stage),
 * memory. Owns: caller. Threads: one. Since 0.1. */
GR_API GR_CHECK gr_status gr_check(const gr_job *job, const gr_check_options *options,
                                   gr_report **out, gr_error *error) GR_NOEXCEPT;

/* Verdicts of gr_check without reasons: a byte each, a gr_verdict or GR_NOT_AT_THIS_STAGE. Of
 * every rule, in the order of gr_book_describe, one an item of its type, in the order added.
 * `*count` is their number; beyond `capacity` nothing is written. Runs again what depends on
 * changed facts and allocates nothing until items are added. Fails: as gr_check. Threads: one.
 * Since 0.1. */
#define GR_NOT_AT_THIS_STAGE 255
GR_API GR_CHECK gr_status gr_check_verdicts(gr_job *job, const gr_check_options *options,
                                            unsigned char *verdicts, size_t capacity, size_t *count,
                                            gr_error *error) GR_NOEXCEPT;

/* Fails: never. Threads: one. Since 0.1. */
GR_API void gr_report_free(gr_report *report) GR_NOEXCEPT;

/* One finding: a verdict on one item under one rule. Texts are borrowed until the report is freed.
 */
typedef struct gr_finding {
    size_t size; /* sizeof(gr_finding): start from GR_FINDING_INIT */
    gr_verdict verdict;
    int counts;         /* 1: the rule's force is `shall`; 0: it is told, never counted */
    int known_to_apply; /* 1: the rule is known to apply */
    gr_text citation;   /* "210.8(A)(2)" */
    gr_text topic;      /* "dwelling_receptacle_gfci" */
    gr_text title;
    gr_text item;  /* "panels[0].circuits[0].receptacles[0]", "job" for the job itself */
    gr_text layer; /* layer that the deciding text came from */
    gr_text decided_by;
    gr_text says;
} gr_finding;

#define GR_FINDING_INIT                                                                            \
    {                                                                                              \
        sizeof(gr_finding), GR_UNDETERMINED, 0, 0, {NULL, 0}, {NULL, 0}, {NULL, 0}, {NULL, 0},     \
            {NULL, 0}, {NULL, 0}, {                                                                \
            NULL, 0                                                                                \
        }                                                                                          \
    }

/* Number of findings, ordered by citation, then item. Fails: never. Threads: one. Since 0.1. */
GR_API size_t gr_report_count(const gr_report *report) GR_NOEXCEPT;

/* Fails: status GR_BAD_ARGUMENT. Threads: one. Since 0.1. */
GR_API GR_CHECK gr_status gr_report_finding(const gr_report *report, size_t index, gr_finding *out,
                                            gr_error *error) GR_NOEXCEPT;

/* What would settle an undetermined finding. Texts are borrowed until the report is freed. */
typedef struct gr_missing {
    size_t size;  /* sizeof(gr_missing): start from GR_MISSING_INIT */
    gr_text fact; /* "circuit.breaker"; of a list "circuit.receptacles"; empty of the last two */
    gr_text item; /* whose, as in gr_finding; empty likewise */
    /* How it is learnt: choice, look_up, measure, judgement, authority; list; or what no fact
     * settles: not_encoded (an exception that is not written out), no_value. */
    gr_text kind;
    gr_text question; /* to ask, or why there is no value */
} gr_missing;

#define GR_MISSING_INIT                                                                            \
    {                                                                                              \
        sizeof(gr_missing), {NULL, 0}, {NULL, 0}, {NULL, 0}, {                                     \
            NULL, 0                                                                                \
        }                                                                                          \
    }

/* How many a finding has; of a long list 64 at most. Fails: never. Threads: one. Since 0.2. */
GR_API size_t gr_report_missing_count(const gr_report *report, size_t finding) GR_NOEXCEPT;

/* Fails: status GR_BAD_ARGUMENT. Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_report_missing(const gr_report *report, size_t finding, size_t index,
                                            gr_missing *out, gr_error *error) GR_NOEXCEPT;

/* 0: nothing violated, nothing open. 1: some violation. 3: nothing violated, but a rule known to
 * apply is undetermined; with `strict`, any rule. Fails: never. Threads: one. Since 0.1. */
GR_API int gr_report_exit_status(const gr_report *report, int strict) GR_NOEXCEPT;

typedef enum gr_format { GR_JSON = 0, GR_SARIF = 1, GR_PLAIN = 2 } gr_format;

typedef struct gr_render_options {
    size_t size; /* sizeof(gr_render_options) */
    int all;     /* GR_PLAIN: also what does not apply, one by one */
    int colour;  /* GR_PLAIN: with terminal colours */
} gr_render_options;

#define GR_RENDER_OPTIONS_INIT                                                                     \
    { sizeof(gr_render_options), 0, 0 }

/* The report as JSON, SARIF 2.1.0 or plain text; `format` is a gr_format. `options` may be NULL.
 * Borrowed until the next gr_report_render of this report, or until it is freed. Fails: status
 * GR_BAD_ARGUMENT, memory. Threads: one. Since 0.1. */
GR_API GR_CHECK gr_status gr_report_render(gr_report *report, int format,
                                           const gr_render_options *options, gr_text *out,
                                           gr_error *error) GR_NOEXCEPT;

#ifdef __cplusplus
} /* extern "C" */
#endif

#include <groundrule/adoption.h>
#include <groundrule/answers.h>
#include <groundrule/audit.h>
#include <groundrule/comparison.h>
#include <groundrule/host.h>
#include <groundrule/mutation.h>

#endif /* GROUNDRULE_H */
