/* A host that listens is told which books open, and which calls fail and why, also when it gave no
 * gr_error; one that listens no more is told nothing. */
#include <groundrule/groundrule.h>

#include <stdlib.h>

#include "expect.h"
#include "small_book.h"

struct heard {
    int done;
    int failed;
    char code[32];
    char message[4096];
};

static void hear(gr_log_level level, const char *code, const char *message, void *user) {
    struct heard *h = user;
    ++*(level == GR_LOG_DONE ? &h->done : &h->failed);
    snprintf(h->code, sizeof h->code, "%s", code);
    snprintf(h->message, sizeof h->message, "%s", message);
}

int main(void) {
    static struct heard heard;
    const gr_source source = {{small_book_name, sizeof small_book_name - 1},
                              {small_book, sizeof small_book - 1}};
    gr_log log = GR_LOG_INIT;
    gr_book *book = NULL;
    gr_job *job = NULL;
    gr_error error;
    log.tell = hear;
    log.user = &heard;
    REQUIRE(gr_set_log(&log, &error) == GR_OK);

    REQUIRE(gr_book_open(WORDS(small_book_name), &source, 1, NULL, &book, NULL) == GR_OK);
    EXPECT(heard.done == 1 && heard.failed == 0);
    EXPECT(strcmp(heard.code, "opened") == 0);
    EXPECT(HOLDS(heard.message, "small-1 ") && HOLDS(heard.message, gr_book_digest(book).data));

    /* A fault of a text, with and without a gr_error: the same words. */
    EXPECT(gr_job_from_json(book, WORDS("{\"storeys\": true}"), "a job", 5, &job, NULL) ==
           GR_BAD_FACTS);
    EXPECT(heard.failed == 1 && HOLDS(heard.message, "a job:1:16"));
    EXPECT(gr_job_from_json(book, WORDS("{\"storeys\": true}"), "a job", 5, &job, &error) ==
           GR_BAD_FACTS);
    EXPECT(heard.failed == 2);
    EXPECT(strcmp(heard.code, error.code) == 0 && strcmp(heard.message, error.message) == 0);

    /* A fault of the caller likewise. */
    EXPECT(gr_job_new(NULL, &job, NULL) == GR_BAD_ARGUMENT);
    EXPECT(heard.failed == 3 && strcmp(heard.code, "bad-pointer") == 0);

    /* Neither a log without a function nor one of a wrong size takes its place. */
    log.size = 3;
    EXPECT(gr_set_log(&log, NULL) == GR_BAD_ARGUMENT);
    EXPECT(heard.failed == 4 && strcmp(heard.code, "bad-size") == 0);

    REQUIRE(gr_set_log(NULL, &error) == GR_OK);
    EXPECT(gr_job_new(NULL, &job, &error) == GR_BAD_ARGUMENT);
    EXPECT(heard.done == 1 && heard.failed == 4);
    gr_book_free(book);
    return failures == 0 ? 0 : 1;
}
