// What decided a verdict: which listed part, exception, path or condition.
#pragma once

#include "book/model.h"
#include "evaluate/workspace.h"

#include <string>

namespace groundrule::evaluate {

struct Decision {
    std::string by;                    // "Exception No. 1: …", "210.8(A)(2)", "dwelling", …
    std::int32_t layer = 0;            // of the text that decided
    const book::Part *part = nullptr;  // with a message of its own, perhaps
    book::NodeId node = book::no_node; // the condition or exception that took the item out of scope
};

// The rule's citation, with the listed part that holds, or else the path or permission by which the
// item complies.
std::string finding_citation(const book::Rule &rule, const program::RuleCode &code, std::size_t row,
                             const Workspace &workspace);

Decision decision(const book::Book &book, const book::Rule &rule, const program::RuleCode &code,
                  std::size_t row, const Workspace &workspace);

} // namespace groundrule::evaluate
