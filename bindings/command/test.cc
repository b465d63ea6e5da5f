// groundrule test: the tests that stand beside the rules of a book.
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

int test(const Options &options) {
    auto book = open_book(options.book, options.rules, options.on);
    if (!book)
        return bad_input;
    const auto outcome = book->test();
    if (!outcome) {
        complain(outcome.error());
        return bad_input;
    }
    return print(outcome->report, outcome->failed == 0 ? clean : violated);
}

} // namespace

void add_test(CLI::App &app, int &status) {
    const auto options = std::make_shared<Options>();
    CLI::App &verb = *app.add_subcommand("test", "Run the tests beside the rules of a book");
    verb.add_option("BOOK", options->book, "Edition and amendments in order")
        ->type_name("")
        ->required();
    add_rules_option(verb, options->rules);
    add_on_option(verb, options->on);
    verb.footer("Ends with 0: all passed. 1: some failed. 2: the book can't be opened.");
    verb.callback([options, &status] { status = test(*options); });
}

} // namespace command
