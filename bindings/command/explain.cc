// groundrule explain: why findings are what they are.
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
    std::string finding;
    std::string item;
    std::string format = "text";
};

int format_of(const std::string &name) {
    return name == "json" ? GR_JSON : name == "html" ? GR_HTML : GR_PLAIN;
}

int explain(const Options &options) {
    const auto open = open_job(options.job);
    if (!open)
        return bad_input;
    auto explanation =
        groundrule::Explanation::of(open->job, {options.finding, options.item, options.job.stage});
    if (!explanation) {
        complain(explanation.error());
        return bad_input;
    }
    const auto text = explanation->render(format_of(options.format));
    if (!text) {
        complain(text.error());
        return bad_input;
    }
    return print(*text, clean);
}

} // namespace

void add_explain(CLI::App &app, int &status) {
    const auto options = std::make_shared<Options>();
    CLI::App &verb = *app.add_subcommand("explain", "Tell why findings are what they are");
    add_job_options(verb, options->job);
    verb.add_option("--finding", options->finding,
                    "A clause such as 210.19(A)(1)(a), or 210.19 for all below it, or a topic;\n"
                    "without it: what is violated, or else what applies and is open")
        ->type_name("CITATION");
    verb.add_option("--item", options->item, "An item's path, panels[0].circuits[0], or its id")
        ->type_name("ITEM");
    verb.add_option("--format", options->format, "text (as is), json or html")
        ->type_name("FORMAT")
        ->check(CLI::IsMember({"text", "json", "html"}).description(""));
    verb.footer("Ends with 0, whatever the verdicts are. 2: bad input.");
    verb.callback([options, &status] { status = explain(*options); });
}

} // namespace command
