// The book that a verb works with, and the options --rules and --on, which several verbs share.
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
void add_on_option(CLI::App &verb, std::string &on);

// Opens a book with further rule files, for a day if one is given. If that fails, says why and
// gives back nothing.
std::optional<groundrule::Book> open_book(const std::string &name,
                                          const std::vector<std::string> &rule_paths,
                                          const std::string &on = {});

} // namespace command
