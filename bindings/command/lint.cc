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
    bool json = false;
};

int lint(const Options &options) {
    const auto files = read_files(options.paths);
    if (!files)
        return bad_input;
    const gr_lint_format format = options.json ? GR_LINT_LSP : GR_LINT_TEXT;
    int status = clean;
    for (const Opening &opening : plan_lint(*files, options.base)) {
        const auto faults = groundrule::lint(opening.book, opening.sources, format);
        if (!faults) {
            complain(faults.error());
            return bad_input;
        }
        if (faults->count == 0 && !options.json)
            continue;
        print(faults->told.text(), clean);
        status = faults->count == 0 ? status : bad_input;
    }
    return status == clean && !options.json ? print("no faults", clean) : status;
}

} // namespace

void add_lint(CLI::App &app, int &status) {
    const auto options = std::make_shared<Options>();
    CLI::App &verb = *app.add_subcommand("lint", "Look for faults in rule files");
    verb.add_option("FILE", options->paths, "Rule files")->type_name("")->required();
    verb.add_option("--book", options->base,
                    "The book that they stand on, if not the edition that they name")
        ->type_name("BASE");
    verb.add_flag("--json", options->json, "Faults as JSON, in the shape that editors understand");
    verb.footer("An amendment is opened on top of its edition. If it changes another amendment,\n"
                "name that: --book nec-2017+tia-17-2. Ends with 0: no faults. 2: faults.");
    verb.callback([options, &status] { status = lint(*options); });
}

} // namespace command
