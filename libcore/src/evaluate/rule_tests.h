// The tests that stand beside the rules.
#pragma once

#include "book/model.h"
#include "evaluate/coverage.h"
#include "evaluate/workspace.h"

#include <string>
#include <vector>

namespace groundrule::evaluate {

struct TestFailure {
    Span span;
    std::string message;
};

struct TestOutcome {
    std::size_t cases = 0;
    std::vector<TestFailure> failures;
    Coverage reached; // of the book and the program, which must outlive it
};

TestOutcome run_rule_tests(const book::Book &book, const program::Program &program);
TestOutcome run_rule_tests(const book::Book &book, program::Program &&program) = delete;

} // namespace groundrule::evaluate
