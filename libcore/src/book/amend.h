// Putting declarations and changes into a draft, each checked against what stands there.
#pragma once

#include "book/draft.h"

namespace groundrule::book {

// Lines that are for other editions are left out.
DraftRule draft_rule(const ast::RuleDecl &decl, const ast::File &file, const std::string &edition,
                     std::int32_t layer, Span span);
void add_rule(Draft &draft, DraftRule rule, Diagnostics &diagnostics);
void add_group(Draft &draft, DraftGroup group, Diagnostics &diagnostics);
void add_define(Draft &draft, DraftDefine define, Diagnostics &diagnostics);
void apply(Draft &draft, const ast::Decl &decl, const ast::File &file, const std::string &edition,
           std::int32_t layer, Diagnostics &diagnostics);

// Two written constants that say the same: equal literals, truths or names.
bool same_constant(const ast::Expr &a, const ast::Expr &b);

} // namespace groundrule::book
