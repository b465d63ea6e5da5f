/* Comparison of books: what it holds, jobs one by one, order of freeing, and every way to fail. */
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

static void faults_of_the_caller(void) {
    gr_error error;
    gr_book *book = opened("nec-2017");
    gr_comparison *comparison = UNTOUCHED(gr_comparison);
    gr_text text = {NULL, 7};
    EXPECT(gr_compare_books(NULL, book, &comparison, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_compare_books(book, NULL, &comparison, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_compare_books(book, book, NULL, NULL) == GR_BAD_ARGUMENT);
    EXPECT(comparison == UNTOUCHED(gr_comparison));
    EXPECT(gr_comparison_add_job(NULL, WORDS("{}"), WORDS("a"), &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_comparison_render(NULL, GR_JSON, &text, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_comparison_same(NULL) == 0);
    gr_comparison_free(NULL);
    REQUIRE(gr_compare_books(book, book, &comparison, &error) == GR_OK);
    EXPECT(gr_comparison_render(comparison, GR_SARIF, &text, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_comparison_render(comparison, GR_JSON, NULL, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_comparison_add_job(comparison, NULL, 0, WORDS("a"), &error) == GR_BAD_ARGUMENT);
    EXPECT(text.size == 7);
    gr_comparison_free(comparison);
    gr_book_free(book);
}

static void an_amendment(void) {
    gr_error error;
    gr_book *before = opened("nec-2017");
    gr_book *after = opened("nec-2017+tia-17-2");
    gr_comparison *comparison = NULL;
    gr_text text;
    REQUIRE(gr_compare_books(before, after, &comparison, &error) == GR_OK);
    gr_book_free(before); /* the comparison keeps what it needs */
    gr_book_free(after);
    EXPECT(gr_comparison_same(comparison) == 0);
    REQUIRE(gr_comparison_render(comparison, GR_PLAIN, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "625.54") && !HOLDS(text.data, "On 1 job"));
    EXPECT(gr_comparison_add_job(comparison, WORDS("{\"panels\": 3}"), WORDS("bad"), &error) ==
           GR_BAD_FACTS);
    EXPECT(HOLDS(error.message, "bad:1:"));
    /* A 14-50R is one of 50 A. */
    EXPECT(gr_comparison_add_job(comparison,
                                 WORDS("{\"panels\": [{\"circuits\": [{\"receptacles\": [{"
                                       "\"configuration\": \"14-50R\", \"rated_current\": \"30 A\""
                                       "}]}]}]}"),
                                 WORDS("odd"), &error) == GR_BAD_FACTS);
    EXPECT(strcmp(error.code, "contradiction") == 0);
    REQUIRE(gr_comparison_add_job(comparison, WORDS(garage), WORDS("garage"), &error) == GR_OK);
    REQUIRE(gr_comparison_render(comparison, GR_JSON, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "\"jobs\": 1,") && HOLDS(text.data, "\"job\": \"garage\""));
    EXPECT(HOLDS(text.data, "\"charging_receptacle_gfci\""));
    gr_comparison_free(comparison);
}

static void a_book_and_itself(void) {
    gr_error error;
    gr_book *book = opened("nec-2023");
    gr_comparison *comparison = NULL;
    gr_text text;
    REQUIRE(gr_compare_books(book, book, &comparison, &error) == GR_OK);
    REQUIRE(gr_comparison_add_job(comparison, WORDS(garage), WORDS("garage"), &error) == GR_OK);
    EXPECT(gr_comparison_same(comparison) == 1);
    REQUIRE(gr_comparison_render(comparison, GR_PLAIN, &text, &error) == GR_OK);
    EXPECT(HOLDS(text.data, "No difference."));
    gr_comparison_free(comparison);
    gr_book_free(book);
}

int main(void) {
    faults_of_the_caller();
    an_amendment();
    a_book_and_itself();
    return failures == 0 ? 0 : 1;
}
