// The tree back as text of the rule language, in one form whatever its layout was. Values stand as
// they were written; brackets stand where they make the tree, so what is printed reads back as the
// same tree.
#pragma once

#include "syntax/ast.h"

#include <string>

namespace groundrule::syntax {

std::string printed(const ast::File &file, ast::ExprId id, const Sources &sources);
std::string printed(const ast::TypeRef &type);
std::string printed(const ast::Citation &citation);
std::string printed(const ast::Cell &cell, const Sources &sources);

// A choice, quoted if it is no plain name.
std::string printed_choice(const std::string &choice);

// (a, b, "c")
std::string printed_choices(const std::vector<ast::Name> &choices);

// a, b
std::string printed_names(const std::vector<ast::Name> &names);

std::string in_quotes(const std::string &text);

const char *printed(ast::Force force);

} // namespace groundrule::syntax
