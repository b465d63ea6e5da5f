// The one way from text to tree.
#pragma once

#include "syntax/ast.h"
#include "text/diagnostics.h"

namespace groundrule::syntax {

// Parses every declaration of a file. Broken ones are reported and left out; the others are in the
// result.
ast::File parse(const SourceText &source, std::uint32_t file, Diagnostics &diagnostics);

// Parses a single expression, as it stands between braces in a message. `at` is its offset in the
// source, for spans. no_expr, with a diagnostic, if it is none.
ast::ExprId parse_expression(std::string_view written, const SourceText &source, std::uint32_t at,
                             ast::File &file, Diagnostics &diagnostics);

} // namespace groundrule::syntax
