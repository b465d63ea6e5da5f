/* What a host may put in place of the library's own: memory, and an ear for what happens. Both are
 * of the whole process, the only things here that are. Since 0.2. The conventions are those of
 * groundrule.h, which includes this header. */
#ifndef GROUNDRULE_HOST_H
#define GROUNDRULE_HOST_H

#include <groundrule/groundrule.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Where the library's memory comes from. Both functions are called by any thread, must not call the
 * library, throw or jump out. */
typedef struct gr_allocator {
    size_t size; /* sizeof(gr_allocator) */
    /* Memory of so many bytes whose address is a multiple of `alignment`, a power of two; NULL if
     * there is none, which the call at hand then tells as GR_NO_MEMORY. */
    void *(*allocate)(size_t bytes, size_t alignment, void *user);
    void (*release)(void *block, void *user); /* never NULL */
    void *user;
} gr_allocator;

#define GR_ALLOCATOR_INIT                                                                          \
    { sizeof(gr_allocator), NULL, NULL, NULL }

/* All memory of the library from here on, before anything else is asked of it. For the shared
 * library only, which has a C++ runtime of its own inside: in the static one memory is that of the
 * program's operator new, which the program may replace itself. Not from here: what the C++ runtime
 * takes for an exception that is on its way (it ends inside the call), and the stacks of threads.
 * The names of what ships stay held until the library is unloaded or the process ends, when
 * `release` is still called. Fails: status GR_BAD_ARGUMENT (a function is missing; "too-late":
 * memory was taken already; "not-here": the static library). Threads: one, before all others.
 * Since 0.2. */
GR_API GR_CHECK gr_status gr_set_allocator(const gr_allocator *allocator,
                                           gr_error *error) GR_NOEXCEPT;

typedef enum gr_log_level {
    GR_LOG_FAILED = 0, /* a call failed; code and message as in its gr_error */
    GR_LOG_DONE = 1    /* "opened": a book, with its name and digest */
} gr_log_level;

/* Who is told what happens. `tell` is called by the thread whose call it is about, and must not
 * call the library, throw or jump out. Texts end in a zero and are borrowed during the call. They
 * may hold words of a job or a rule file. */
typedef struct gr_log {
    size_t size; /* sizeof(gr_log) */
    void (*tell)(gr_log_level level, const char *code, const char *message, void *user);
    void *user;
} gr_log;

#define GR_LOG_INIT                                                                                \
    { sizeof(gr_log), NULL, NULL }

/* Nobody is told anything until this is called; NULL ends it. `log` is borrowed until another takes
 * its place and no call is under way. Fails: status GR_BAD_ARGUMENT (no function, its size).
 * Threads: any. Since 0.2. */
GR_API GR_CHECK gr_status gr_set_log(const gr_log *log, gr_error *error) GR_NOEXCEPT;

#ifdef __cplusplus
} /* extern "C" */
#endif

#endif /* GROUNDRULE_HOST_H */
