// Messages with values in them: "The {rated_voltage} receptacle".
#pragma once

#include "syntax/ast.h"
#include "text/diagnostics.h"

namespace groundrule::syntax {

// Fills the pieces of each `says` of a rule or change. A broken expression is reported at its
// place.
void split_messages(ast::Decl &decl, const SourceText &source, ast::File &file,
                    Diagnostics &diagnostics);

} // namespace groundrule::syntax
