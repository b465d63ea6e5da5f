// groundrule lint: faults and warnings of rule files, found by opening the books that they belong
// to.
#include "files.h"
#include "lint_plan.h"
#include "status.h"
#include "terminal.h"
#include "told_once.h"
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

// Several JSON lists as one.
class JsonLists {
  public:
    void add(std::string_view list) {
        const std::size_t open = list.find('[');
        const std::size_t close = list.rfind(']');
        const std::string_view inside = list.substr(open + 1, close - open - 1);
        if (inside.find_first_not_of(" \n") != std::string_view::npos)
            inside_ += (inside_.empty() ? "" : ",") + std::string(inside);
    }
    std::string text() const { return "[" + inside_ + "]\n"; }

  private:
    std::string inside_;
};

int lint(const Options &options) {
    const auto files = read_files(options.paths);
    if (!files)
        return bad_input;
    const gr_lint_format format = options.json ? GR_LINT_LSP : GR_LINT_TEXT;
    ToldOnce told;
    JsonLists lists;
    std::size_t count = 0;
    for (const Opening &opening : plan_lint(*files, options.base)) {
        const auto faults = groundrule::lint(opening.book, opening.sources, format);
        if (!faults) {
            complain(faults.error());
            return bad_input;
        }
        count += faults->count;
        if (options.json)
            lists.add(faults->told.text());
        else
            told.add(opening, faults->told.text());
    }
    const std::string text = options.json ? lists.text() : told.text();
    return print(text.empty() ? "no faults" : text, count == 0 ? clean : bad_input);
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
                "name that: --book nec-2017+tia-17-2. Its tests are run, and what none of them\n"
                "reaches is told. Ends with 0: no faults, though perhaps warnings. 2: faults.");
    verb.callback([options, &status] { status = lint(*options); });
}

} // namespace command
