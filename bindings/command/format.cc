// groundrule format: rule files in their one canonical layout.
#include "files.h"
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
    bool check = false;
};

int format(const Options &options) {
    const auto files = read_files(options.paths);
    if (!files)
        return bad_input;
    int status = clean;
    for (const File &file : *files) {
        const auto laid = groundrule::lay_out({file.name, file.text});
        if (!laid) {
            complain(laid.error());
            status = bad_input;
            continue;
        }
        if (laid->text() == file.text)
            continue;
        if (options.check) {
            print("would change: " + file.name, clean);
            status = status == clean ? violated : status;
        } else if (!write_whole(file.name, laid->text())) {
            status = bad_input;
        }
    }
    return status;
}

} // namespace

void add_format(CLI::App &app, int &status) {
    const auto options = std::make_shared<Options>();
    CLI::App &verb =
        *app.add_subcommand("format", "Lay rule files out in their one canonical form");
    verb.add_option("FILE", options->paths, "Rule files")->type_name("")->required();
    verb.add_flag("--check", options->check, "Change nothing; tell which files would change");
    verb.footer("Ends with 0: done, or nothing to do. 1: --check found a file that would change.\n"
                "2: a file that can't be read or does not parse; it is left as it is.");
    verb.callback([options, &status] { status = format(*options); });
}

} // namespace command
