/* A host that lends its own memory and listens: the library takes all of its memory from there,
 * fails with an error when there is none, and gives everything back. The library is loaded, not
 * linked to, so that it can be unloaded: what it holds between calls goes then. */
#define _POSIX_C_SOURCE 200809L

#include <groundrule/groundrule.h>

#include <dlfcn.h>
#include <stdlib.h>

#include "expect.h"
#include "small_book.h"

static size_t blocks;    /* lent and not given back */
static size_t lent;      /* altogether */
static size_t fail_from; /* from which on there are none; 0: never */
static int logged_opened;
static int logged_failed;

static void *lend(size_t bytes, size_t alignment, void *user) {
    void *block = NULL;
    EXPECT(user == &blocks);
    if (fail_from != 0 && lent >= fail_from)
        return NULL;
    if (posix_memalign(&block, alignment < sizeof block ? sizeof block : alignment, bytes) != 0)
        return NULL;
    ++lent;
    ++blocks;
    return block;
}

static void take_back(void *block, void *user) {
    EXPECT(user == &blocks);
    --blocks;
    free(block);
}

static void hear(gr_log_level level, const char *code, const char *message, void *user) {
    EXPECT(user == &logged_opened);
    EXPECT(message[0] != '\0');
    if (level == GR_LOG_DONE && strcmp(code, "opened") == 0)
        ++logged_opened;
    if (level == GR_LOG_FAILED)
        ++logged_failed;
}

/* What dlsym gives is no function to ISO C; POSIX says that it may be made one in this way. */
#define LOAD(name) *(void **)&name = dlsym(library, "gr_" #name)

static gr_status (*set_allocator)(const gr_allocator *, gr_error *);
static gr_status (*set_log)(const gr_log *, gr_error *);
static const char *(*shipped_editions)(void);
static gr_status (*book_open)(const char *, size_t, const gr_source *, size_t,
                              const gr_book_options *, gr_book **, gr_error *);
static void (*book_free)(gr_book *);
static gr_status (*job_from_json)(const gr_book *, const char *, size_t, const char *, size_t,
                                  gr_job **, gr_error *);
static void (*job_free)(gr_job *);
static gr_status (*check)(const gr_job *, const gr_check_options *, gr_report **, gr_error *);
static void (*report_free)(gr_report *);
static gr_status (*report_render)(gr_report *, int, const gr_render_options *, gr_text *,
                                  gr_error *);

static gr_status cycle(gr_error *error) {
    const gr_source source = {{small_book_name, sizeof small_book_name - 1},
                              {small_book, sizeof small_book - 1}};
    gr_book *book = NULL;
    gr_job *job = NULL;
    gr_report *report = NULL;
    gr_text text;
    gr_status status = book_open(WORDS(small_book_name), &source, 1, NULL, &book, error);
    if (status == GR_OK)
        status = job_from_json(book, WORDS(small_job), NULL, 0, &job, error);
    if (status == GR_OK)
        status = check(job, NULL, &report, error);
    if (status == GR_OK)
        status = report_render(report, GR_JSON, NULL, &text, error);
    report_free(report);
    job_free(job);
    book_free(book);
    return status;
}

static void memory_of_the_host(void) {
    gr_error error;
    gr_allocator mine = GR_ALLOCATOR_INIT;
    size_t all, n, kept;
    mine.allocate = lend;
    mine.release = take_back;
    mine.user = &blocks;
    REQUIRE(set_allocator(&mine, &error) == GR_OK);
    EXPECT(lent == 0);
    REQUIRE(cycle(&error) == GR_OK);
    REQUIRE(shipped_editions()[0] != '\0');
    EXPECT(lent > 500);
    EXPECT(set_allocator(&mine, &error) == GR_BAD_ARGUMENT);
    EXPECT(strcmp(error.code, "too-late") == 0);

    /* A second cycle leaves nothing behind. */
    kept = blocks;
    all = lent;
    REQUIRE(cycle(&error) == GR_OK);
    EXPECT(blocks == kept);
    all = lent - all;
    for (n = 0; n < all; n += all / 100 + 1) {
        fail_from = lent + n;
        if (fail_from == 0)
            continue;
        EXPECT(cycle(&error) == GR_NO_MEMORY);
        EXPECT(blocks == kept);
    }
    fail_from = 0;
    EXPECT(cycle(&error) == GR_OK);
}

static void log_of_the_host(void) {
    gr_error error;
    gr_log mine = GR_LOG_INIT;
    gr_book *book = NULL;
    mine.tell = hear;
    mine.user = &logged_opened;
    EXPECT(logged_opened == 0 && logged_failed == 0);
    REQUIRE(set_log(&mine, &error) == GR_OK);
    EXPECT(cycle(&error) == GR_OK);
    EXPECT(logged_opened == 1 && logged_failed == 0);
    /* Also where the caller gave no gr_error. */
    EXPECT(book_open(WORDS("nec-1881"), NULL, 0, NULL, &book, NULL) == GR_BAD_RULES);
    EXPECT(logged_failed == 1);
    REQUIRE(set_log(NULL, &error) == GR_OK);
    EXPECT(book_open(WORDS("nec-1881"), NULL, 0, NULL, &book, NULL) == GR_BAD_RULES);
    EXPECT(logged_failed == 1);
}

int main(int count, char **arguments) {
    void *library = count < 2 ? NULL : dlopen(arguments[1], RTLD_NOW | RTLD_LOCAL);
    if (library == NULL) {
        fprintf(stderr, "no library: %s\n", count < 2 ? "name it" : dlerror());
        return 1;
    }
    LOAD(set_allocator);
    LOAD(set_log);
    LOAD(shipped_editions);
    LOAD(book_open);
    LOAD(book_free);
    LOAD(job_from_json);
    LOAD(job_free);
    LOAD(check);
    LOAD(report_free);
    LOAD(report_render);
    REQUIRE(report_render != NULL);
    memory_of_the_host();
    log_of_the_host();
    EXPECT(dlclose(library) == 0);
    EXPECT(dlopen(arguments[1], RTLD_NOW | RTLD_NOLOAD) == NULL); /* it is gone */
    EXPECT(blocks == 0);
    return failures == 0 ? 0 : 1;
}
