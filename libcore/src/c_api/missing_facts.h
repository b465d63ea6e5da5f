// What open verdicts of a batch lack, as gr_audit_missing tells it.
#pragma once

#include "c_api/handles.h"

#include "report/finding.h"

namespace groundrule::c_api {

inline std::vector<MissingFact> missing_facts(const OpenAudit &open,
                                              const columns::Outcome &outcome) {
    const book::Book &book = *open.book->book;
    std::vector<MissingFact> out;
    out.reserve(outcome.lacks.size());
    for (const auto &[what, count] : outcome.lacks) {
        evaluate::Lack lack;
        lack.kind = what.second.kind;
        lack.slot = what.second.index;
        lack.child = static_cast<std::uint16_t>(what.second.index);
        lack.text = "A figure that the rule needs has no value here.";
        const book::Rule &rule = book.rules[open.audit.plan().rules[what.first]];
        out.push_back({&rule.topic, report::missing_fact(book, open.book->program, lack), count});
    }
    return out;
}

} // namespace groundrule::c_api
