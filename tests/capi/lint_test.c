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

int main(void) {
    lint_own("amendment own to nec-2020\n  title \"Own\"\n\ndelete rule 625.54\n", 0, "");
    lint_own("amendment own to nec-2020\n  title \"Own\"\n\n"
             "change limit spacing of rule 334.30 from 4 ft 6 in to 3 ft\n",
             0, "own.rules:4:1: warning [untested]");
    lint_own("amendment own to nec-2020\n  title \"Own\"\n\ndelete rule 999.99\n", 1,
             "own.rules:4:13: error [no-target]");
    return failures != 0;
}
