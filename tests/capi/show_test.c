/* A book printed whole, opened again from its own text, and what its layers changed. */
#include <groundrule/groundrule.h>

#include <stdlib.h>
#include <string.h>

#include "expect.h"
#include "garage.h"

static void printed_and_opened_again(void) {
    gr_error error;
    gr_book *book = NULL;
    gr_book *again = NULL;
    gr_document *whole = NULL;
    REQUIRE(gr_book_open(WORDS("nec-2020+harbor-city-2025"), NULL, 0, NULL, &book, &error) ==
            GR_OK);
    REQUIRE(gr_book_show(book, GR_SHOW_BOOK, &whole, &error) == GR_OK);
    const gr_source source = {{"whole.rules", 11}, gr_document_text(whole)};
    REQUIRE(gr_book_open(WORDS("whole.rules"), &source, 1, NULL, &again, &error) == GR_OK);
    const gr_text one = gr_book_digest(book);
    const gr_text two = gr_book_digest(again);
    EXPECT(one.size == two.size && memcmp(one.data, two.data, one.size) == 0);
    EXPECT(gr_book_name(again).size == gr_book_name(book).size);
    gr_document_free(whole);
    gr_book_free(again);
    gr_book_free(book);
}

static void changes_and_faults_of_the_caller(void) {
    gr_error error;
    gr_book *book = NULL;
    gr_document *text = NULL;
    REQUIRE(gr_book_open(WORDS("nec-2020+harbor-city-2025"), NULL, 0, NULL, &book, &error) ==
            GR_OK);
    REQUIRE(gr_book_show(book, GR_SHOW_CHANGES, &text, &error) == GR_OK);
    EXPECT(strstr(gr_document_text(text).data, "limit spacing of rule 334.30") != NULL);
    gr_document_free(text);
    text = NULL;
    EXPECT(gr_book_show(NULL, GR_SHOW_BOOK, &text, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_book_show(book, 7, &text, &error) == GR_BAD_ARGUMENT);
    EXPECT(gr_book_show(book, GR_SHOW_BOOK, NULL, NULL) == GR_BAD_ARGUMENT);
    EXPECT(text == NULL);
    gr_book_free(book);
}

static void one_rule_with_its_lineage(void) {
    gr_error error;
    gr_book *book = NULL;
    gr_document *text = NULL;
    REQUIRE(gr_book_open(WORDS("nec-2023"), NULL, 0, NULL, &book, &error) == GR_OK);
    REQUIRE(gr_book_describe_rule(book, WORDS("adjusted_rating_marked"), &text, &error) == GR_OK);
    EXPECT(strstr(gr_document_text(text).data, "rule 625.42(B) ") != NULL);
    EXPECT(strstr(gr_document_text(text).data,
                  "# Stands as: nec-2020 625.42, nec-2023 625.42(B)") != NULL);
    gr_document_free(text);
    text = NULL;
    REQUIRE(gr_book_describe_rule(book, WORDS("210.8"), &text, &error) == GR_OK);
    EXPECT(strstr(gr_document_text(text).data, "rule 210.8(A) ") != NULL);
    EXPECT(strstr(gr_document_text(text).data, "rule 210.8(F) ") != NULL);
    gr_document_free(text);
    text = NULL;
    EXPECT(gr_book_describe_rule(book, WORDS("625.43(B)"), &text, &error) == GR_BAD_ARGUMENT);
    EXPECT(strstr(error.message, "did you mean \"625.42(B)\"?") != NULL);
    EXPECT(gr_book_describe_rule(book, WORDS("zzzzzzzzzzzz"), &text, &error) == GR_BAD_ARGUMENT);
    EXPECT(strstr(error.message, "zzzzzzzzzzzz") != NULL);
    EXPECT(strstr(error.message, "did you mean") == NULL);
    EXPECT(text == NULL);
    gr_book_free(book);
}

int main(void) {
    printed_and_opened_again();
    changes_and_faults_of_the_caller();
    one_rule_with_its_lineage();
    return failures != 0;
}
