/* Verdicts without reasons: those of the report, by stage, within the room that the caller has; and
 * what a job gets that contradicts itself. The rules are invented. */
#include <groundrule/groundrule.h>

#include <stdlib.h>

#include "expect.h"

static const char rules[] = "edition small\n"
                            "  title \"Small\"\n"
                            "  publisher \"Invented\"\n"
                            "\n"
                            "rule 1.1 \"Breakers\"\n"
                            "  topic small_breakers\n"
                            "  stage design\n"
                            "  for   circuit\n"
                            "  shall breaker at most 20 A\n"
                            "  says  \"At most 20 A.\"\n"
                            "\n"
                            "rule 1.2 \"Circuits of their own\"\n"
                            "  topic own_circuits\n"
                            "  stage design, acceptance\n"
                            "  for   circuit\n"
                            "  shall individual\n"
                            "  says  \"Others are on it.\"\n";

static const char two_circuits[] = "{\"panels\": [{\"circuits\": [{\"work\": \"new\", \"breaker\": "
                                   "\"30 A\", \"individual\": true},"
                                   "{\"work\": \"new\", \"breaker\": \"15 A\"}]}]}";

/* A 14-50R is one of 50 A. */
static const char against_itself[] =
    "{\"panels\": [{\"circuits\": [{\"receptacles\": [{\"configuration\": \"14-50R\","
    "\"rated_current\": \"30 A\"}]}]}]}";

static gr_error error;

static gr_job *read_job(const gr_book *book, const char *json) {
    gr_job *job = NULL;
    REQUIRE(gr_job_from_json(book, WORDS(json), NULL, 0, &job, &error) == GR_OK);
    return job;
}

static int are(const unsigned char *verdicts, int a, int b, int c, int d) {
    return verdicts[0] == a && verdicts[1] == b && verdicts[2] == c && verdicts[3] == d;
}

static void by_stage(gr_job *job) {
    unsigned char verdicts[4];
    size_t count = 0;
    gr_report *report = NULL;
    gr_check_options options = GR_CHECK_OPTIONS_INIT;
    REQUIRE(gr_check_verdicts(job, NULL, verdicts, 4, &count, &error) == GR_OK);
    EXPECT(count == 4);
    EXPECT(are(verdicts, GR_VIOLATES, GR_COMPLIES, GR_COMPLIES, GR_UNDETERMINED));
    options.stage = "design";
    REQUIRE(gr_check_verdicts(job, &options, verdicts, 4, &count, &error) == GR_OK);
    EXPECT(are(verdicts, GR_VIOLATES, GR_COMPLIES, GR_COMPLIES, GR_UNDETERMINED));
    options.stage = "acceptance";
    REQUIRE(gr_check_verdicts(job, &options, verdicts, 4, &count, &error) == GR_OK);
    EXPECT(count == 4);
    EXPECT(are(verdicts, GR_NOT_AT_THIS_STAGE, GR_NOT_AT_THIS_STAGE, GR_COMPLIES, GR_UNDETERMINED));
    REQUIRE(gr_check(job, &options, &report, &error) == GR_OK);
    EXPECT(gr_report_count(report) == 2);
    EXPECT(gr_report_missing_count(report, 0) == 0);
    EXPECT(gr_report_missing_count(report, 1) > 0);
    EXPECT(gr_report_missing_count(report, 2) == 0); /* there is none */
    gr_report_free(report);
    report = NULL;
    options.stage = "dusk";
    EXPECT(gr_check_verdicts(job, &options, verdicts, 4, &count, &error) == GR_BAD_ARGUMENT);
    EXPECT(strcmp(error.code, "unknown-stage") == 0 && HOLDS(error.message, "dusk"));
    EXPECT(gr_check(job, &options, &report, &error) == GR_BAD_ARGUMENT && report == NULL);
}

static void in_the_room_there_is(gr_job *job) {
    unsigned char verdicts[4] = {77, 77, 77, 77};
    size_t count = 0;
    EXPECT(gr_check_verdicts(job, NULL, NULL, 0, &count, &error) == GR_OK);
    EXPECT(count == 4);
    count = 0;
    EXPECT(gr_check_verdicts(job, NULL, verdicts, 3, &count, &error) == GR_OK);
    EXPECT(count == 4);
    EXPECT(are(verdicts, 77, 77, 77, 77));
    EXPECT(gr_check_verdicts(job, NULL, NULL, 4, &count, &error) == GR_BAD_ARGUMENT);
}

static void a_truth_is_yes_or_no(const gr_book *book, gr_job *job) {
    unsigned char verdicts[4];
    size_t count = 0;
    gr_slot individual;
    REQUIRE(gr_book_slot(book, WORDS("circuit.individual"), &individual, &error) == GR_OK);
    EXPECT(gr_job_set_truth(job, individual, 1, 0, &error) == GR_OK);
    REQUIRE(gr_check_verdicts(job, NULL, verdicts, 4, &count, &error) == GR_OK);
    EXPECT(are(verdicts, GR_VIOLATES, GR_COMPLIES, GR_COMPLIES, GR_VIOLATES));
    EXPECT(gr_job_set_text(job, individual, 1, WORDS("yes"), &error) == GR_OK);
    REQUIRE(gr_check_verdicts(job, NULL, verdicts, 4, &count, &error) == GR_OK);
    EXPECT(are(verdicts, GR_VIOLATES, GR_COMPLIES, GR_COMPLIES, GR_COMPLIES));
    EXPECT(gr_job_set_text(job, individual, 1, WORDS("no"), &error) == GR_OK);
    REQUIRE(gr_check_verdicts(job, NULL, verdicts, 4, &count, &error) == GR_OK);
    EXPECT(are(verdicts, GR_VIOLATES, GR_COMPLIES, GR_COMPLIES, GR_VIOLATES));
    EXPECT(gr_job_set_truth(job, individual, 1, 7, &error) == GR_OK);
    REQUIRE(gr_check_verdicts(job, NULL, verdicts, 4, &count, &error) == GR_OK);
    EXPECT(are(verdicts, GR_VIOLATES, GR_COMPLIES, GR_COMPLIES, GR_COMPLIES));
}

static void a_contradiction_gives_none(const gr_book *book) {
    gr_job *job = read_job(book, against_itself);
    gr_explanation *explanation = NULL;
    gr_remedies *remedies = NULL;
    gr_document *document = NULL;
    gr_largest_options grid = GR_LARGEST_OPTIONS_INIT;
    gr_place place = {{0, 0}, 0};
    unsigned char verdicts[4] = {77, 77, 77, 77};
    size_t count = 9;
    EXPECT(gr_check_verdicts(job, NULL, verdicts, 4, &count, &error) == GR_BAD_FACTS);
    EXPECT(strcmp(error.code, "contradiction") == 0);
    EXPECT(strcmp(error.file, "panels[0].circuits[0].receptacles[0]") == 0 && error.line == 0);
    EXPECT(HOLDS(error.message, "30 A") && HOLDS(error.message, "50 A"));
    EXPECT(count == 9 && are(verdicts, 77, 77, 77, 77));

    /* Nor does any answer beyond a verdict begin with such facts. */
    REQUIRE(gr_book_slot(book, WORDS("circuit.breaker"), &place.slot, &error) == GR_OK);
    grid.from = "15 A";
    grid.to = "20 A";
    grid.step = "5 A";
    EXPECT(gr_explain(job, NULL, &explanation, &error) == GR_BAD_FACTS && explanation == NULL);
    EXPECT(strcmp(error.code, "contradiction") == 0);
    EXPECT(gr_find_remedies(job, NULL, &remedies, &error) == GR_BAD_FACTS && remedies == NULL);
    EXPECT(strcmp(error.code, "contradiction") == 0);
    EXPECT(gr_find_largest(job, place, &grid, GR_JSON, &document, &error) == GR_BAD_FACTS);
    EXPECT(strcmp(error.code, "contradiction") == 0 && document == NULL);
    gr_job_free(job);
}

int main(void) {
    const gr_source source = {{"small.rules", 11}, {rules, sizeof rules - 1}};
    gr_book *book = NULL;
    gr_job *job = NULL;
    if (gr_book_open(WORDS("small"), &source, 1, NULL, &book, &error) != GR_OK)
        fprintf(stderr, "%s\n", error.message);
    REQUIRE(book != NULL);
    job = read_job(book, two_circuits);
    by_stage(job);
    in_the_room_there_is(job);
    a_truth_is_yes_or_no(book, job);
    a_contradiction_gives_none(book);
    gr_job_free(job);
    gr_book_free(book);
    return failures == 0 ? 0 : 1;
}
