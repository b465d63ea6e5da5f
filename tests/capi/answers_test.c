/* Answers beyond a verdict: why, what to ask next, what would pass, how far a fact may go; order of
 * freeing, and every way to fail. */
#include <groundrule/groundrule.h>

#include <stdlib.h>

#include "expect.h"
#include "garage.h"

#define UNTOUCHED(type) ((type *)(void *)&failures)

static gr_book *opened(const char *name) {
    gr_error error;
    gr_book *book = NULL;
    if (gr_book_open(WORDS(name), NULL, 0, NULL, &book, &error) != GR_OK) {
        fprintf(stderr, "%s\n", error.message);
        exit(1);
    }
    return book;
}

static gr_job *read_job(const gr_book *book, const char *json) {
    gr_error error;
    gr_job *job = NULL;
    if (gr_job_from_json(book, WORDS(json), WORDS("job"), &job, &error) != GR_OK) {
        fprintf(stderr, "%s\n", error.message);
        exit(1);
    }
    return job;
}

static gr_slot slot_of(const gr_book *book, const char *name) {
    gr_slot slot = {0, 0};
    REQUIRE(gr_book_slot(book, WORDS(name), &slot, NULL) == GR_OK);
    return slot;
}

static void why(void) {
    gr_error error;
    gr_book *book = opened("nec-2020");
    gr_job *job = read_job(book, garage);
    gr_explanation *explanation = UNTOUCHED(gr_explanation);
    gr_explain_options options = GR_EXPLAIN_OPTIONS_INIT;
    gr_text text = {NULL, 0};
    EXPECT(gr_explain(NULL, NULL, &explanation, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_explain(job, NULL, NULL, &error) == GR_BAD_ARGUMENT);
    options.clause = "625.45";
    EXPECT(gr_explain(job, &options, &explanation, &error) == GR_BAD_ARGUMENT);
    EXPECT(HOLDS(error.message, "625.4"));
    options.clause = "625.54";
    options.stage = "later";
    EXPECT(gr_explain(job, &options, &explanation, &error) == GR_BAD_ARGUMENT);
    options.stage = NULL;
    options.size = 1;
    EXPECT(gr_explain(job, &options, &explanation, &error) == GR_BAD_ARGUMENT);
    EXPECT(explanation == UNTOUCHED(gr_explanation));
    options.size = sizeof options;
    REQUIRE(gr_explain(job, &options, &explanation, &error) == GR_OK);
    EXPECT(gr_explanation_count(explanation) == 1);
    /* It outlives the job and the book. */
    gr_job_free(job);
    gr_book_free(book);
    REQUIRE(gr_explanation_render(explanation, GR_PLAIN, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "receptacle.gfci = none"));
    EXPECT(HOLDS(text.data, "authority having jurisdiction"));
    REQUIRE(gr_explanation_render(explanation, GR_HTML, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "<!DOCTYPE html>"));
    REQUIRE(gr_explanation_render(explanation, GR_JSON, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "\"steps\""));
    EXPECT(gr_explanation_render(explanation, GR_SARIF, &text, &error) == GR_BAD_ARGUMENT);
    gr_explanation_free(explanation);
    gr_explanation_free(NULL);
}

static void what_next(void) {
    gr_error error;
    gr_book *book = opened("nec-2020");
    gr_interview *interview = UNTOUCHED(gr_interview);
    gr_interview_options options = GR_INTERVIEW_OPTIONS_INIT;
    gr_question question = GR_QUESTION_INIT;
    gr_text text = {NULL, 0};
    int asked = 0;
    EXPECT(gr_interview_new(NULL, WORDS("{}"), WORDS("job"), NULL, &interview, &error) ==
           GR_BAD_ARGUMENT);
    EXPECT(gr_interview_new(book, WORDS("{"), WORDS("job"), NULL, &interview, &error) ==
           GR_BAD_FACTS);
    EXPECT(interview == UNTOUCHED(gr_interview));
    options.outline = 1;
    REQUIRE(gr_interview_new(book, WORDS("{}"), WORDS("job"), &options, &interview, &error) ==
            GR_OK);
    gr_book_free(book);
    REQUIRE(gr_interview_question(interview, &asked, &question, &error) == GR_OK);
    REQUIRE(asked == 1);
    EXPECT(strcmp(question.fact.data, "job.work") == 0);
    EXPECT(strcmp(question.kind.data, "choice") == 0);
    EXPECT(gr_interview_answer(interview, WORDS("some"), &error) == GR_BAD_FACTS);
    EXPECT(gr_interview_answer(interview, WORDS("new"), &error) == GR_OK);
    EXPECT(gr_interview_skip(interview, &error) == GR_OK); /* the occupancy */
    REQUIRE(gr_interview_question(interview, &asked, &question, &error) == GR_OK);
    EXPECT(strcmp(question.fact.data, "job.panels") == 0);
    EXPECT(strcmp(question.kind.data, "list") == 0);
    EXPECT(gr_interview_answer(interview, WORDS("1 old"), &error) == GR_BAD_FACTS);
    EXPECT(gr_interview_answer(interview, WORDS("1 existing"), &error) == GR_OK);
    EXPECT(gr_interview_skip(interview, &error) == GR_OK);
    EXPECT(gr_interview_skip(NULL, &error) == GR_BAD_ARGUMENT);
    REQUIRE(gr_interview_job(interview, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "\"work\": \"existing\""));
    REQUIRE(gr_interview_render(interview, GR_JSON, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "\"questions\""));
    EXPECT(gr_interview_render(interview, GR_SARIF, &text, &error) == GR_BAD_ARGUMENT);
    gr_interview_free(interview);
    gr_interview_free(NULL);
}

static void what_would_pass(void) {
    gr_error error;
    gr_book *book = opened("nec-2020");
    gr_job *job = read_job(book, garage);
    gr_remedies *remedies = UNTOUCHED(gr_remedies);
    gr_remedy_options options = GR_REMEDY_OPTIONS_INIT;
    gr_cost cost = {{0, 0}, 2, 0.5};
    gr_report *report = NULL;
    gr_text text = {NULL, 0};
    cost.slot = slot_of(book, "receptacle.configuration");
    options.costs = &cost;
    options.cost_count = 1;
    EXPECT(gr_find_remedies(NULL, &options, &remedies, &error) == GR_BAD_ARGUMENT);
    cost.change = -1;
    EXPECT(gr_find_remedies(job, &options, &remedies, &error) == GR_BAD_ARGUMENT);
    EXPECT(remedies == UNTOUCHED(gr_remedies));
    cost.change = 2;
    REQUIRE(gr_find_remedies(job, &options, &remedies, &error) == GR_OK);
    REQUIRE(gr_remedies_count(remedies) > 0);
    EXPECT(gr_remedies_exhausted(remedies) == 1);
    REQUIRE(gr_remedies_render(remedies, GR_PLAIN, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "receptacle.gfci class_a, now none"));
    REQUIRE(gr_remedies_render(remedies, GR_JSON, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "\"promise\""));
    EXPECT(gr_remedies_apply(remedies, 1000, job, &error) == GR_BAD_ARGUMENT);
    REQUIRE(gr_remedies_apply(remedies, 0, job, &error) == GR_OK);
    REQUIRE(gr_check(job, NULL, &report, &error) == GR_OK);
    EXPECT(gr_report_exit_status(report, 0) != 1);
    gr_report_free(report);
    gr_job_free(job);
    gr_book_free(book);
    gr_remedies_free(remedies);
    gr_remedies_free(NULL);
}

static void how_far(void) {
    gr_error error;
    gr_book *book = opened("nec-2020");
    gr_job *job = read_job(book, garage);
    gr_document *document = UNTOUCHED(gr_document);
    gr_largest_options options = GR_LARGEST_OPTIONS_INIT;
    gr_place place = {{0, 0}, 0};
    place.slot = slot_of(book, "circuit.breaker");
    options.from = "10 A";
    options.to = "60 A";
    options.step = "0 A";
    EXPECT(gr_find_largest(job, place, &options, GR_PLAIN, &document, &error) == GR_BAD_ARGUMENT);
    options.step = "5 V";
    EXPECT(gr_find_largest(job, place, &options, GR_PLAIN, &document, &error) == GR_BAD_FACTS);
    options.step = "5 A";
    place.row = 1;
    EXPECT(gr_find_largest(job, place, &options, GR_PLAIN, &document, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_find(job, place.slot, WORDS("panels[0].circuits[1]"), &place.row, &error) ==
           GR_BAD_ARGUMENT);
    REQUIRE(gr_job_find(job, place.slot, WORDS("panels[0].circuits[0]"), &place.row, &error) ==
            GR_OK);
    EXPECT(document == UNTOUCHED(gr_document));
    REQUIRE(gr_find_largest(job, place, &options, GR_JSON, &document, &error) == GR_OK);
    EXPECT(HOLDS(gr_document_text(document).data, "\"points\": 11"));
    gr_document_free(document);
    gr_job_free(job);
    gr_book_free(book);
}

int main(void) {
    why();
    what_next();
    what_would_pass();
    how_far();
    return failures == 0 ? 0 : 1;
}
