/* Options of the answers beyond a verdict, over a small book: what each changes in the answer, and
 * what each refuses. */
#include <groundrule/groundrule.h>

#include <stdlib.h>

#include "expect.h"
#include "small_book.h"

#define UNTOUCHED(type) ((type *)(void *)&failures)

/* Nobody tells the breaker; the outlet needs protection. */
static const char without_breaker[] =
    "{\"work\": \"new\", \"circuits\": [{\"id\": \"C1\", \"outlets\": [{\"location\": \"garage\","
    "\"voltage\": \"120 V\", \"gfci\": true}]}]}";

/* Both rules are violated, so that two facts have to change at once. */
static const char violating[] =
    "{\"work\": \"new\", \"circuits\": [{\"breaker\": \"17 A\", \"outlets\": [{"
    "\"location\": \"garage\", \"voltage\": \"120 V\", \"gfci\": false}]}]}";

static const char two_circuits[] = "{\"circuits\": [{\"id\": \"north\"}, {\"id\": \"south\"}]}";

static const gr_slot nowhere = {99, 0};

static gr_book *book;
static gr_error error;

static gr_book *opened(void) {
    const gr_source source = {{small_book_name, sizeof small_book_name - 1},
                              {small_book, sizeof small_book - 1}};
    gr_book *out = NULL;
    REQUIRE(gr_book_open(WORDS(small_book_name), &source, 1, NULL, &out, &error) == GR_OK);
    return out;
}

static gr_job *read_job(const gr_book *of, const char *json) {
    gr_job *job = NULL;
    if (gr_job_from_json(of, WORDS(json), NULL, 0, &job, &error) != GR_OK)
        fprintf(stderr, "%s\n", error.message);
    REQUIRE(job != NULL);
    return job;
}

static gr_slot slot_of(const char *name) {
    gr_slot slot = {0, 0};
    REQUIRE(gr_book_slot(book, WORDS(name), &slot, &error) == GR_OK);
    return slot;
}

static int failed(gr_status status, gr_status expected, const char *code) {
    const int so = status == expected && strcmp(error.code, code) == 0;
    if (!so)
        fprintf(stderr, "status %d, %s: %s\n", (int)status, error.code, error.message);
    return so;
}

static void a_clause_without_finding(void) {
    gr_job *job = read_job(book, violating);
    gr_explanation *none = UNTOUCHED(gr_explanation);
    gr_explain_options options = GR_EXPLAIN_OPTIONS_INIT;
    options.clause = "210.8(B)";
    EXPECT(failed(gr_explain(job, &options, &none, &error), GR_BAD_ARGUMENT, "no-such-finding"));
    EXPECT(HOLDS(error.message, "did you mean \"210.8(A)\"?"));
    options.clause = "zzzzzzzzzzzz";
    EXPECT(failed(gr_explain(job, &options, &none, &error), GR_BAD_ARGUMENT, "no-such-finding"));
    EXPECT(!HOLDS(error.message, "did you mean"));
    /* The clause is right, and the item is another's. */
    options.clause = "210.20";
    options.item = "circuits[0].outlets[0]";
    EXPECT(failed(gr_explain(job, &options, &none, &error), GR_BAD_ARGUMENT, "no-such-finding"));
    EXPECT(HOLDS(error.message, "210.20") && !HOLDS(error.message, "did you mean"));
    EXPECT(none == UNTOUCHED(gr_explanation));
    gr_job_free(job);
}

static void an_interview_to_its_end(void) {
    gr_interview *interview = NULL;
    gr_interview_options options = GR_INTERVIEW_OPTIONS_INIT;
    gr_question question = GR_QUESTION_INIT;
    gr_text text = {NULL, 0};
    int asked = 7;
    int rounds = 0;
    options.stage = "dusk";
    EXPECT(failed(gr_interview_new(book, WORDS("{}"), NULL, 0, &options, &interview, &error),
                  GR_BAD_ARGUMENT, "unknown-stage"));
    EXPECT(interview == NULL);
    options.stage = NULL;
    REQUIRE(gr_interview_new(book, WORDS(without_breaker), NULL, 0, &options, &interview, &error) ==
            GR_OK);
    REQUIRE(gr_interview_render(interview, GR_PLAIN, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "Breaker?"));
    REQUIRE(gr_interview_question(interview, &asked, &question, &error) == GR_OK);
    EXPECT(asked == 1 && strcmp(question.fact.data, "circuit.breaker") == 0);
    EXPECT(strcmp(question.unit.data, "A, mA, kA") == 0 && question.choices.size == 0);
    EXPECT(
        failed(gr_interview_answer(interview, WORDS("15 V"), &error), GR_BAD_FACTS, "wrong-unit"));
    REQUIRE(gr_interview_answer(interview, WORDS("15 A"), &error) == GR_OK);
    for (; asked != 0 && rounds < 20; ++rounds) {
        REQUIRE(gr_interview_skip(interview, &error) == GR_OK);
        REQUIRE(gr_interview_question(interview, &asked, &question, &error) == GR_OK);
    }
    EXPECT(asked == 0);
    question.waiting = 77;
    REQUIRE(gr_interview_question(interview, &asked, &question, &error) == GR_OK);
    EXPECT(asked == 0 && question.waiting == 77);
    EXPECT(failed(gr_interview_answer(interview, WORDS("yes"), &error), GR_BAD_FACTS,
                  "nothing-asked"));
    REQUIRE(gr_interview_skip(interview, &error) == GR_OK);
    gr_interview_free(interview);
}

static void items_by_path_and_id(void) {
    gr_job *job = read_job(book, two_circuits);
    const gr_slot breaker = slot_of("circuit.breaker");
    uint32_t row = 9;
    EXPECT(gr_job_find(job, breaker, WORDS("south"), &row, &error) == GR_OK && row == 1);
    EXPECT(gr_job_find(job, breaker, WORDS("circuits[0]"), &row, &error) == GR_OK && row == 0);
    EXPECT(gr_job_find(job, slot_of("job.storeys"), NULL, 0, &row, &error) == GR_OK && row == 0);
    row = 9;
    EXPECT(
        failed(gr_job_find(job, breaker, NULL, 0, &row, &error), GR_BAD_ARGUMENT, "no-such-item"));
    EXPECT(HOLDS(error.message, "several"));
    EXPECT(failed(gr_job_find(job, breaker, WORDS("east"), &row, &error), GR_BAD_ARGUMENT,
                  "no-such-item"));
    EXPECT(strcmp(error.message, "there is no such circuit") == 0);
    EXPECT(failed(gr_job_find(job, nowhere, WORDS("south"), &row, &error), GR_BAD_ARGUMENT,
                  "bad-slot"));
    EXPECT(
        failed(gr_job_find(job, breaker, NULL, 5, &row, &error), GR_BAD_ARGUMENT, "bad-pointer"));
    EXPECT(row == 9);
    gr_job_free(job);
}

static size_t remedies_told(const gr_job *job, const gr_remedy_options *options, int *exhausted) {
    gr_remedies *found = NULL;
    size_t count;
    REQUIRE(gr_find_remedies(job, options, &found, &error) == GR_OK);
    count = gr_remedies_count(found);
    *exhausted = gr_remedies_exhausted(found);
    gr_remedies_free(found);
    return count;
}

static void bounds_of_the_search(void) {
    gr_job *job = read_job(book, violating);
    gr_remedy_options options = GR_REMEDY_OPTIONS_INIT;
    int exhausted = 7;
    EXPECT(remedies_told(job, &options, &exhausted) == 2 && exhausted == 1); /* 15 A, 20 A */
    options.most_told = 1;
    EXPECT(remedies_told(job, &options, &exhausted) == 1);
    options.most_told = 0;
    options.most_changes = 1;
    EXPECT(remedies_told(job, &options, &exhausted) == 0 && exhausted == 1);
    options.most_changes = 2;
    options.most_tries = 1;
    EXPECT(remedies_told(job, &options, &exhausted) == 0 && exhausted == 0);
    gr_job_free(job);
}

/* To size what nobody tells: the smallest that complies. */
static void facts_to_be_sized(void) {
    gr_job *job = read_job(book, without_breaker);
    gr_remedies *found = NULL;
    gr_text text = {NULL, 0};
    gr_place open = {{0, 0}, 0};
    gr_remedy_options options = GR_REMEDY_OPTIONS_INIT;
    open.slot = slot_of("circuit.breaker");
    options.open = &open;
    options.open_count = 1;
    REQUIRE(gr_find_remedies(job, &options, &found, &error) == GR_OK);
    REQUIRE(gr_remedies_count(found) >= 1);
    REQUIRE(gr_remedies_render(found, GR_PLAIN, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "circuit.breaker 15 A"));
    gr_remedies_free(found);
    found = NULL;
    open.row = 1;
    EXPECT(failed(gr_find_remedies(job, &options, &found, &error), GR_BAD_ARGUMENT, "no-such-row"));
    open.row = 0;
    open.slot.field = 99;
    EXPECT(failed(gr_find_remedies(job, &options, &found, &error), GR_BAD_ARGUMENT, "bad-slot"));
    options.open = NULL;
    EXPECT(failed(gr_find_remedies(job, &options, &found, &error), GR_BAD_ARGUMENT, "bad-pointer"));
    EXPECT(found == NULL);
    gr_job_free(job);
}

static void costs_that_are_none(void) {
    gr_job *job = read_job(book, violating);
    gr_remedies *found = NULL;
    gr_cost cost = {{0, 0}, 1, 1};
    gr_remedy_options options = GR_REMEDY_OPTIONS_INIT;
    const double none = strtod("nan", NULL);
    options.cost_count = 1;
    EXPECT(failed(gr_find_remedies(job, &options, &found, &error), GR_BAD_ARGUMENT, "bad-pointer"));
    options.costs = &cost;
    cost.step = -1;
    EXPECT(failed(gr_find_remedies(job, &options, &found, &error), GR_BAD_ARGUMENT, "bad-cost"));
    cost.step = 1;
    cost.change = none;
    EXPECT(failed(gr_find_remedies(job, &options, &found, &error), GR_BAD_ARGUMENT, "bad-cost"));
    cost.change = 1;
    cost.slot = nowhere;
    EXPECT(failed(gr_find_remedies(job, &options, &found, &error), GR_BAD_ARGUMENT, "bad-slot"));
    cost.slot = slot_of("circuit.breaker");
    cost.slot.field = 99;
    EXPECT(failed(gr_find_remedies(job, &options, &found, &error), GR_BAD_ARGUMENT, "bad-slot"));
    options = (gr_remedy_options)GR_REMEDY_OPTIONS_INIT;
    options.stage = "dusk";
    EXPECT(
        failed(gr_find_remedies(job, &options, &found, &error), GR_BAD_ARGUMENT, "unknown-stage"));
    EXPECT(found == NULL);
    gr_job_free(job);
}

static void remedies_for_their_own_job(void) {
    gr_job *job = read_job(book, violating);
    gr_job *empty = read_job(book, "{}");
    gr_book *again = opened();
    gr_job *other = read_job(again, violating);
    gr_remedies *found = NULL;
    gr_report *report = NULL;
    gr_text text = {NULL, 7};
    REQUIRE(gr_find_remedies(job, NULL, &found, &error) == GR_OK);
    EXPECT(failed(gr_remedies_apply(found, 0, other, &error), GR_BAD_ARGUMENT, "other-book"));
    EXPECT(failed(gr_remedies_apply(found, 0, empty, &error), GR_BAD_ARGUMENT, "no-such-row"));
    EXPECT(failed(gr_remedies_render(found, GR_SARIF, &text, &error), GR_BAD_ARGUMENT,
                  "unknown-format"));
    EXPECT(text.size == 7);
    REQUIRE(gr_remedies_apply(found, 0, job, &error) == GR_OK);
    REQUIRE(gr_check(job, NULL, &report, &error) == GR_OK);
    EXPECT(gr_report_exit_status(report, 0) == 0);
    gr_report_free(report);
    gr_remedies_free(found);
    gr_job_free(job);
    gr_job_free(empty);
    gr_job_free(other);
    gr_book_free(again);
}

static void the_grid_of_a_largest_value(void) {
    gr_job *job = read_job(book, without_breaker);
    gr_document *found = NULL;
    gr_largest_options grid = GR_LARGEST_OPTIONS_INIT;
    gr_place place = {{0, 0}, 0};
    grid.from = "15 A";
    grid.to = "25 A";
    grid.step = "5 A";
    place.slot = slot_of("circuit.breaker");
    REQUIRE(gr_find_largest(job, place, &grid, GR_PLAIN, &found, &error) == GR_OK);
    EXPECT(HOLDS(gr_document_text(found).data, "at most 20 A."));
    gr_document_free(found);
    found = NULL;
    EXPECT(failed(gr_find_largest(job, place, &grid, GR_SARIF, &found, &error), GR_BAD_ARGUMENT,
                  "unknown-format"));
    grid.from = "-15 A";
    EXPECT(failed(gr_find_largest(job, place, &grid, GR_JSON, &found, &error), GR_BAD_FACTS,
                  "negative"));
    grid.from = NULL;
    EXPECT(gr_find_largest(job, place, &grid, GR_JSON, &found, &error) == GR_BAD_FACTS);
    grid.from = "15 A";
    grid.stage = "dusk";
    EXPECT(failed(gr_find_largest(job, place, &grid, GR_JSON, &found, &error), GR_BAD_ARGUMENT,
                  "unknown-stage"));
    grid.stage = NULL;
    place.slot = slot_of("outlet.location");
    EXPECT(failed(gr_find_largest(job, place, &grid, GR_JSON, &found, &error), GR_BAD_ARGUMENT,
                  "no-quantity"));
    place.slot.field = 99;
    EXPECT(failed(gr_find_largest(job, place, &grid, GR_JSON, &found, &error), GR_BAD_ARGUMENT,
                  "bad-slot"));
    place.slot = nowhere;
    EXPECT(failed(gr_find_largest(job, place, &grid, GR_JSON, &found, &error), GR_BAD_ARGUMENT,
                  "bad-slot"));
    EXPECT(found == NULL);
    gr_job_free(job);
}

int main(void) {
    book = opened();
    a_clause_without_finding();
    an_interview_to_its_end();
    items_by_path_and_id();
    bounds_of_the_search();
    facts_to_be_sized();
    costs_that_are_none();
    remedies_for_their_own_job();
    the_grid_of_a_largest_value();
    gr_book_free(book);
    return failures == 0 ? 0 : 1;
}
