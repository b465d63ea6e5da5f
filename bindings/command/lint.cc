// groundrule lint: the faults of rule files, found by opening the books that they belong to.
#include "files.h"
#include "lint_plan.h"
#include "status.h"
#include "terminal.h"
#include "verbs.h"

#include <CLI/CLI.hpp>

#include <memory>
#include <string>

namespace command {

namespace {

struct Options {
    std::vector<std::string> paths;
    std::string base;
};

int lint(const Options &options) {
    const auto files = read_files(options.paths);
    if (!files)
        return bad_input;
    int status = clean;
    for (const Opening &opening : plan_lint(*files, options.base)) {
        const auto book = groundrule::Book::open(opening.book, opening.sources);
        if (book)
            continue;
        complain(book.error());
        status = bad_input;
    }
    return status == clean ? print("no faults", clean) : status;
}

} // namespace

void add_lint(CLI::App &app, int &status) {
    const auto options = std::make_shared<Options>();
    CLI::App &verb = *app.add_subcommand("lint", "Look for faults in rule files");
    verb.add_option("FILE", options->paths, "Rule files")->type_name("")->required();
    verb.add_option("--book", options->base,
                    "The book that they stand on, if not the edition that they name")
        ->type_name("BASE");
    verb.footer("An amendment is opened on top of its edition. If it changes another amendment,\n"
                "name that: --book nec-2017+tia-17-2. Ends with 0: no faults. 2: faults.");
    verb.callback([options, &status] { status = lint(*options); });
}

} // namespace command
