/* Which book applies at a place, to a job, on a day. Since 0.2. The conventions are those of
 * groundrule.h, which includes this header. */
#ifndef GROUNDRULE_ADOPTION_H
#define GROUNDRULE_ADOPTION_H

#include <groundrule/groundrule.h>

#ifdef __cplusplus
extern "C" {
#endif

/* A place's timeline of books (docs/adoption.md). Immutable; may be used by any number of threads
 * at once. */
typedef struct gr_adoption gr_adoption;

/* Opens the adoption of a place, which ships or is among the sources. Holes and undeclared
 * overlaps of its periods are faults. Fails: status GR_BAD_RULES, memory. Owns: caller. Threads:
 * any. Since 0.2. */
GR_API GR_CHECK gr_status gr_adoption_open(const char *place, size_t place_size,
                                           const gr_source *sources, size_t count,
                                           gr_adoption **out, gr_error *error) GR_NOEXCEPT;

/* Fails: never. Threads: one. Since 0.2. */
GR_API void gr_adoption_free(gr_adoption *adoption) GR_NOEXCEPT;

/* The timeline as GR_JSON or GR_PLAIN; empty for another format. Borrowed until the adoption is
 * freed. Fails: never. Threads: any. Since 0.2. */
GR_API gr_text gr_adoption_timeline(const gr_adoption *adoption, int format) GR_NOEXCEPT;

typedef struct gr_find_options {
    size_t size; /* sizeof(gr_find_options) */
    /* Zero-terminated "2021-07-01": stands for each date that decides and that the job does not
     * tell. NULL: only the job tells dates. */
    const char *on;
    const char *choose; /* zero-terminated name of one of several periods in force; or NULL */
} gr_find_options;

#define GR_FIND_OPTIONS_INIT                                                                       \
    { sizeof(gr_find_options), NULL, NULL }

typedef enum gr_outcome {
    GR_ONE_BOOK = 0,
    GR_CHOICE = 1,      /* a declared overlap: the applicant chooses among the periods */
    GR_ASKS = 2,        /* facts that the job does not tell decide; the answer names them */
    GR_HANDED_OVER = 3, /* to another code; no book here covers the work */
    GR_NO_PERIOD = 4    /* before the timeline begins, or behind its end */
} gr_outcome;

/* Which book applies to a job at a place. Belongs to one thread at a time and keeps what it needs
 * of its adoption alive. */
typedef struct gr_answer gr_answer;

/* Looks up the facts of a job (a JSON document, docs/jobs.md) in a timeline. Nothing is guessed:
 * what the job does not tell is asked for. `options` may be NULL. Fails: status GR_BAD_FACTS
 * (the job, or a day that contradicts it), GR_BAD_ARGUMENT (a day of no calendar, a choice that
 * is none), memory. Owns: caller. Threads: any. Since 0.2. */
GR_API GR_CHECK gr_status gr_adoption_find(const gr_adoption *adoption, const char *json,
                                           size_t size, const char *name, size_t name_size,
                                           const gr_find_options *options, gr_answer **out,
                                           gr_error *error) GR_NOEXCEPT;

/* Fails: never. Threads: one. Since 0.2. */
GR_API void gr_answer_free(gr_answer *answer) GR_NOEXCEPT;
GR_API gr_outcome gr_answer_outcome(const gr_answer *answer) GR_NOEXCEPT;
GR_API size_t gr_answer_count(const gr_answer *answer) GR_NOEXCEPT;

/* Texts are borrowed until the answer is freed. */
typedef struct gr_period {
    size_t size;  /* sizeof(gr_period): start from GR_PERIOD_INIT */
    int in_force; /* 0: it may be, once the missing facts are known */
    gr_text name;
    gr_text title;
    gr_text book;        /* to open with gr_book_open; empty if the work is handed over */
    gr_text handed_over; /* to which other code; empty if there is a book */
    gr_text by;          /* the fact of the job that decides: "permit_date" */
    gr_text on;          /* its date, for which the book is to be opened; empty if not told */
} gr_period;

#define GR_PERIOD_INIT                                                                             \
    {                                                                                              \
        sizeof(gr_period), 0, {NULL, 0}, {NULL, 0}, {NULL, 0}, {NULL, 0}, {NULL, 0}, {             \
            NULL, 0                                                                                \
        }                                                                                          \
    }

/* Fails: status GR_BAD_ARGUMENT. Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_answer_period(const gr_answer *answer, size_t index, gr_period *out,
                                           gr_error *error) GR_NOEXCEPT;

/* As GR_JSON, with the questions to ask, or as GR_PLAIN. Borrowed until the next
 * gr_answer_render of this answer, or until it is freed. Fails: status GR_BAD_ARGUMENT, memory.
 * Threads: one. Since 0.2. */
GR_API GR_CHECK gr_status gr_answer_render(gr_answer *answer, int format, gr_text *out,
                                           gr_error *error) GR_NOEXCEPT;

#ifdef __cplusplus
} /* extern "C" */
#endif

#endif /* GROUNDRULE_ADOPTION_H */
