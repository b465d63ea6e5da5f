// Expressions that layers make of those that were written: joined, dated, or copied under other
// names. They stand in an arena of the draft's own; their places stay those of the text.
#pragma once

#include "book/draft.h"

#include <functional>
#include <string>

namespace groundrule::book {

// Called with the copy of each expression, and with where it stood.
using OnCopy = std::function<void(ast::ExprId, ast::Expr &)>;

ast::ExprId copied(const ast::File &from, ast::ExprId id, ast::File &to,
                   const OnCopy &on_copy = {});

// `a and b`, `a or b`. One that nests deeper than the reader admits is an error at b.
Written joined(ast::ExprKind kind, const Written &a, const Written &b, std::int32_t layer,
               ast::File &made, Diagnostics &diagnostics);

// job.FIELD at least (or less than) a day.
Written dated(const std::string &field, const char *relation, double day, Span span,
              std::int32_t layer, ast::File &made);

} // namespace groundrule::book
