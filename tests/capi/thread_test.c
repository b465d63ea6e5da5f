/* One book, eight threads, each with jobs and reports of its own: all tell the same. */
#define _POSIX_C_SOURCE 200809L

#include <groundrule/groundrule.h>

#include <pthread.h>
#include <stdlib.h>

#include "expect.h"
#include "garage.h"

enum { threads = 8, rounds = 20 };

static gr_book *book;
static char *expected;

/* The report as JSON, in memory of the caller's; NULL if anything failed. */
static char *check_once(void) {
    gr_job *job = NULL;
    gr_report *report = NULL;
    gr_text text;
    char *copy = NULL;
    if (gr_job_from_json(book, WORDS(garage), NULL, 0, &job, NULL) == GR_OK &&
        gr_check(job, NULL, &report, NULL) == GR_OK &&
        gr_report_render(report, GR_JSON, NULL, &text, NULL) == GR_OK) {
        copy = malloc(text.size + 1);
        if (copy != NULL)
            memcpy(copy, text.data, text.size + 1);
    }
    gr_report_free(report);
    gr_job_free(job);
    return copy;
}

/* Counts what differs; the counter is the thread's own. */
static void *work(void *counter) {
    int *different = counter;
    for (int i = 0; i < rounds; ++i) {
        gr_slot slot;
        char *got = check_once();
        if (got == NULL || strcmp(got, expected) != 0)
            ++*different;
        free(got);
        if (gr_book_slot(book, WORDS("circuit.breaker"), &slot, NULL) != GR_OK)
            ++*different;
        if (gr_book_digest(book).size != 64 || gr_shipped_editions()[0] == '\0')
            ++*different;
    }
    return NULL;
}

int main(void) {
    gr_error error;
    pthread_t running[threads];
    int different[threads] = {0};
    REQUIRE(gr_book_open(WORDS("nec-2020"), NULL, 0, NULL, &book, &error) == GR_OK);
    expected = check_once();
    REQUIRE(expected != NULL);
    for (int i = 0; i < threads; ++i)
        REQUIRE(pthread_create(&running[i], NULL, work, &different[i]) == 0);
    for (int i = 0; i < threads; ++i) {
        REQUIRE(pthread_join(running[i], NULL) == 0);
        EXPECT(different[i] == 0);
    }
    free(expected);
    gr_book_free(book);
    return failures == 0 ? 0 : 1;
}
