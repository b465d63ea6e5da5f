/* Bounds that a host sets, narrower than the library's own: what fits is read, one more is refused
 * with "too-large", by every call that reads such a thing. */
#include <groundrule/groundrule.h>

#include <stdlib.h>

#include "expect.h"
#include "small_book.h"

enum { source_bytes = sizeof small_book - 1, job_bytes = sizeof small_job - 1 };

static const char new_job[] = "{\"work\": \"new\", \"circuits\": [{\"breaker\": \"17 A\","
                              "\"outlets\": [{\"location\": \"garage\", \"voltage\": \"120 V\","
                              "\"gfci\": false}]}]}";

static gr_error error;

static gr_status open_with(const gr_book_options *options, gr_book **book) {
    const gr_source source = {{small_book_name, sizeof small_book_name - 1},
                              {small_book, source_bytes}};
    return gr_book_open(WORDS(small_book_name), &source, 1, options, book, &error);
}

static gr_book *opened(size_t most_job_bytes, size_t most_items) {
    gr_book *book = NULL;
    gr_book_options options = GR_BOOK_OPTIONS_INIT;
    options.most_job_bytes = most_job_bytes;
    options.most_items = most_items;
    REQUIRE(open_with(&options, &book) == GR_OK);
    return book;
}

/* The call before was refused for its size, and the bound is named. */
static int refused(gr_status status, gr_status expected, const char *bound) {
    return status == expected && error.status == expected && strcmp(error.code, "too-large") == 0 &&
           HOLDS(error.message, bound);
}

static void bytes_of_rule_files(void) {
    gr_book *book = NULL;
    gr_book_options options = GR_BOOK_OPTIONS_INIT;
    char bound[32];
    options.most_source_bytes = source_bytes;
    EXPECT(open_with(&options, &book) == GR_OK);
    gr_book_free(book);
    book = NULL;
    options.most_source_bytes = source_bytes - 1;
    snprintf(bound, sizeof bound, "at most %d here", source_bytes - 1);
    EXPECT(refused(open_with(&options, &book), GR_BAD_RULES, bound));
    EXPECT(book == NULL);
}

static gr_status ask(const gr_book *book, gr_interview **interview) {
    return gr_interview_new(book, small_job, job_bytes, NULL, 0, NULL, interview, &error);
}

static gr_status compare(const gr_book *before, const gr_book *after) {
    gr_comparison *comparison = NULL;
    gr_status status;
    REQUIRE(gr_compare_books(before, after, &comparison, &error) == GR_OK);
    status = gr_comparison_add_job(comparison, small_job, job_bytes, NULL, 0, &error);
    gr_comparison_free(comparison);
    return status;
}

static gr_status read_job(const gr_book *book, gr_job **job) {
    return gr_job_from_json(book, small_job, job_bytes, NULL, 0, job, &error);
}

static gr_status assume(const gr_book *book, const char *json) {
    gr_job *job = NULL;
    gr_status status;
    REQUIRE(gr_job_new(book, &job, &error) == GR_OK);
    status = gr_job_assume_json(job, WORDS(json), NULL, 0, &error);
    gr_job_free(job);
    return status;
}

static void bytes_of_documents(void) {
    gr_book *fits = opened(job_bytes, 0);
    gr_book *tight = opened(job_bytes - 1, 0);
    gr_book *tiny = opened(12, 0);
    gr_job *job = NULL;
    gr_interview *interview = NULL;
    char bound[32];
    snprintf(bound, sizeof bound, "at most %d here", job_bytes - 1);
    EXPECT(read_job(fits, &job) == GR_OK);
    gr_job_free(job);
    job = NULL;
    EXPECT(refused(read_job(tight, &job), GR_BAD_FACTS, bound));
    EXPECT(job == NULL);
    EXPECT(ask(fits, &interview) == GR_OK);
    gr_interview_free(interview);
    interview = NULL;
    EXPECT(refused(ask(tight, &interview), GR_BAD_FACTS, bound));
    EXPECT(interview == NULL);
    EXPECT(compare(fits, fits) == GR_OK);
    EXPECT(refused(compare(tight, fits), GR_BAD_FACTS, bound));
    EXPECT(refused(compare(fits, tight), GR_BAD_FACTS, bound));
    EXPECT(assume(tiny, "{}") == GR_OK);
    EXPECT(refused(assume(tiny, "{\"assume\": {}}"), GR_BAD_FACTS, "at most 12 here"));
    gr_book_free(fits);
    gr_book_free(tight);
    gr_book_free(tiny);
}

/* The small job has three: itself, a circuit, an outlet. */
static void items_of_a_job(void) {
    gr_book *fits = opened(0, 3);
    gr_book *tight = opened(0, 2);
    gr_job *job = NULL;
    gr_interview *interview = NULL;
    uint32_t row = 9;
    EXPECT(read_job(fits, &job) == GR_OK);
    EXPECT(refused(gr_job_add(job, 0, WORDS("circuits"), &row, &error), GR_BAD_ARGUMENT,
                   "at most 3 here"));
    EXPECT(row == 9);
    gr_job_free(job);
    job = NULL;
    EXPECT(refused(read_job(tight, &job), GR_BAD_FACTS, "at most 2 here"));
    EXPECT(job == NULL);
    EXPECT(compare(fits, fits) == GR_OK);
    EXPECT(refused(compare(fits, tight), GR_BAD_FACTS, "at most 2 here"));
    EXPECT(ask(fits, &interview) == GR_OK);
    gr_interview_free(interview);
    interview = NULL;
    EXPECT(refused(ask(tight, &interview), GR_BAD_FACTS, "at most 2 here"));
    EXPECT(interview == NULL);
    REQUIRE(gr_job_new(tight, &job, &error) == GR_OK);
    EXPECT(gr_job_add(job, 0, WORDS("circuits"), &row, &error) == GR_OK);
    EXPECT(row == 0);
    gr_job_free(job);
    gr_book_free(fits);
    gr_book_free(tight);
}

/* An answer that would make a job too large is refused like any wrong one, and asked for still. */
static void items_that_an_answer_adds(void) {
    gr_book *book = opened(0, 3);
    gr_interview *interview = NULL;
    gr_interview_options options = GR_INTERVIEW_OPTIONS_INIT;
    gr_question question = GR_QUESTION_INIT;
    gr_text job;
    int asked = 0;
    int rounds = 0;
    options.outline = 1;
    REQUIRE(gr_interview_new(book, WORDS("{\"work\": \"new\"}"), NULL, 0, &options, &interview,
                             &error) == GR_OK);
    REQUIRE(gr_interview_question(interview, &asked, &question, &error) == GR_OK);
    while (asked && strcmp(question.fact.data, "job.circuits") != 0 && ++rounds < 10) {
        REQUIRE(gr_interview_skip(interview, &error) == GR_OK);
        REQUIRE(gr_interview_question(interview, &asked, &question, &error) == GR_OK);
    }
    REQUIRE(asked && strcmp(question.fact.data, "job.circuits") == 0);
    EXPECT(refused(gr_interview_answer(interview, WORDS("3"), &error), GR_BAD_FACTS,
                   "at most 3 here"));
    REQUIRE(gr_interview_question(interview, &asked, &question, &error) == GR_OK);
    EXPECT(asked && strcmp(question.fact.data, "job.circuits") == 0);
    EXPECT(gr_interview_answer(interview, WORDS("2"), &error) == GR_OK);
    REQUIRE(gr_interview_job(interview, &job, &error) == GR_OK);
    EXPECT(HOLDS(job.data, "\"circuits\""));
    gr_interview_free(interview);
    gr_book_free(book);
}

/* Two rules, of which one is for the only circuit and one for the only outlet. */
static void findings_of_a_check(void) {
    gr_book *book = opened(0, 0);
    gr_job *job = NULL;
    gr_report *report = NULL;
    gr_check_options options = GR_CHECK_OPTIONS_INIT;
    unsigned char verdicts[2] = {77, 77};
    size_t count = 9;
    REQUIRE(gr_job_from_json(book, WORDS(new_job), NULL, 0, &job, &error) == GR_OK);
    options.most_findings = 1;
    EXPECT(refused(gr_check(job, &options, &report, &error), GR_BAD_ARGUMENT, "at most 1 here"));
    EXPECT(report == NULL);
    EXPECT(refused(gr_check_verdicts(job, &options, verdicts, 2, &count, &error), GR_BAD_ARGUMENT,
                   "at most 1 here"));
    EXPECT(count == 9 && verdicts[0] == 77 && verdicts[1] == 77);
    options.most_findings = 2;
    REQUIRE(gr_check(job, &options, &report, &error) == GR_OK);
    EXPECT(gr_report_count(report) == 2);
    EXPECT(gr_check_verdicts(job, &options, verdicts, 2, &count, &error) == GR_OK);
    EXPECT(count == 2 && verdicts[0] == GR_VIOLATES && verdicts[1] == GR_VIOLATES);
    gr_report_free(report);
    gr_job_free(job);
    gr_book_free(book);
}

int main(void) {
    bytes_of_rule_files();
    bytes_of_documents();
    items_of_a_job();
    items_that_an_answer_adds();
    findings_of_a_check();
    return failures == 0 ? 0 : 1;
}
