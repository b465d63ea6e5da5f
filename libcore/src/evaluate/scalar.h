// Runs a program over one job. The specification of every operation's meaning; other evaluators
// must agree with it.
#pragma once

#include "evaluate/workspace.h"

namespace groundrule::evaluate {

void run(const program::Program &program, const facts::Job &job, Workspace &workspace);

Verdict verdict(const program::RuleCode &rule, std::size_t row, const Workspace &workspace);

} // namespace groundrule::evaluate
