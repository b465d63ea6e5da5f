// groundrule describe: what a book holds: layers, items, rules, gaps; or one rule.
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
    std::string rule;
};

int describe(const Options &options) {
    const auto book = open_book(options.book, options.rules, options.on);
    if (!book)
        return bad_input;
    if (options.rule.empty())
        return print(book->describe(), clean);
    const auto rule = book->describe_rule(options.rule);
    if (rule)
        return print(rule->text(), clean);
    complain(rule.error());
    return bad_input;
}

} // namespace

void add_describe(CLI::App &app, int &status) {
    const auto options = std::make_shared<Options>();
    CLI::App &verb = *app.add_subcommand("describe", "Print what a book holds, as JSON");
    verb.add_option("BOOK", options->book, "Edition and amendments in order")
        ->type_name("")
        ->required();
    verb.add_option("--rule", options->rule,
                    "One rule as text, by its number or topic, or all below a number")
        ->type_name("RULE");
    add_rules_option(verb, options->rules);
    add_on_option(verb, options->on);
    verb.footer(
        "A rule's text has behind it, as comments, the digests by which an amendment names it\n"
        "and its lineage: under which number the same requirement stands in which edition.");
    verb.callback([options, &status] { status = describe(*options); });
}

} // namespace command
