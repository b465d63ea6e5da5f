/* Books: opening, what a book tells of itself, tests beside the rules, and every way to fail. */
#include <groundrule/groundrule.h>

#include <stdlib.h>

#include "expect.h"

/* What an out-parameter holds before a call that fails, and has to hold after it. */
#define UNTOUCHED(type) ((type *)(void *)&failures)

static gr_text text_of(const char *words) {
    const gr_text text = {words, strlen(words)};
    return text;
}

static void null_handles(void) {
    gr_error error;
    gr_book *book = NULL;
    gr_text text = {NULL, 7};
    size_t failed = 7;
    gr_slot slot = {7, 8};

    gr_book_free(NULL);
    EXPECT(gr_book_name(NULL).size == 0 && gr_book_name(NULL).data != NULL);
    EXPECT(gr_book_digest(NULL).size == 0);
    EXPECT(gr_book_describe(NULL).size == 0);
    EXPECT(gr_book_schema(NULL).size == 0);
    EXPECT(gr_book_open(NULL, 0, NULL, 0, NULL, &book, &error) == GR_BAD_ARGUMENT);
    EXPECT(error.status == GR_BAD_ARGUMENT && error.message[0] != '\0');
    EXPECT(book == NULL);
    EXPECT(gr_book_open(WORDS("nec-2020"), NULL, 1, NULL, &book, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_book_open(WORDS("nec-2020"), NULL, 0, NULL, NULL, &error) == GR_BAD_ARGUMENT);
    const gr_source nameless = {{NULL, 3}, {"", 0}};
    EXPECT(gr_book_open(WORDS("nec-2020"), &nameless, 1, NULL, &book, &error) == GR_BAD_ARGUMENT);
    EXPECT(book == NULL);
    EXPECT(gr_book_test(NULL, &text, &failed, &error) == GR_BAD_ARGUMENT);
    EXPECT(text.size == 7 && failed == 7);
    EXPECT(gr_book_slot(NULL, WORDS("circuit.breaker"), &slot, &error) == GR_BAD_ARGUMENT);
    EXPECT(slot.item == 7 && slot.field == 8);
}

static void unknown_books(void) {
    static const char *const names[] = {
        "",          "+",       "nec-2021", "nec-2020+", "nec-2020+nothing", "nec-2020+tia-17-2",
        "nec-2020 ", "tia-17-2"};
    for (size_t i = 0; i < sizeof names / sizeof *names; ++i) {
        gr_error error;
        gr_book *book = UNTOUCHED(gr_book);
        const gr_status status = gr_book_open(WORDS(names[i]), NULL, 0, NULL, &book, &error);
        if (status != GR_BAD_RULES)
            fprintf(stderr, "book \"%s\"\n", names[i]);
        EXPECT(status == GR_BAD_RULES);
        EXPECT(error.status == status && error.message[0] != '\0' && error.code[0] != '\0');
        EXPECT(book == UNTOUCHED(gr_book));
        /* The error may be left out. */
        EXPECT(gr_book_open(WORDS(names[i]), NULL, 0, NULL, &book, NULL) == status);
    }
}

static void a_place_is_no_book(void) {
    gr_book *book = UNTOUCHED(gr_book);
    gr_error error;
    EXPECT(gr_book_open(WORDS("harbor-city"), NULL, 0, NULL, &book, &error) == GR_BAD_RULES);
    EXPECT(strcmp(error.code, "unknown-book") == 0);
    EXPECT(HOLDS(error.message, "its adoption tells which book applies there"));
    EXPECT(book == UNTOUCHED(gr_book));
}

static void a_day_decides_on_layers(void) {
    gr_book_options options = GR_BOOK_OPTIONS_INIT;
    gr_book *before = NULL;
    gr_book *after = NULL;
    gr_book *none = UNTOUCHED(gr_book);
    gr_error error;
    options.on = "2025-06-30";
    REQUIRE(gr_book_open(WORDS("nec-2020+harbor-city-2025"), NULL, 0, &options, &before, &error) ==
            GR_OK);
    options.on = "2025-07-01";
    REQUIRE(gr_book_open(WORDS("nec-2020+harbor-city-2025"), NULL, 0, &options, &after, &error) ==
            GR_OK);
    EXPECT(strcmp(gr_book_name(before).data, "nec-2020") == 0);
    EXPECT(strcmp(gr_book_name(after).data, "nec-2020+harbor-city-2025") == 0);
    EXPECT(strstr(gr_book_describe(before).data, "\"not_in_force\"") != NULL);
    EXPECT(strstr(gr_book_describe(after).data, "\"not_in_force\"") == NULL);
    gr_book_free(before);
    gr_book_free(after);
    options.on = "2025-06-31";
    EXPECT(gr_book_open(WORDS("nec-2020"), NULL, 0, &options, &none, &error) == GR_BAD_ARGUMENT);
    EXPECT(strcmp(error.code, "bad-date") == 0);
    EXPECT(none == UNTOUCHED(gr_book));
}

static void lengths_count(void) {
    /* Neither a name nor a text needs a zero behind it. */
    static const char longer[] = "nec-2020xyz";
    gr_book *book = NULL;
    gr_slot slot;
    gr_error error;
    REQUIRE(gr_book_open(longer, 8, NULL, 0, NULL, &book, &error) == GR_OK);
    EXPECT(gr_book_name(book).size == 8 && memcmp(gr_book_name(book).data, "nec-2020", 9) == 0);
    EXPECT(gr_book_slot(book, "circuit.breakers", 15, &slot, &error) == GR_OK);
    EXPECT(gr_book_slot(book, "circuit.breaker", 14, &slot, &error) == GR_BAD_ARGUMENT);
    EXPECT(HOLDS(error.message, "circuit.breaker"));
    EXPECT(gr_book_slot(book, "circuit.breaker\0x", 17, &slot, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_book_slot(book, "", 0, &slot, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_book_slot(book, WORDS("zzzzzzzzzzzz"), &slot, &error) == GR_BAD_ARGUMENT);
    EXPECT(!HOLDS(error.message, "did you mean"));
    gr_book_free(book);
}

static void faults_of_rule_text(void) {
    static const char rules[] = "amendment own to nec-2020\n"
                                "  title \"Own\"\n"
                                "\n"
                                "delete rule 999.99\n"
                                "\n"
                                "rule 90.1 \"Own rule\"\n"
                                "  topic own_rule\n"
                                "  for receptacle\n"
                                "  shall rated_curent at least 15 A\n";
    gr_source source;
    gr_book *book = UNTOUCHED(gr_book);
    gr_error error;
    source.name = text_of("own.rules");
    source.text = text_of(rules);
    EXPECT(gr_book_open(WORDS("nec-2020+own"), &source, 1, NULL, &book, &error) == GR_BAD_RULES);
    EXPECT(book == UNTOUCHED(gr_book));
    EXPECT(strcmp(error.file, "own.rules") == 0);
    EXPECT(error.line == 4 && error.column > 0);
    /* All faults at once, with the nearest name. */
    EXPECT(HOLDS(error.message, "own.rules:4:") && HOLDS(error.message, "own.rules:9:"));
    EXPECT(HOLDS(error.message, "rated_current"));

    /* Cut in the middle of a declaration. */
    source.text.size = strlen("amendment own to nec-2020\n  title \"Ow");
    EXPECT(gr_book_open(WORDS("nec-2020+own"), &source, 1, NULL, &book, &error) == GR_BAD_RULES);
    EXPECT(error.line == 2);

    source.text = text_of("amendment own to nec-2020\n  title \"\xff\"\n");
    EXPECT(gr_book_open(WORDS("nec-2020+own"), &source, 1, NULL, &book, &error) == GR_BAD_RULES);
    source.text.size = 0;
    EXPECT(gr_book_open(WORDS("nec-2020+own"), &source, 1, NULL, &book, &error) == GR_BAD_RULES);
}

static void long_lists_of_faults_are_cut(void) {
    static char rules[40000];
    gr_source source;
    gr_book *book = NULL;
    gr_error error;
    strcpy(rules, "amendment own to nec-2020\n  title \"Own\"\n");
    for (size_t used = strlen(rules); used + 40 < sizeof rules; used = strlen(rules))
        strcpy(rules + used, "delete rule 999.99 # \xc2\xb0\xc2\xb0\xc2\xb0\n");
    source.name = text_of("own.rules");
    source.text = text_of(rules);
    EXPECT(gr_book_open(WORDS("nec-2020+own"), &source, 1, NULL, &book, &error) == GR_BAD_RULES);
    const size_t length = strlen(error.message);
    EXPECT(length < sizeof error.message && length > sizeof error.message - 8);
    EXPECT(memchr(error.file, '\0', sizeof error.file) != NULL);
}

/* A name that is too long for gr_error is cut between two characters. */
static void long_names_are_cut(void) {
    static char name[400]; /* of two bytes a character behind the first */
    static char bytes[400];
    gr_book *book = NULL;
    gr_job *job = NULL;
    gr_error error;
    size_t i;
    for (i = 0; i < sizeof name; ++i)
        name[i] = i % 2 == 0 ? '\xc2' : '\xb0';
    memset(bytes, 0x80, sizeof bytes);
    REQUIRE(gr_book_open(WORDS("nec-2020"), NULL, 0, NULL, &book, &error) == GR_OK);
    EXPECT(gr_job_from_json(book, WORDS("{"), name, sizeof name, &job, &error) == GR_BAD_FACTS);
    EXPECT(strlen(error.file) == sizeof error.file - 2);
    EXPECT(memcmp(error.file, name, sizeof error.file - 2) == 0 && error.line == 1);
    name[0] = 'x';
    name[1] = 'x';
    name[2] = 'x';
    for (i = 3; i < sizeof name; ++i)
        name[i] = i % 2 == 1 ? '\xc2' : '\xb0';
    EXPECT(gr_job_from_json(book, WORDS("{"), name, sizeof name, &job, &error) == GR_BAD_FACTS);
    EXPECT(strlen(error.file) == sizeof error.file - 1);
    /* What is no text has no characters. */
    EXPECT(gr_job_from_json(book, WORDS("{"), bytes, sizeof bytes, &job, &error) == GR_BAD_FACTS);
    EXPECT(error.file[0] == '\0' && error.line == 1);
    gr_book_free(book);
}

static void a_book_tells_of_itself(void) {
    gr_book *first = NULL;
    gr_book *second = NULL;
    gr_error error;
    gr_text report;
    size_t failed = 99;
    REQUIRE(gr_book_open(WORDS("nec-2017"), NULL, 0, NULL, &first, &error) == GR_OK);
    REQUIRE(gr_book_open(WORDS("nec-2017+tia-17-2"), NULL, 0, NULL, &second, &error) == GR_OK);
    EXPECT(gr_book_digest(first).size == 64);
    EXPECT(strcmp(gr_book_digest(first).data, gr_book_digest(second).data) != 0);
    EXPECT(strcmp(gr_book_name(second).data, "nec-2017+tia-17-2") == 0);
    EXPECT(HOLDS(gr_book_describe(second).data, "\"tia-17-2\""));
    EXPECT(gr_book_describe(first).data[gr_book_describe(first).size] == '\0');
    EXPECT(HOLDS(gr_book_schema(first).data, "json-schema.org/draft/2020-12/schema"));
    EXPECT(gr_book_test(second, &report, &failed, &error) == GR_OK);
    EXPECT(failed == 0 && report.size > 0);
    if (failed != 0)
        fputs(report.data, stderr);
    gr_book_free(first);
    gr_book_free(second);
}

static void a_failing_test_is_counted(void) {
    static const char rules[] = "amendment own to nec-2020\n"
                                "  title \"Own\"\n"
                                "rule 90.100 \"High receptacles\"\n"
                                "  topic own_height\n"
                                "  stage acceptance\n"
                                "  for receptacle\n"
                                "  shall height at least 18 in\n"
                                "  says \"Too low: {height}.\"\n"
                                "  source \"Invented.\"\n"
                                "test own_height \"Wrong on purpose\"\n"
                                "  given job.work = new\n"
                                "        receptacle.height = 12 in\n"
                                "  expect complies\n"
                                "  with receptacle.height = 18 in expect complies\n"
                                "  source \"Invented.\"\n";
    gr_source source;
    gr_book *book = NULL;
    gr_error error;
    gr_text report;
    size_t failed = 0;
    source.name = text_of("own.rules");
    source.text = text_of(rules);
    const gr_status status = gr_book_open(WORDS("nec-2020+own"), &source, 1, NULL, &book, &error);
    if (status != GR_OK)
        fputs(error.message, stderr);
    REQUIRE(status == GR_OK);
    EXPECT(gr_book_test(book, &report, &failed, &error) == GR_OK);
    EXPECT(failed == 1);
    EXPECT(HOLDS(report.data, "own.rules:13:"));
    gr_book_free(book);
}

static void what_ships(void) {
    EXPECT(HOLDS(gr_shipped_editions(), "nec-2017\n"));
    EXPECT(HOLDS(gr_shipped_editions(), "nec-2020\n"));
    EXPECT(HOLDS(gr_shipped_editions(), "nec-2023\n"));
    EXPECT(HOLDS(gr_shipped_amendments(), "tia-17-2\n"));
    EXPECT(gr_version()[0] != '\0');
}

int main(void) {
    null_handles();
    unknown_books();
    a_place_is_no_book();
    a_day_decides_on_layers();
    lengths_count();
    faults_of_rule_text();
    long_lists_of_faults_are_cut();
    long_names_are_cut();
    a_book_tells_of_itself();
    a_failing_test_is_counted();
    what_ships();
    return failures == 0 ? 0 : 1;
}
