#include "evaluate/review.h"

#include "book/lint.h"
#include "evaluate/check_tests.h"
#include "evaluate/idle.h"
#include "evaluate/rule_tests.h"
#include "evaluate/untested.h"
#include "program/compile.h"

namespace groundrule::evaluate {

void review(const book::Book &book, Diagnostics &diagnostics) {
    const program::Program code = program::compile(book, diagnostics);
    if (diagnostics.has_errors())
        return;
    check_tests(book, diagnostics);
    const bool tests_run = !diagnostics.has_errors() && book.layers.size() > 1;
    book::lint(book, diagnostics);
    find_idle(book, code, diagnostics);
    if (!tests_run)
        return;
    const TestOutcome outcome = run_rule_tests(book, code);
    for (const TestFailure &f : outcome.failures)
        diagnostics.error("test-fails", f.span, f.message);
    find_untested(book, outcome.reached, diagnostics);
}

} // namespace groundrule::evaluate
