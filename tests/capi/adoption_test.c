/* Adoption: a timeline, what it answers for a job, order of freeing, and every way to fail. */
#include <groundrule/groundrule.h>

#include <stdlib.h>

#include "expect.h"

#define UNTOUCHED(type) ((type *)(void *)&failures)

static gr_adoption *opened(const char *place) {
    gr_error error;
    gr_adoption *adoption = NULL;
    if (gr_adoption_open(WORDS(place), NULL, 0, &adoption, &error) != GR_OK) {
        fprintf(stderr, "%s\n", error.message);
        exit(1);
    }
    return adoption;
}

static void faults_of_the_caller(void) {
    gr_error error;
    gr_adoption *adoption = UNTOUCHED(gr_adoption);
    gr_answer *answer = UNTOUCHED(gr_answer);
    gr_find_options options = GR_FIND_OPTIONS_INIT;
    gr_period period = GR_PERIOD_INIT;
    gr_text text = {NULL, 7};

    EXPECT(gr_adoption_open(NULL, 0, NULL, 0, &adoption, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_adoption_open(WORDS("harbor-city"), NULL, 1, &adoption, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_adoption_open(WORDS("nowhere"), NULL, 0, &adoption, &error) == GR_BAD_RULES);
    EXPECT(strcmp(error.code, "unknown-place") == 0 && HOLDS(error.message, "harbor-city"));
    EXPECT(gr_adoption_open(WORDS("nec-2020"), NULL, 0, &adoption, NULL) == GR_BAD_RULES);
    EXPECT(adoption == UNTOUCHED(gr_adoption));
    gr_adoption_free(NULL);
    gr_answer_free(NULL);
    EXPECT(gr_adoption_timeline(NULL, GR_JSON).size == 0);
    EXPECT(gr_answer_outcome(NULL) == GR_NO_PERIOD && gr_answer_count(NULL) == 0);
    EXPECT(gr_answer_render(NULL, GR_JSON, &text, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_answer_period(NULL, 0, &period, &error) == GR_BAD_ARGUMENT);

    adoption = opened("harbor-city");
    EXPECT(gr_adoption_timeline(adoption, GR_SARIF).size == 0);
    EXPECT(gr_adoption_find(adoption, NULL, 0, NULL, 0, NULL, &answer, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_adoption_find(adoption, WORDS("{\"x\": 1}"), WORDS("bad"), NULL, &answer, &error) ==
           GR_BAD_FACTS);
    EXPECT(HOLDS(error.message, "bad:1:"));
    options.on = "2025-02-30";
    EXPECT(gr_adoption_find(adoption, WORDS("{}"), NULL, 0, &options, &answer, &error) ==
           GR_BAD_ARGUMENT);
    options.on = "2025-08-01";
    options.choose = "edition-2017";
    EXPECT(gr_adoption_find(adoption, WORDS("{}"), NULL, 0, &options, &answer, &error) ==
           GR_BAD_ARGUMENT);
    options.choose = NULL;
    EXPECT(gr_adoption_find(adoption, WORDS("{\"application_date\": \"2024-01-01\"}"), NULL, 0,
                            &options, &answer, &error) == GR_BAD_FACTS);
    /* A 14-50R is one of 50 A. */
    options.on = NULL;
    EXPECT(gr_adoption_find(adoption,
                            WORDS("{\"panels\": [{\"circuits\": [{\"receptacles\": [{"
                                  "\"configuration\": \"14-50R\", \"rated_current\": \"30 A\"}"
                                  "]}]}]}"),
                            NULL, 0, &options, &answer, &error) == GR_BAD_FACTS);
    EXPECT(strcmp(error.code, "contradiction") == 0);
    options.size = 3;
    EXPECT(gr_adoption_find(adoption, WORDS("{}"), NULL, 0, &options, &answer, &error) ==
           GR_BAD_ARGUMENT);
    EXPECT(answer == UNTOUCHED(gr_answer));
    gr_adoption_free(adoption);
}

static void a_choice(void) {
    gr_error error;
    gr_adoption *adoption = opened("harbor-city");
    gr_answer *answer = NULL;
    gr_find_options options = GR_FIND_OPTIONS_INIT;
    gr_period period = GR_PERIOD_INIT;
    gr_text text;
    EXPECT(HOLDS(gr_adoption_timeline(adoption, GR_PLAIN).data, "ordinance-25-3"));
    EXPECT(HOLDS(gr_adoption_timeline(adoption, GR_JSON).data, "\"place\": \"harbor-city\""));
    options.on = "2025-08-01";
    REQUIRE(gr_adoption_find(adoption, WORDS("{}"), NULL, 0, &options, &answer, &error) == GR_OK);
    gr_adoption_free(adoption); /* the answer keeps what it needs */
    EXPECT(gr_answer_outcome(answer) == GR_CHOICE);
    EXPECT(gr_answer_count(answer) == 2);
    REQUIRE(gr_answer_period(answer, 1, &period, &error) == GR_OK);
    EXPECT(strcmp(period.name.data, "ordinance-25-3") == 0 && period.in_force == 1);
    EXPECT(strcmp(period.book.data, "nec-2020+harbor-city-2025") == 0);
    EXPECT(period.handed_over.size == 0);
    EXPECT(strcmp(period.by.data, "application_date") == 0);
    EXPECT(strcmp(period.on.data, "2025-08-01") == 0);
    EXPECT(gr_answer_period(answer, 2, &period, &error) == GR_BAD_ARGUMENT);
    period.size = 1;
    EXPECT(gr_answer_period(answer, 0, &period, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_answer_render(answer, GR_SARIF, &text, &error) == GR_BAD_ARGUMENT);
    REQUIRE(gr_answer_render(answer, GR_PLAIN, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "the applicant chooses"));
    gr_answer_free(answer);
}

static void what_is_missing(void) {
    gr_error error;
    gr_adoption *adoption = opened("aldermark-county");
    gr_answer *answer = NULL;
    gr_text text;
    REQUIRE(gr_adoption_find(adoption, WORDS("{\"permit_date\": \"2021-01-01\"}"), NULL, 0, NULL,
                             &answer, &error) == GR_OK);
    EXPECT(gr_answer_outcome(answer) == GR_ASKS);
    REQUIRE(gr_answer_render(answer, GR_JSON, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "\"fact\": \"job.occupancy\""));
    gr_answer_free(answer);
    REQUIRE(gr_adoption_find(adoption,
                             WORDS("{\"permit_date\": \"2021-01-01\","
                                   "\"occupancy\": \"one_family_dwelling\"}"),
                             NULL, 0, NULL, &answer, &error) == GR_OK);
    EXPECT(gr_answer_outcome(answer) == GR_HANDED_OVER);
    gr_answer_free(answer);
    gr_adoption_free(adoption);
}

int main(void) {
    EXPECT(HOLDS(gr_shipped_adoptions(), "harbor-city\n"));
    faults_of_the_caller();
    a_choice();
    what_is_missing();
    return failures == 0 ? 0 : 1;
}
