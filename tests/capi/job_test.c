/* Jobs and reports: facts by JSON and by setters, contradictions, findings, and every way to fail.
 */
#include <groundrule/groundrule.h>

#include <stdlib.h>

#include "expect.h"
#include "garage.h"

#define UNTOUCHED(type) ((type *)(void *)&failures)

static gr_book *book;
static gr_error error;

static gr_slot slot(const char *name) {
    gr_slot out;
    REQUIRE(gr_book_slot(book, WORDS(name), &out, &error) == GR_OK);
    return out;
}

static gr_job *job_from(const char *json) {
    gr_job *job = NULL;
    const gr_status status = gr_job_from_json(book, WORDS(json), WORDS("job.json"), &job, &error);
    if (status != GR_OK)
        fputs(error.message, stderr);
    REQUIRE(status == GR_OK);
    return job;
}

/* The verdict of a topic on the only item that it is for. */
static gr_verdict verdict_of(const gr_report *report, const char *topic) {
    gr_finding finding;
    finding.size = sizeof finding;
    for (size_t i = 0; i < gr_report_count(report); ++i) {
        REQUIRE(gr_report_finding(report, i, &finding, &error) == GR_OK);
        if (strcmp(finding.topic.data, topic) == 0)
            return finding.verdict;
    }
    fprintf(stderr, "no finding of %s\n", topic);
    REQUIRE(0);
    return GR_UNDETERMINED;
}

static gr_verdict check_for(const gr_job *job, const char *topic) {
    gr_report *report = NULL;
    REQUIRE(gr_check(job, NULL, &report, &error) == GR_OK);
    const gr_verdict verdict = verdict_of(report, topic);
    gr_report_free(report);
    return verdict;
}

static void null_handles(void) {
    gr_job *job = UNTOUCHED(gr_job);
    gr_report *report = UNTOUCHED(gr_report);
    gr_text text = {NULL, 7};
    gr_finding finding = {0};
    const gr_slot any = {0, 0};
    uint32_t row = 7;

    gr_job_free(NULL);
    gr_report_free(NULL);
    EXPECT(gr_job_new(NULL, &job, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_new(book, NULL, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_from_json(NULL, WORDS("{}"), NULL, 0, &job, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_from_json(book, NULL, 0, NULL, 0, &job, &error) == GR_BAD_ARGUMENT);
    EXPECT(job == UNTOUCHED(gr_job));
    EXPECT(gr_job_add(NULL, 0, WORDS("panels"), &row, &error) == GR_BAD_ARGUMENT && row == 7);
    EXPECT(gr_job_complete(NULL, 0, WORDS("panels"), 1, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_set_text(NULL, any, 0, WORDS("new"), &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_set_number(NULL, any, 0, 1, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_set_truth(NULL, any, 0, 1, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_clear(NULL, any, 0, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_assume_json(NULL, WORDS("{}"), NULL, 0, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_check(NULL, NULL, &report, &error) == GR_BAD_ARGUMENT);
    EXPECT(report == UNTOUCHED(gr_report));
    EXPECT(gr_report_count(NULL) == 0);
    EXPECT(gr_report_finding(NULL, 0, &finding, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_report_render(NULL, GR_JSON, NULL, &text, &error) == GR_BAD_ARGUMENT);
    EXPECT(text.size == 7);
    /* An error may always be left out. */
    EXPECT(gr_job_new(NULL, &job, NULL) == GR_BAD_ARGUMENT);
    EXPECT(gr_check(NULL, NULL, &report, NULL) == GR_BAD_ARGUMENT);
}

static void bad_documents(void) {
    static const char *const documents[] = {
        "",
        "[]",
        "7",
        "{",
        "{\"work\": \"new\"} x",
        "{\"work\": \"brand_new\"}",
        "{\"wrok\": \"new\"}",
        "{\"panels\": {}}",
        "{\"panels\": [1]}",
        "{\"complete\": [\"panel\"]}",
        "{\"work\": \"new\", \"work\": \"new\"}",
        "{\"panels\": [{\"circuits\": [{\"breaker\": \"50 V\"}]}]}",
        "{\"panels\": [{\"circuits\": [{\"breaker\": 50}]}]}",
        "{\"panels\": [{\"circuits\": [{\"breaker\": \"-50 A\"}]}]}",
        "{\"panels\": [{\"circuits\": [{\"breaker\": \"1e300 A\"}]}]}",
        "{\"panels\": [{\"circuits\": [{\"neutral\": \"maybe\"}]}]}",
        "{\"note\": \"\xff\"}",
    };
    for (size_t i = 0; i < sizeof documents / sizeof *documents; ++i) {
        gr_job *job = UNTOUCHED(gr_job);
        const gr_status status =
            gr_job_from_json(book, WORDS(documents[i]), WORDS("job.json"), &job, &error);
        if (status != GR_BAD_FACTS)
            fprintf(stderr, "document %s\n", documents[i]);
        EXPECT(status == GR_BAD_FACTS);
        EXPECT(job == UNTOUCHED(gr_job));
        EXPECT(strcmp(error.file, "job.json") == 0);
        EXPECT(error.line == 1 && error.column >= 1);
        EXPECT(error.code[0] != '\0' && error.message[0] != '\0');
    }
    /* Cut anywhere, a good document is a bad one. */
    for (size_t size = 0; size + 1 < sizeof garage; ++size) {
        gr_job *job = UNTOUCHED(gr_job);
        EXPECT(gr_job_from_json(book, garage, size, WORDS("job.json"), &job, &error) ==
               GR_BAD_FACTS);
        EXPECT(job == UNTOUCHED(gr_job));
    }
    gr_job *job = NULL;
    EXPECT(gr_job_from_json(book, WORDS("{\n  \"work\": \"new\",\n  \"occupancy\": 7\n}"),
                            WORDS("job.json"), &job, &error) == GR_BAD_FACTS);
    EXPECT(error.line == 3);
}

static void setters_say_the_same_as_a_document(void) {
    gr_job *job = NULL;
    uint32_t panel = 9, circuit = 9, receptacle = 9;
    REQUIRE(gr_job_new(book, &job, &error) == GR_OK);
    EXPECT(gr_job_set_text(job, slot("job.work"), 0, WORDS("new"), &error) == GR_OK);
    EXPECT(gr_job_set_text(job, slot("job.occupancy"), 0, WORDS("one_family_dwelling"), &error) ==
           GR_OK);
    REQUIRE(gr_job_add(job, 0, WORDS("panels"), &panel, &error) == GR_OK);
    REQUIRE(gr_job_add(job, panel, WORDS("circuits"), &circuit, &error) == GR_OK);
    EXPECT(gr_job_set_text(job, slot("circuit.system"), circuit,
                           WORDS("120/240 V, 1-phase, 3-wire"), &error) == GR_OK);
    EXPECT(gr_job_set_number(job, slot("circuit.breaker"), circuit, 50, &error) == GR_OK);
    REQUIRE(gr_job_add(job, circuit, WORDS("receptacles"), &receptacle, &error) == GR_OK);
    EXPECT(gr_job_set_text(job, slot("receptacle.configuration"), receptacle, WORDS("14-50R"),
                           &error) == GR_OK);
    EXPECT(gr_job_set_text(job, slot("receptacle.serves"), receptacle, WORDS("vehicle_charging"),
                           &error) == GR_OK);
    EXPECT(gr_job_set_text(job, slot("receptacle.location"), receptacle, WORDS("garage"), &error) ==
           GR_OK);
    EXPECT(gr_job_set_text(job, slot("receptacle.gfci"), receptacle, WORDS("none"), &error) ==
           GR_OK);

    gr_job *same = job_from(garage);
    gr_report *by_setters = NULL;
    gr_report *by_document = NULL;
    gr_text a, b;
    REQUIRE(gr_check(job, NULL, &by_setters, &error) == GR_OK);
    REQUIRE(gr_check(same, NULL, &by_document, &error) == GR_OK);
    REQUIRE(gr_report_render(by_setters, GR_JSON, NULL, &a, &error) == GR_OK);
    REQUIRE(gr_report_render(by_document, GR_JSON, NULL, &b, &error) == GR_OK);
    EXPECT(a.size == b.size && memcmp(a.data, b.data, a.size) == 0);
    gr_report_free(by_setters);
    gr_report_free(by_document);
    gr_job_free(same);

    /* A fact can change, and be taken back. */
    const gr_slot gfci = slot("receptacle.gfci");
    EXPECT(check_for(job, "dwelling_receptacle_gfci") == GR_VIOLATES);
    EXPECT(gr_job_set_text(job, gfci, receptacle, WORDS("class_a"), &error) == GR_OK);
    EXPECT(check_for(job, "dwelling_receptacle_gfci") == GR_COMPLIES);
    EXPECT(gr_job_clear(job, gfci, receptacle, &error) == GR_OK);
    EXPECT(check_for(job, "dwelling_receptacle_gfci") == GR_UNDETERMINED);
    gr_job_free(job);
}

static void setters_refuse(void) {
    gr_job *job = job_from(garage);
    const gr_slot breaker = slot("circuit.breaker");
    const gr_slot neutral = slot("circuit.neutral");
    const gr_slot nowhere = {99, 0};
    const gr_slot no_field = {breaker.item, 9999};
    uint32_t row = 7;
    EXPECT(gr_job_set_text(job, breaker, 1, WORDS("50 A"), &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_set_text(job, nowhere, 0, WORDS("50 A"), &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_set_text(job, no_field, 0, WORDS("50 A"), &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_set_text(job, breaker, 0, NULL, 0, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_set_text(job, breaker, 0, WORDS("50 V"), &error) == GR_BAD_FACTS);
    EXPECT(HOLDS(error.message, "circuit.breaker") && HOLDS(error.message, "A"));
    EXPECT(gr_job_set_text(job, breaker, 0, WORDS("50"), &error) == GR_BAD_FACTS);
    EXPECT(gr_job_set_text(job, breaker, 0, WORDS(""), &error) == GR_BAD_FACTS);
    EXPECT(gr_job_set_text(job, breaker, 0, "50 A and more", 4, &error) == GR_OK);
    EXPECT(gr_job_set_number(job, breaker, 0, -1, &error) == GR_BAD_FACTS);
    EXPECT(gr_job_set_number(job, breaker, 0, 1e300, &error) == GR_BAD_FACTS);
    const double zero = 0;
    EXPECT(gr_job_set_number(job, breaker, 0, zero / zero, &error) == GR_BAD_FACTS);
    EXPECT(gr_job_set_number(job, neutral, 0, 1, &error) == GR_BAD_FACTS);
    EXPECT(gr_job_set_truth(job, breaker, 0, 1, &error) == GR_BAD_FACTS);
    EXPECT(gr_job_set_truth(job, neutral, 0, 1, &error) == GR_OK);
    EXPECT(gr_job_set_text(job, neutral, 0, WORDS("no"), &error) == GR_OK);
    EXPECT(gr_job_set_text(job, neutral, 0, WORDS("perhaps"), &error) == GR_BAD_FACTS);
    EXPECT(gr_job_clear(job, breaker, 1, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_add(job, 0, WORDS("panel"), &row, &error) == GR_BAD_ARGUMENT);
    EXPECT(HOLDS(error.message, "panels"));
    EXPECT(gr_job_add(job, 5, WORDS("circuits"), &row, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_add(job, 0, WORDS("panels"), NULL, &error) == GR_BAD_ARGUMENT);
    EXPECT(row == 7);
    EXPECT(gr_job_complete(job, 0, WORDS("panels"), 1, &error) == GR_OK);
    EXPECT(gr_job_complete(job, 3, WORDS("circuits"), 1, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_complete(job, 0, WORDS("pannels"), 1, &error) == GR_BAD_ARGUMENT);
    gr_job_free(job);
}

static void several_numbers_are_set_or_none(void) {
    const double none = strtod("nan", NULL);
    gr_slot slots[4];
    double values[4];
    gr_job *one = NULL;
    gr_job *all = NULL;
    unsigned char first[4096];
    unsigned char second[4096];
    size_t count = 0;
    uint32_t garage = 0;
    uint32_t row = 0;
    gr_job *jobs[2];
    int i;
    slots[0] = slot("circuit.breaker");
    slots[1] = slot("circuit.phases");
    slots[2] = slot("circuit.individual");
    slots[3] = slot("circuit.work");
    REQUIRE(gr_book_code(book, slots[3], WORDS("new"), &garage, &error) == GR_OK);
    values[0] = 50;
    values[1] = 1;
    values[2] = 1;
    values[3] = garage;
    REQUIRE(gr_job_new(book, &one, &error) == GR_OK);
    REQUIRE(gr_job_new(book, &all, &error) == GR_OK);
    jobs[0] = one;
    jobs[1] = all;
    for (i = 0; i < 2; ++i) {
        REQUIRE(gr_job_add(jobs[i], 0, WORDS("panels"), &row, &error) == GR_OK);
        REQUIRE(gr_job_add(jobs[i], 0, WORDS("circuits"), &row, &error) == GR_OK);
    }
    EXPECT(gr_job_set_number(one, slots[0], row, 50, &error) == GR_OK);
    EXPECT(gr_job_set_number(one, slots[1], row, 1, &error) == GR_OK);
    EXPECT(gr_job_set_truth(one, slots[2], row, 1, &error) == GR_OK);
    EXPECT(gr_job_set_code(one, slots[3], row, garage, &error) == GR_OK);
    EXPECT(gr_job_set_numbers(all, row, slots, values, 4, &error) == GR_OK);
    REQUIRE(gr_check_verdicts(one, NULL, first, sizeof first, &count, &error) == GR_OK);
    REQUIRE(gr_check_verdicts(all, NULL, second, sizeof second, &count, &error) == GR_OK);
    EXPECT(memcmp(first, second, count) == 0);

    /* A wrong one leaves the others as they were. */
    values[0] = 20;
    values[2] = 2;
    EXPECT(gr_job_set_numbers(all, row, slots, values, 4, &error) == GR_BAD_FACTS);
    EXPECT(HOLDS(error.message, "circuit.individual"));
    values[2] = 1;
    values[3] = 4000;
    EXPECT(gr_job_set_numbers(all, row, slots, values, 4, &error) == GR_BAD_FACTS);
    values[3] = garage;
    values[0] = -1;
    EXPECT(gr_job_set_numbers(all, row, slots, values, 4, &error) == GR_BAD_FACTS);
    EXPECT(gr_job_set_numbers(all, row + 7, slots, values, 4, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_job_set_numbers(all, row, NULL, values, 4, &error) == GR_BAD_ARGUMENT);
    REQUIRE(gr_check_verdicts(all, NULL, second, sizeof second, &count, &error) == GR_OK);
    EXPECT(memcmp(first, second, count) == 0);

    /* What is no number is unknown. */
    for (i = 0; i < 4; ++i) {
        values[i] = none;
        EXPECT(gr_job_clear(one, slots[i], row, &error) == GR_OK);
    }
    EXPECT(gr_job_set_numbers(all, row, slots, values, 4, &error) == GR_OK);
    REQUIRE(gr_check_verdicts(one, NULL, first, sizeof first, &count, &error) == GR_OK);
    REQUIRE(gr_check_verdicts(all, NULL, second, sizeof second, &count, &error) == GR_OK);
    EXPECT(memcmp(first, second, count) == 0);
    gr_job_free(one);
    gr_job_free(all);
}

static void codes(void) {
    gr_job *job = job_from(garage);
    const gr_slot work = slot("circuit.work");
    const gr_slot breaker = slot("circuit.breaker");
    const gr_slot neutral = slot("circuit.neutral");
    const gr_slot nowhere = {99, 0};
    const double one = 1;
    uint32_t code = 7;
    EXPECT(gr_book_code(book, breaker, WORDS("50 A"), &code, &error) == GR_BAD_ARGUMENT);
    EXPECT(strcmp(error.code, "no-codes") == 0 && HOLDS(error.message, "breaker"));
    EXPECT(gr_book_code(book, neutral, WORDS("yes"), &code, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_book_code(book, work, WORDS("brand_new"), &code, &error) == GR_BAD_FACTS);
    EXPECT(HOLDS(error.message, "circuit.work") && code == 7);
    EXPECT(gr_job_set_code(job, work, 0, 4000, &error) == GR_BAD_FACTS);
    EXPECT(strcmp(error.message, "circuit.work has no such code") == 0);
    EXPECT(gr_job_set_code(job, neutral, 0, 1, &error) == GR_BAD_FACTS);
    EXPECT(gr_job_set_code(job, breaker, 0, 0, &error) == GR_BAD_FACTS);
    EXPECT(gr_job_set_numbers(job, 0, &nowhere, &one, 1, &error) == GR_BAD_ARGUMENT);
    EXPECT(strcmp(error.code, "bad-slot") == 0);
    EXPECT(gr_job_set_numbers(job, 0, NULL, NULL, 0, &error) == GR_OK);
    /* A list that is called like none has no nearest name. */
    EXPECT(gr_job_add(job, 0, WORDS("zzzzzzzzzzzz"), &code, &error) == GR_BAD_ARGUMENT);
    EXPECT(HOLDS(error.message, "zzzzzzzzzzzz") && !HOLDS(error.message, "did you mean"));
    gr_job_free(job);
}

static void contradictions_give_no_report(void) {
    /* A 14-50R is one of 50 A. */
    gr_job *job = job_from("{\"panels\": [{\"circuits\": [{\"receptacles\": [{"
                           "\"configuration\": \"14-50R\", \"rated_current\": \"30 A\"}]}]}]}");
    gr_report *report = UNTOUCHED(gr_report);
    EXPECT(gr_check(job, NULL, &report, &error) == GR_BAD_FACTS);
    EXPECT(report == UNTOUCHED(gr_report));
    EXPECT(error.status == GR_BAD_FACTS && error.code[0] != '\0');
    EXPECT(HOLDS(error.message, "30 A") && HOLDS(error.message, "50 A"));
    EXPECT(HOLDS(error.message, "rated_current"));
    EXPECT(HOLDS(error.message, "panels[0].circuits[0].receptacles[0]"));
    /* Mended, the same job is checked. */
    EXPECT(gr_job_set_text(job, slot("receptacle.rated_current"), 0, WORDS("50 A"), &error) ==
           GR_OK);
    EXPECT(gr_check(job, NULL, &report, &error) == GR_OK);
    gr_report_free(report);
    gr_job_free(job);
}

static void assumptions(void) {
    gr_job *job = job_from("{\"work\": \"new\", \"occupancy\": \"one_family_dwelling\","
                           "\"panels\": [{\"circuits\": [{"
                           "\"system\": \"120/240 V, 1-phase, 3-wire\", \"receptacles\": [{"
                           "\"configuration\": \"14-50R\", \"location\": \"garage\", \"serves\": "
                           "\"vehicle_charging\"}]}]}]}");
    EXPECT(check_for(job, "dwelling_receptacle_gfci") == GR_UNDETERMINED);
    EXPECT(gr_job_assume_json(job, WORDS("{\"assume\": {\"receptacle.gfi\": \"none\"}}"),
                              WORDS("usual.json"), &error) == GR_BAD_FACTS);
    EXPECT(strcmp(error.file, "usual.json") == 0 && HOLDS(error.message, "receptacle.gfci"));
    EXPECT(check_for(job, "dwelling_receptacle_gfci") == GR_UNDETERMINED);
    EXPECT(gr_job_assume_json(job, WORDS("{\"assume\": {\"receptacle.gfci\": \"none\"}}"),
                              WORDS("usual.json"), &error) == GR_OK);
    EXPECT(check_for(job, "dwelling_receptacle_gfci") == GR_VIOLATES);
    gr_job_free(job);
}

static void reports(void) {
    gr_job *job = job_from(garage);
    gr_report *report = NULL;
    gr_check_options options = GR_CHECK_OPTIONS_INIT;
    gr_render_options render = GR_RENDER_OPTIONS_INIT;
    gr_text text = {NULL, 7};
    gr_finding finding = {0};

    options.stage = "tomorrow";
    report = UNTOUCHED(gr_report);
    EXPECT(gr_check(job, &options, &report, &error) == GR_BAD_ARGUMENT);
    EXPECT(HOLDS(error.message, "tomorrow") && report == UNTOUCHED(gr_report));
    options.size = 0;
    EXPECT(gr_check(job, &options, &report, &error) == GR_BAD_ARGUMENT);
    REQUIRE(gr_check(job, NULL, &report, &error) == GR_OK);
    const size_t all = gr_report_count(report);

    /* The size tells which members the caller knows. */
    EXPECT(gr_report_finding(report, 0, &finding, &error) == GR_BAD_ARGUMENT);
    finding.size = sizeof finding;
    finding.item.size = 7;
    EXPECT(gr_report_finding(report, all, &finding, &error) == GR_BAD_ARGUMENT);
    EXPECT(finding.item.size == 7);
    REQUIRE(gr_report_finding(report, 0, &finding, &error) == GR_OK);
    EXPECT(finding.citation.size > 0 && finding.citation.data[finding.citation.size] == '\0');
    EXPECT(verdict_of(report, "dwelling_receptacle_gfci") == GR_VIOLATES);
    EXPECT(gr_report_exit_status(report, 0) == 1 && gr_report_exit_status(report, 1) == 1);

    EXPECT(gr_report_render(report, (gr_format)7, NULL, &text, &error) == GR_BAD_ARGUMENT);
    EXPECT(text.size == 7);
    EXPECT(gr_report_render(report, GR_SARIF, NULL, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "\"2.1.0\""));
    EXPECT(gr_report_render(report, GR_PLAIN, NULL, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "210.8(A)(2)") && strchr(text.data, '\033') == NULL);
    EXPECT(HOLDS(text.data, "authority having jurisdiction"));
    render.colour = 1;
    EXPECT(gr_report_render(report, GR_PLAIN, &render, &text, &error) == GR_OK);
    EXPECT(strchr(text.data, '\033') != NULL);
    gr_report_free(report);

    options = (gr_check_options)GR_CHECK_OPTIONS_INIT;
    options.stage = "acceptance";
    REQUIRE(gr_check(job, &options, &report, &error) == GR_OK);
    EXPECT(gr_report_count(report) > 0 && gr_report_count(report) < all);

    /* A report does not need its job. */
    gr_job_free(job);
    EXPECT(gr_report_render(report, GR_JSON, NULL, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "panels[0].circuits[0].receptacles[0]"));
    gr_report_free(report);
}

static void an_empty_job_is_open(void) {
    gr_job *job = NULL;
    gr_report *report = NULL;
    REQUIRE(gr_job_new(book, &job, &error) == GR_OK);
    REQUIRE(gr_check(job, NULL, &report, &error) == GR_OK);
    EXPECT(gr_report_exit_status(report, 0) != 1);
    gr_report_free(report);
    gr_job_free(job);
}

int main(void) {
    REQUIRE(gr_book_open(WORDS("nec-2020"), NULL, 0, NULL, &book, &error) == GR_OK);
    null_handles();
    bad_documents();
    setters_say_the_same_as_a_document();
    setters_refuse();
    several_numbers_are_set_or_none();
    codes();
    contradictions_give_no_report();
    assumptions();
    reports();
    an_empty_job_is_open();
    gr_book_free(book);
    return failures == 0 ? 0 : 1;
}
