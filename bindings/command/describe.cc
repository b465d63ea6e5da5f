// groundrule describe: what a book holds: layers, items, rules, gaps.
#include "rules_option.h"
#include "status.h"
#include "terminal.h"
#include "verbs.h"

#include <CLI/CLI.hpp>

#include <memory>
#include <string>

namespace command {

namespace {

struct Options {
    std::string book;
    std::vector<std::string> rules;
    std::string on;
};

int describe(const Options &options) {
    const auto book = open_book(options.book, options.rules, options.on);
    return book ? print(book->describe(), clean) : bad_input;
}

} // namespace

void add_describe(CLI::App &app, int &status) {
    const auto options = std::make_shared<Options>();
    CLI::App &verb = *app.add_subcommand("describe", "Print what a book holds, as JSON");
    verb.add_option("BOOK", options->book, "Edition and amendments in order")
        ->type_name("")
        ->required();
    add_rules_option(verb, options->rules);
    add_on_option(verb, options->on);
    verb.callback([options, &status] { status = describe(*options); });
}

} // namespace command
