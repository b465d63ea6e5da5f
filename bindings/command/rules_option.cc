#include "rules_option.h"

#include "files.h"
#include "terminal.h"

#include <CLI/CLI.hpp>

namespace command {

void add_rules_option(CLI::App &verb, std::vector<std::string> &paths) {
    verb.add_option("--rules", paths, "A further rule file, such as a city's amendment; repeatable")
        ->type_name("FILE")
        ->allow_extra_args(false);
}

void add_on_option(CLI::App &verb, std::string &on) {
    verb.add_option("--on", on,
                    "The day, such as 2021-07-01, on which the amendments have to be in force;\n"
                    "the others are left out")
        ->type_name("DATE");
}

std::optional<groundrule::Book> open_book(const std::string &name,
                                          const std::vector<std::string> &rule_paths,
                                          const std::string &on) {
    auto paths = rule_paths;
    if (name.ends_with(".rules")) // a printed book
        paths.push_back(name);
    const auto files = read_files(paths);
    if (!files)
        return std::nullopt;
    auto book = groundrule::Book::open(name, sources_of(*files), on);
    if (!book) {
        complain(book.error());
        if (book.error().code == "unknown-book")
            complain("'groundrule books' lists what ships; --rules FILE brings your own");
        return std::nullopt;
    }
    return std::move(*book);
}

} // namespace command
