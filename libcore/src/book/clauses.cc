#include "book/clauses.h"

#include "book/made_expressions.h"
#include "syntax/print.h"

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
    rule.decl.within = {};
    return true;
}

void check_clause(const DraftRule &clause, Diagnostics &diagnostics) {
    const ast::RuleDecl &d = clause.decl;
    const auto lacks = [&](const char *line, Span span) {
        diagnostics.error("not-in-a-clause", span, "a clause has no `" + std::string(line) + "`")
            .help = "it gives its conditions, exceptions, limits and readings to the rules within "
                    "it, and asks nothing by itself";
    };
    if (!d.within.text.empty())
        lacks("within", d.within.span);
    if (!d.displaces.empty())
        lacks("displaces", d.displaces.front().span);
    if (d.force)
        lacks(syntax::printed(*d.force), d.force_span);
    if (!d.says.lines.empty())
        lacks("says", d.says.lines.front().span);
}

} // namespace groundrule::book
