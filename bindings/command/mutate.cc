// groundrule mutate: what the tests beside the rules would not notice.
#include "files.h"
#include "lint_plan.h"
#include "rules_option.h"
#include "status.h"
#include "terminal.h"
#include "verbs.h"

#include <CLI/CLI.hpp>

#include <algorithm>
#include <memory>
#include <string>
#include <thread>

namespace command {

namespace {

struct Options {
    std::string target;
    std::string base;
    std::vector<std::string> rules;
    std::string format = "text";
    unsigned threads = 0;
};

bool is_file(const std::string &target) {
    return target == "-" || target.ends_with(".rules");
}

// The book that a rule file belongs to is the last one of those it names: the newest edition that
// it is part of.
std::optional<groundrule::Book> open_for(const Options &options) {
    if (!is_file(options.target))
        return open_book(options.target, options.rules);
    std::vector<std::string> paths = options.rules;
    paths.push_back(options.target);
    const auto files = read_files(paths);
    if (!files)
        return std::nullopt;
    const auto openings = plan_lint({files->back()}, options.base);
    auto book = groundrule::Book::open(openings.back().book, sources_of(*files));
    if (!book) {
        complain(book.error());
        return std::nullopt;
    }
    return std::move(*book);
}

int mutate(const Options &options) {
    const auto book = open_for(options);
    if (!book)
        return bad_input;
    const std::string file = is_file(options.target) ? options.target : std::string();
    const unsigned threads =
        options.threads != 0 ? options.threads : std::max(std::thread::hardware_concurrency(), 1u);
    auto mutation = groundrule::Mutation::of(*book, file, std::min(threads, 256u));
    if (!mutation) {
        complain(mutation.error());
        return bad_input;
    }
    const auto text = mutation->render(options.format == "json" ? GR_JSON : GR_PLAIN);
    if (!text) {
        complain(text.error());
        return bad_input;
    }
    return print(*text, mutation->killed() == mutation->mutants() ? clean : violated);
}

} // namespace

void add_mutate(CLI::App &app, int &status) {
    const auto options = std::make_shared<Options>();
    CLI::App &verb = *app.add_subcommand("mutate", "Tell which parts of the rules no test pins");
    verb.add_option("BOOK", options->target,
                    "A book, whose topmost layer is changed; or a rule file, which alone is")
        ->type_name("")
        ->required();
    verb.add_option("--book", options->base,
                    "The book that a file stands on, if not the edition that it names")
        ->type_name("BASE");
    add_rules_option(verb, options->rules);
    verb.add_option("--format", options->format, "text (as is) or json")
        ->type_name("FORMAT")
        ->check(CLI::IsMember({"text", "json"}).description(""));
    verb.add_option("--threads", options->threads, "As many as the machine has, if not told")
        ->type_name("N")
        ->check(CLI::Range(1u, 256u).description(""));
    verb.footer(
        "Each limit, figure, comparison, condition, part, table cell and so on is changed a\n"
        "little, one at a time; a change that lets every test pass is told.\n"
        "Ends with 0: the tests notice every change. 1: some survive. 2: bad input, or a\n"
        "test that fails as it is.");
    verb.callback([options, &status] { status = mutate(*options); });
}

} // namespace command
