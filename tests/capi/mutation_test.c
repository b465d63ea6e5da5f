/* Mutants of a book: counts, survivors, forms, order of freeing, and every way to fail. */
#include <groundrule/groundrule.h>

#include <stdlib.h>

#include "expect.h"

#define UNTOUCHED(type) ((type *)(void *)&failures)

static const char rules[] = "edition probe-1\n"
                            "  title \"Probe (invented)\"\n"
                            "  publisher \"Nobody\"\n"
                            "\n"
                            "rule 1.1 \"Spacing\"\n"
                            "  topic spacing\n"
                            "  for run\n"
                            "  limit widest = 4 ft\n"
                            "  shall support_spacing at most widest\n"
                            "  says \"Too far.\"\n"
                            "\n"
                            "test spacing \"At the limit, and far over it\"\n"
                            "  given job.work = new, run.support_spacing = 4 ft\n"
                            "  expect complies\n"
                            "  with run.support_spacing = 9 ft expect ";

static gr_book *opened(const char *verdict) {
    gr_error error;
    gr_book *book = NULL;
    char text[1024];
    const gr_source source = {
        {"probe.rules", strlen("probe.rules")},
        {text, (size_t)snprintf(text, sizeof text, "%s%s\n", rules, verdict)}};
    if (gr_book_open(WORDS("probe-1"), &source, 1, NULL, &book, &error) != GR_OK) {
        fprintf(stderr, "%s\n", error.message);
        exit(1);
    }
    return book;
}

static void faults_of_the_caller(void) {
    gr_error error;
    gr_book *book = opened("violates");
    gr_mutation *mutation = UNTOUCHED(gr_mutation);
    gr_mutation_options options = GR_MUTATION_OPTIONS_INIT;
    gr_survivor survivor = GR_SURVIVOR_INIT;
    gr_text text = {NULL, 7};
    EXPECT(gr_mutate(NULL, NULL, &mutation, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_mutate(book, NULL, NULL, NULL) == GR_BAD_ARGUMENT);
    options.threads = 1000;
    EXPECT(gr_mutate(book, &options, &mutation, &error) == GR_BAD_ARGUMENT);
    options.threads = 1;
    options.file.data = "other.rules";
    options.file.size = strlen("other.rules");
    EXPECT(gr_mutate(book, &options, &mutation, &error) == GR_BAD_ARGUMENT);
    EXPECT(HOLDS(error.message, "other.rules"));
    options.file.data = NULL;
    EXPECT(gr_mutate(book, &options, &mutation, &error) == GR_BAD_ARGUMENT);
    EXPECT(strcmp(error.code, "bad-pointer") == 0);
    EXPECT(mutation == UNTOUCHED(gr_mutation));
    EXPECT(gr_mutation_mutants(NULL) == 0 && gr_mutation_killed(NULL) == 0);
    EXPECT(gr_mutation_survivor(NULL, 0, &survivor, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_mutation_render(NULL, GR_JSON, &text, &error) == GR_BAD_ARGUMENT);
    gr_mutation_free(NULL);
    REQUIRE(gr_mutate(book, NULL, &mutation, &error) == GR_OK);
    EXPECT(gr_mutation_survivor(mutation, 0, NULL, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_mutation_survivor(mutation, 99999, &survivor, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_mutation_render(mutation, GR_SARIF, &text, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_mutation_render(mutation, GR_JSON, NULL, &error) == GR_BAD_ARGUMENT);
    EXPECT(text.size == 7);
    gr_mutation_free(mutation);
    gr_book_free(book);
}

static void a_loose_limit(void) {
    gr_error error;
    gr_book *book = opened("violates");
    gr_mutation *mutation = NULL;
    gr_mutation_options options = GR_MUTATION_OPTIONS_INIT;
    gr_survivor survivor = GR_SURVIVOR_INIT;
    gr_text text;
    options.file.data = "probe.rules";
    options.file.size = strlen("probe.rules");
    REQUIRE(gr_mutate(book, &options, &mutation, &error) == GR_OK);
    gr_book_free(book); /* the mutation keeps what it needs */
    EXPECT(gr_mutation_mutants(mutation) == 6 && gr_mutation_killed(mutation) == 5);
    REQUIRE(gr_mutation_survivor(mutation, 0, &survivor, &error) == GR_OK);
    EXPECT(HOLDS(survivor.file.data, "probe.rules") && survivor.line == 8 && survivor.column == 18);
    EXPECT(HOLDS(survivor.to.data, "widest = 5 ft"));
    EXPECT(gr_mutation_survivor(mutation, 1, &survivor, &error) == GR_BAD_ARGUMENT);
    REQUIRE(gr_mutation_render(mutation, GR_PLAIN, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data,
                 "probe.rules:8:18: rule 1.1 (spacing): limit: widest = 4 ft -> widest = 5 ft"));
    EXPECT(HOLDS(text.data, "5 of 6 mutants killed, 1 survive"));
    REQUIRE(gr_mutation_render(mutation, GR_JSON, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "\"mutants\": 6,") && HOLDS(text.data, "\"killed\": 5,"));
    gr_mutation_free(mutation);
}

static void a_failing_test(void) {
    gr_error error;
    gr_book *book = opened("complies");
    gr_mutation *mutation = NULL;
    EXPECT(gr_mutate(book, NULL, &mutation, &error) == GR_BAD_RULES);
    EXPECT(mutation == NULL && HOLDS(error.code, "failing-tests"));
    gr_book_free(book);
}

int main(void) {
    faults_of_the_caller();
    a_loose_limit();
    a_failing_test();
    return failures == 0 ? 0 : 1;
}
