// The tests beside the rules, read against the names and types of their book, without running them.
#pragma once

#include "book/model.h"
#include "quantity/truth.h"
#include "text/diagnostics.h"

#include <optional>
#include <string>
#include <vector>

namespace groundrule::evaluate {

// The tests that hold for this book. An edition's own tests hold for the edition alone: a layer
// above may have changed what they expect. With layers they are those of the topmost.
std::vector<const ast::TestDecl *> tests_of(const book::Book &book);

// Index of the rule that a test is about, or -1.
std::int32_t rule_of(const book::Book &book, const ast::TestDecl &test);

std::optional<Verdict> verdict_named(const std::string &name);

// Names, types and values.
void check_test(const book::Book &book, const ast::TestDecl &test, Diagnostics &diagnostics);
void check_tests(const book::Book &book, Diagnostics &diagnostics);

} // namespace groundrule::evaluate
