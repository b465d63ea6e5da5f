#include "book/clauses.h"

#include "book/made_expressions.h"

#include <algorithm>

namespace groundrule::book {

bool take_clause_of(DraftRule &rule, const Draft &draft, ast::File &made,
                    Diagnostics &diagnostics) {
    const auto found =
        std::find_if(draft.rules.begin(), draft.rules.end(), [&](const DraftRule &r) {
            return r.decl.clause && !r.deleted && r.decl.topic.text == rule.decl.within.text;
        });
    if (found == draft.rules.end())
        return false;
    const DraftRule &clause = *found;
    if (rule.decl.item.text.empty())
        rule.decl.item = clause.decl.item;
    std::vector<DraftCondition> conditions = clause.conditions;
    for (const Written &wider : rule.widened) {
        for (DraftCondition &c : conditions)
            c.written =
                joined(ast::ExprKind::logical_or, c.written, wider, wider.layer, made, diagnostics);
    }
    rule.conditions.insert(rule.conditions.begin(), conditions.begin(), conditions.end());
    rule.limits.insert(rule.limits.begin(), clause.limits.begin(), clause.limits.end());
    rule.parts.insert(rule.parts.end(), clause.parts.begin(), clause.parts.end());
    if (rule.decl.stages.empty())
        rule.decl.stages = clause.decl.stages;
    if (rule.decl.binds.empty())
        rule.decl.binds = clause.decl.binds;
    return true;
}

} // namespace groundrule::book
