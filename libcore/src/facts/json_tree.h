// A JSON document as a tree, for those who change it and write it out again.
#pragma once

#include "text/json_value.h"

#include <string_view>

namespace groundrule::facts {

// Of a document that a reader of jobs took without a fault; null for any other.
JsonValue json_tree(std::string_view json);

} // namespace groundrule::facts
