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
    std::vector<std::string> unreached; // rules, parts and tables that no test reaches
    Coverage::Counts rules;
    Coverage::Counts parts;
    Coverage::Counts cells;
};

TestOutcome run_rule_tests(const book::Book &book, const program::Program &program);

} // namespace groundrule::evaluate
