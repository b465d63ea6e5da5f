// groundrule largest: how far one fact may go.
#include "job_option.h"
#include "status.h"
#include "terminal.h"
#include "verbs.h"

#include <CLI/CLI.hpp>

#include <memory>

namespace command {

namespace {

struct Options {
    JobOptions job;
    std::string fact;
    std::string item;
    groundrule::Grid grid;
    bool advice = false;
    std::string format = "text";
};

int refuse(const groundrule::Error &error) {
    complain(error);
    return bad_input;
}

int largest(const Options &options) {
    const auto open = open_job(options.job);
    if (!open)
        return bad_input;
    const auto slot = open->book.slot(options.fact);
    if (!slot)
        return refuse(slot.error());
    const auto row = groundrule::find_row(open->job, *slot, options.item);
    if (!row)
        return refuse(row.error());
    const auto text = groundrule::largest(open->job, *slot, *row, options.grid,
                                          options.format == "json" ? GR_JSON : GR_PLAIN,
                                          options.advice, options.job.stage);
    return text ? print(*text, clean) : refuse(text.error());
}

} // namespace

void add_largest(CLI::App &app, int &status) {
    const auto options = std::make_shared<Options>();
    CLI::App &verb = *app.add_subcommand("largest", "Tell how far one fact of a job may go");
    add_job_options(verb, options->job);
    verb.add_option("--fact", options->fact, "The fact, such as equipment.rated_current")
        ->type_name("FACT")
        ->required();
    verb.add_option("--item", options->item, "An item's path or id, if there are several")
        ->type_name("ITEM");
    verb.add_option("--from", options->grid.from, "The first value to check, such as '1 A'")
        ->type_name("VALUE")
        ->required();
    verb.add_option("--to", options->grid.to, "The last one")->type_name("VALUE")->required();
    verb.add_option("--step", options->grid.step, "The distance between them")
        ->type_name("VALUE")
        ->required();
    verb.add_flag("--advice", options->advice,
                  "Rules that only advise count too, such as those on voltage drop");
    verb.add_option("--format", options->format, "text (as is) or json")
        ->type_name("FORMAT")
        ->check(CLI::IsMember({"text", "json"}).description(""));
    verb.footer("Ends with 0, whatever the answer is. 2: bad input.");
    verb.callback([options, &status] { status = largest(*options); });
}

} // namespace command
