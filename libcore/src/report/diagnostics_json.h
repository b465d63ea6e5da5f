// Diagnostics for editors: the shape of an LSP PublishDiagnosticsParams, one a file (Language
// Server Protocol 3.17). Lines and characters count from 0; a character is an UTF-16 code unit.
#pragma once

#include "text/diagnostics.h"

#include <string>

namespace groundrule::report {

std::string to_lsp_json(const Diagnostics &diagnostics, const Sources &sources);

} // namespace groundrule::report
