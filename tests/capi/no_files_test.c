/* A process that may open no file at all opens a book, checks a job and reports: the rule sets are
 * inside the library, and it reads and writes nothing else. */
#define _POSIX_C_SOURCE 200809L

#include <groundrule/groundrule.h>

#include <fcntl.h>
#include <stdlib.h>
#include <sys/resource.h>

#include "expect.h"
#include "garage.h"

int main(void) {
    gr_book *book = NULL;
    gr_job *job = NULL;
    gr_report *report = NULL;
    gr_error error;
    gr_text text;
#ifndef GROUNDRULE_SANITIZED /* the sanitizers open pipes, and write what they counted */
    const struct rlimit none = {0, 0};
    REQUIRE(setrlimit(RLIMIT_FSIZE, &none) == 0);
    REQUIRE(setrlimit(RLIMIT_NOFILE, &none) == 0);
    REQUIRE(open("/", O_RDONLY) < 0);
#endif
    EXPECT(gr_book_open(WORDS("nec-2023"), NULL, 0, NULL, &book, &error) == GR_OK);
    EXPECT(gr_job_from_json(book, WORDS(garage), NULL, 0, &job, &error) == GR_OK);
    EXPECT(gr_check(job, NULL, &report, &error) == GR_OK);
    EXPECT(gr_report_render(report, GR_JSON, NULL, &text, &error) == GR_OK);
    EXPECT(gr_report_exit_status(report, 0) == 1);
    gr_report_free(report);
    gr_job_free(job);
    gr_book_free(book);
    return failures == 0 ? 0 : 1;
}
