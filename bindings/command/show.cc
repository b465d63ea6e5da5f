// groundrule show: a book printed whole, or what its amendments changed.
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
    bool changes = false;
};

int show(const Options &options) {
    const auto book = open_book(options.book, options.rules, options.on);
    if (!book)
        return bad_input;
    const auto shown = book->show(options.changes ? GR_SHOW_CHANGES : GR_SHOW_BOOK);
    if (!shown) {
        complain(shown.error());
        return bad_input;
    }
    return print(shown->text(), clean);
}

} // namespace

void add_show(CLI::App &app, int &status) {
    const auto options = std::make_shared<Options>();
    CLI::App &verb =
        *app.add_subcommand("show", "Print a book whole, as one rule file, or what amends it");
    verb.add_option("BOOK", options->book, "Edition and amendments in order")
        ->type_name("")
        ->required();
    verb.add_flag("--changes", options->changes, "What each amendment changed, from what to what");
    add_rules_option(verb, options->rules);
    add_on_option(verb, options->on);
    verb.footer(
        "Behind each text stands the digest by which an amendment names it, and the mark of\n"
        "the amendment that it came from. The file opens by its path (NAME.rules) in place\n"
        "of a book's name, and says the same.");
    verb.callback([options, &status] { status = show(*options); });
}

} // namespace command
