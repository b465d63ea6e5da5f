/* Answers beyond a verdict: why a finding is what it is. Since 0.2. The conventions are those of
 * groundrule.h, which includes this header.
 *
 * Every answer is about the clauses that the book encodes and no others; each ends with the
 * cautions and with what is not encoded, as reports do.
 */
#ifndef GROUNDRULE_ANSWERS_H
#define GROUNDRULE_ANSWERS_H

#include <groundrule/groundrule.h>

#ifdef __cplusplus
extern "C" {
#endif

/* A format beside those of gr_format: a page of its own that needs nothing from elsewhere and can
 * be printed. */
#define GR_HTML 3

/* --- why
 * ------------------------------------------------------------------------------------------------------------
 */

/* Why findings are what they are: how each condition, part and exception came out, every value with
 * its source, the arithmetic with its units, the layer that decided. It keeps what it needs of its
 * book alive, and belongs to one thread at a time. */
typedef struct gr_explanation gr_explanation;

typedef struct gr_explain_options {
    size_t size; /* sizeof(gr_explain_options) */
    /* Zero-terminated, or NULL for any: */
    const char *clause; /* a citation ("210.19(A)(1)(a)"; "210.19" is all below it) or a topic */
    const char *item;   /* an item's path, "panels[0].circuits[0]", or its id */
    const char *stage;  /* design, rough_in, trim_out, acceptance */
} gr_explain_options;

#define GR_EXPLAIN_OPTIONS_INIT                                                                    \
    { sizeof(gr_explain_options), NULL, NULL, NULL }

/* Explains findings of a job as it stands. Without a clause: those that violate, or if there are
 * none, those that apply and are open. `options` may be NULL. Fails: status GR_BAD_FACTS
 * (contradiction), GR_BAD_ARGUMENT (no finding of that clause at that item, no such stage),
 * memory. Owns: caller. Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_explain(const gr_job *job, const gr_explain_options *options,
                                     gr_explanation **out, gr_error *error) GR_NOEXCEPT;

/* Fails: never. Threads: one. Since 0.2. */
GR_API void gr_explanation_free(gr_explanation *explanation) GR_NOEXCEPT;
GR_API size_t gr_explanation_count(const gr_explanation *explanation) GR_NOEXCEPT;

/* As GR_JSON, GR_PLAIN or GR_HTML. The JSON has beside what a person reads the steps by which a
 * program can compute each verdict again. Borrowed until the next gr_explanation_render of this
 * explanation, or until it is freed. Fails: status GR_BAD_ARGUMENT, memory. Threads: one. Since
 * 0.2. */
GR_API GR_CHECK gr_status gr_explanation_render(gr_explanation *explanation, int format,
                                                gr_text *out, gr_error *error) GR_NOEXCEPT;

/* --- what to find out next
 * ------------------------------------------------------------------------------------------------
 */

/* An interview about a job: it asks what decides most, takes the answer, and asks what is then
 * next, until nothing is left whose answer could change an open finding. docs/answers.md says in
 * which order. It keeps what it needs of its book alive, and belongs to one thread at a time. */
typedef struct gr_interview gr_interview;

typedef struct gr_interview_options {
    size_t size;       /* sizeof(gr_interview_options) */
    const char *stage; /* zero-terminated; NULL: all stages */
    /* 1: first asks what kind of work it is and what is there: how many items each open list
     * without items has, if a rule may bind such items. 0: only the items that the job tells are
     * asked about. */
    int outline;
} gr_interview_options;

#define GR_INTERVIEW_OPTIONS_INIT                                                                  \
    { sizeof(gr_interview_options), NULL, 0 }

/* A question. Texts are borrowed until the interview is answered, skipped or freed. */
typedef struct gr_question {
    size_t size;      /* sizeof(gr_question): start from GR_QUESTION_INIT */
    gr_text fact;     /* "circuit.breaker"; of a list: "circuit.receptacles" */
    gr_text item;     /* whose: "panels[0].circuits[0]" */
    gr_text kind;     /* choice, look_up, measure, judgement, authority; list: how many items */
    gr_text question; /* as a person is asked */
    gr_text unit;     /* how a quantity may be written: "A"; empty if it has no unit */
    gr_text choices;  /* separated by newlines; empty if it is no choice */
    size_t waiting;   /* open findings that name it */
    double decides;   /* of these, how many an answer decides by itself, in the mean */
    int proven;       /* 1: an answer, with others, was found that changes an open finding. 0: none
                         was, though not all could be tried; asked only when nothing else is left */
} gr_question;

#define GR_QUESTION_INIT                                                                           \
    {                                                                                              \
        sizeof(gr_question), {NULL, 0}, {NULL, 0}, {NULL, 0}, {NULL, 0}, {NULL, 0}, {NULL, 0}, 0,  \
            0.0, 0                                                                                 \
    }

/* Begins with a job as JSON (docs/jobs.md), "{}" for an empty one. `options` may be NULL. Fails:
 * status GR_BAD_FACTS, GR_BAD_ARGUMENT (stage), memory. Owns: caller. Threads: any. Since 0.2. */
GR_API GR_CHECK gr_status gr_interview_new(const gr_book *book, const char *json, size_t size,
                                           const char *name, size_t name_size,
                                           const gr_interview_options *options, gr_interview **out,
                                           gr_error *error) GR_NOEXCEPT;

/* Fails: never. Threads: one. Since 0.2. */
GR_API void gr_interview_free(gr_interview *interview) GR_NOEXCEPT;

/* What to ask now. `*asked` is 0, and `*out` as it was, if nothing is left to ask. Fails: status
 * GR_BAD_ARGUMENT, memory. Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_interview_question(gr_interview *interview, int *asked,
                                                gr_question *out, gr_error *error) GR_NOEXCEPT;

/* Answers it: "50 A", "garage", "yes"; of a list the number of items that come to those told, "2",
 * with a plus if there may be more, "2+", and with their work if it is not that of what they stand
 * in, "1 existing". After a failure it is asked still. Fails: status GR_BAD_FACTS (the answer does
 * not fit, or contradicts the job), memory. Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_interview_answer(gr_interview *interview, const char *text,
                                              size_t size, gr_error *error) GR_NOEXCEPT;

/* Leaves it open; it is not asked again. Fails: status GR_BAD_ARGUMENT, memory. Threads: one.
 * Since 0.2. */
GR_API GR_CHECK gr_status gr_interview_skip(gr_interview *interview, gr_error *error) GR_NOEXCEPT;

/* All that could be asked now, for a form, as GR_JSON or GR_PLAIN: in order, by kind, those for
 * judgement or an authority apart, and what stays open for other reasons. Borrowed until the
 * next such call, or until the interview is freed. Fails: status GR_BAD_ARGUMENT, memory.
 * Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_interview_render(gr_interview *interview, int format, gr_text *out,
                                              gr_error *error) GR_NOEXCEPT;

/* The job with all answers, as JSON; what its writer wrote stays. Borrowed until the next such
 * call, or until the interview is freed. Fails: status GR_BAD_ARGUMENT, memory. Threads: one.
 * Since 0.2. */
GR_API GR_CHECK gr_status gr_interview_job(gr_interview *interview, gr_text *out,
                                           gr_error *error) GR_NOEXCEPT;

/* --- what would pass
 * -------------------------------------------------------------------------------------------------------
 */

/* The least changes, over the facts that the book's words let change (docs/language.md, Remedies),
 * with which nothing violates. docs/answers.md says what is promised of each. They are ranked by
 * how many findings they leave to be found out (decided before, open with them), and among equals
 * by cost: first what rests on nothing unknown. It keeps what it needs of its book alive, and
 * belongs to one thread at a time. */
typedef struct gr_remedies gr_remedies;

/* What changing a fact costs, beside a host's own reckoning: 1, and 0.01 for each step in the order
 * of its values, where nothing else is said. */
typedef struct gr_cost {
    gr_slot slot;
    double change;
    double step;
} gr_cost;

/* A fact of one item. */
typedef struct gr_place {
    gr_slot slot;
    uint32_t row;
} gr_place;

/* The row of an item of a slot's type by its path, "panels[0].circuits[0]", or its id; with
 * neither (size 0) that of the only one. Fails: status GR_BAD_ARGUMENT (slot, no such item, not
 * the only one). Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_job_find(const gr_job *job, gr_slot slot, const char *item,
                                      size_t size, uint32_t *row, gr_error *error) GR_NOEXCEPT;

typedef struct gr_remedy_options {
    size_t size;         /* sizeof(gr_remedy_options) */
    const char *stage;   /* zero-terminated; NULL: all stages */
    size_t most_changes; /* that one remedy makes; 0: 3 */
    size_t most_tries;   /* jobs that are checked; 0: 20000 */
    size_t most_told;    /* remedies; 0: all that were found */
    int settled;         /* 1: none that leaves open what complied before */
    const gr_cost *costs;
    size_t cost_count;
    /* To size: facts that nobody tells yet, for which the smallest values are chosen that comply.
     * Nothing else is changed then. */
    const gr_place *open;
    size_t open_count;
    gr_progress_function progress; /* of jobs that are checked; NULL: not called */
    void *user;
} gr_remedy_options;

#define GR_REMEDY_OPTIONS_INIT                                                                     \
    { sizeof(gr_remedy_options), NULL, 0, 0, 10, 0, NULL, 0, NULL, 0, NULL, NULL }

/* `options` may be NULL. Fails: status GR_BAD_FACTS (contradiction), GR_BAD_ARGUMENT (stage,
 * slot or row, a cost below zero), GR_CANCELLED, memory. Owns: caller. Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_find_remedies(const gr_job *job, const gr_remedy_options *options,
                                           gr_remedies **out, gr_error *error) GR_NOEXCEPT;

/* Fails: never. Threads: one. Since 0.2. */
GR_API void gr_remedies_free(gr_remedies *remedies) GR_NOEXCEPT;
/* Remedies that are told, as ranked. Fails: never. Threads: one. Since 0.2. */
GR_API size_t gr_remedies_count(const gr_remedies *remedies) GR_NOEXCEPT;
/* 1: every set of up to most_changes changes was tried or ruled out; 0: the search ended at
 * most_tries, and there may be more. Fails: never. Threads: one. Since 0.2. */
GR_API int gr_remedies_exhausted(const gr_remedies *remedies) GR_NOEXCEPT;

/* Makes the changes of one remedy on a job of the same items. Fails: status GR_BAD_ARGUMENT.
 * Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_remedies_apply(const gr_remedies *remedies, size_t index, gr_job *job,
                                            gr_error *error) GR_NOEXCEPT;

/* As GR_JSON or GR_PLAIN. Borrowed until the next such call, or until the remedies are freed.
 * Fails: status GR_BAD_ARGUMENT, memory. Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_remedies_render(gr_remedies *remedies, int format, gr_text *out,
                                             gr_error *error) GR_NOEXCEPT;

/* --- the most that is lawful
 * -----------------------------------------------------------------------------------------------
 */

/* How far one fact may go, over the points of a grid, each of which is checked. */
typedef struct gr_largest_options {
    size_t size;       /* sizeof(gr_largest_options) */
    const char *stage; /* zero-terminated; NULL: all stages */
    int advice;        /* 1: rules that only advise count too, such as those on voltage drop */
    const char *from;  /* zero-terminated values as in a job: "1 A"; all three are required */
    const char *to;
    const char *step;
    gr_progress_function progress; /* of points; NULL: not called */
    void *user;
} gr_largest_options;

#define GR_LARGEST_OPTIONS_INIT                                                                    \
    { sizeof(gr_largest_options), NULL, 0, NULL, NULL, NULL, NULL, NULL }

/* A document as GR_JSON or GR_PLAIN: the largest lawful value, and every range of lawful points.
 * Fails: status GR_BAD_FACTS (contradiction, a value), GR_BAD_ARGUMENT (stage, slot or row, a
 * fact that is no quantity, a grid of no or of more than 100,000 points), GR_CANCELLED, memory.
 * Owns: caller. Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_find_largest(const gr_job *job, gr_place place,
                                          const gr_largest_options *options, int format,
                                          gr_document **out, gr_error *error) GR_NOEXCEPT;

#ifdef __cplusplus
} /* extern "C" */
#endif

#endif /* GROUNDRULE_ANSWERS_H */
