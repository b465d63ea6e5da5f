// The book that a verb works with, and the option --rules, which several verbs share.
#pragma once

#include <groundrule/groundrule.hpp>

#include <optional>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace command {

void add_rules_option(CLI::App &verb, std::vector<std::string> &paths);

// Opens a book with further rule files. If that fails, says why and gives back nothing.
std::optional<groundrule::Book> open_book(const std::string &name,
                                          const std::vector<std::string> &rule_paths);

} // namespace command
