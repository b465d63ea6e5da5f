/* Faults are counted, and warnings are told beside them. */
#include <groundrule/groundrule.h>

#include <stdlib.h>
#include <string.h>

#include "expect.h"

static void lint_own(const char *text, size_t faults, const char *said) {
    const gr_source source = {{"own.rules", 9}, {text, strlen(text)}};
    gr_error error;
    gr_document *told = NULL;
    size_t count = 99;
    REQUIRE(gr_lint(WORDS("nec-2020+own"), &source, 1, GR_LINT_TEXT, &count, &told, &error) ==
            GR_OK);
    EXPECT(count == faults);
    EXPECT(strstr(gr_document_text(told).data, said) != NULL);
    gr_document_free(told);
}

/* Places as editors count them (Language Server Protocol 3.17, "Position"): lines from 0, and
 * UTF-16 units, of which a letter beyond the first plane takes two. */
static void lint_for_an_editor(const char *text, const char *const *said) {
    const gr_source source = {{"own.rules", 9}, {text, strlen(text)}};
    gr_error error;
    gr_document *told = NULL;
    size_t count = 99;
    const char *at;
    REQUIRE(gr_lint(WORDS("nec-2020+own"), &source, 1, GR_LINT_LSP, &count, &told, &error) ==
            GR_OK);
    at = gr_document_text(told).data;
    for (; *said != NULL; ++said) { /* in this order */
        at = strstr(at, *said);
        if (at == NULL) {
            fprintf(stderr, "not told: %s\n", *said);
            ++failures;
            break;
        }
    }
    gr_document_free(told);
}

static void for_an_editor(void) {
    static const char *const stray[] = {"\"uri\": \"own.rules\"",
                                        "\"line\": 1",
                                        "\"character\": 14",
                                        "\"character\": 15",
                                        "\"severity\": 1",
                                        "\"code\": \"syntax\"",
                                        NULL};
    static const char *const twice[] = {"\"line\": 10",       "\"code\": \"topic-twice\"",
                                        "relatedInformation", "\"line\": 3",
                                        "by this rule",       NULL};
    static const char *const loose[] = {"\"severity\": 2", "\"code\": \"untested\"", NULL};
    static const char *const none[] = {"[]", NULL};
    lint_for_an_editor("amendment own to nec-2020\n  title \"\xC3\x84\xF0\x9F\x98\x80\" x\n",
                       stray);
    lint_for_an_editor("amendment own to nec-2020\n  title \"Own\"\n\n"
                       "rule 1.1 \"A\"\n  topic a\n  for circuit\n  shall breaker at most 3 A\n"
                       "  says \"x\"\n\n"
                       "rule 1.1 \"A\"\n  topic a\n  for circuit\n  shall breaker at most 3 A\n"
                       "  says \"x\"\n",
                       twice);
    lint_for_an_editor("amendment own to nec-2020\n  title \"Own\"\n\n"
                       "change limit spacing of rule 334.30 from 4 ft 6 in to 3 ft\n",
                       loose);
    lint_for_an_editor("amendment own to nec-2020\n  title \"Own\"\n\ndelete rule 625.54\n", none);
}

/* A place's timeline is looked over like a book. */
static void lint_a_place(const char *until, size_t faults, const char *said) {
    char text[1024];
    const int size = snprintf(text, sizeof text,
                              "adoption my-town\n  title \"My town (invented)\"\n\n"
                              "period first \"One\"\n  book \"nec-2017\"\n  from 2018-01-01\n"
                              "  until %s\n  by permit_date\n\n"
                              "period second \"Two\"\n  book \"nec-2020\"\n  from 2021-01-01\n"
                              "  by permit_date\n",
                              until);
    const gr_source source = {{"town.rules", 10}, {text, (size_t)size}};
    gr_error error;
    gr_document *told = NULL;
    size_t count = 99;
    REQUIRE(gr_lint(WORDS("my-town"), &source, 1, GR_LINT_TEXT, &count, &told, &error) == GR_OK);
    EXPECT(count == faults);
    EXPECT(HOLDS(gr_document_text(told).data, said));
    gr_document_free(told);
}

/* Warnings are about the caller's files: what nothing in the shipped ones uses is none of theirs.
 */
static void warnings_of_a_shipped_book(void) {
    gr_error error;
    gr_document *told = NULL;
    size_t count = 99;
    REQUIRE(gr_lint(WORDS("nec-2020"), NULL, 0, GR_LINT_TEXT, &count, &told, &error) == GR_OK);
    EXPECT(count == 0 && gr_document_text(told).size == 0);
    gr_document_free(told);
}

static void laid_out(void) {
    gr_error error;
    gr_document *text = NULL;
    EXPECT(gr_lay_out(WORDS("vocabulary\n\ntype a one of (x)\n"), WORDS("my.rules"), &text,
                      &error) == GR_BAD_RULES);
    EXPECT(text == NULL && strcmp(error.file, "my.rules") == 0 && error.line == 3);
    REQUIRE(gr_lay_out(WORDS("vocabulary\ntype a:one of (x)"), WORDS("my.rules"), &text, &error) ==
            GR_OK);
    EXPECT(strcmp(gr_document_text(text).data, "vocabulary\ntype a : one of (x)\n") == 0);
    gr_document_free(text);
}

int main(void) {
    lint_own("amendment own to nec-2020\n  title \"Own\"\n\ndelete rule 625.54\n", 0, "");
    lint_own("amendment own to nec-2020\n  title \"Own\"\n\n"
             "change limit spacing of rule 334.30 from 4 ft 6 in to 3 ft\n",
             0, "own.rules:4:1: warning [untested]");
    lint_own("amendment own to nec-2020\n  title \"Own\"\n\ndelete rule 999.99\n", 1,
             "own.rules:4:13: error [no-target]");
    for_an_editor();
    lint_a_place("2021-01-01", 0, "");
    lint_a_place("2020-01-01", 1, "town.rules");
    warnings_of_a_shipped_book();
    laid_out();
    return failures != 0;
}
