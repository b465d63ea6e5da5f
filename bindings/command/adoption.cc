// groundrule adoption: a place's timeline of books, and which of them applies to a job.
#include "place_option.h"
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
    Place place;
    std::string job;
    std::vector<std::string> rules;
    std::string format = "text";
};

gr_format format_of(const Options &options) {
    return options.format == "json" ? GR_JSON : GR_PLAIN;
}

int timeline(const Options &options) {
    const auto files = read_files(options.rules);
    if (!files)
        return bad_input;
    const auto adoption = groundrule::Adoption::open(options.place.name, sources_of(*files));
    if (!adoption) {
        complain(adoption.error());
        return bad_input;
    }
    return print(adoption->timeline(format_of(options)), clean);
}

int find(const Options &options) {
    const auto job =
        options.job.empty() ? std::optional(File{"job", "{}"}) : read_file(options.job);
    if (!job)
        return bad_input;
    auto answer = ask(options.place, *job, options.rules);
    if (!answer)
        return bad_input;
    const auto text = answer->render(format_of(options));
    if (!text) {
        complain(text.error());
        return bad_input;
    }
    const gr_outcome outcome = answer->outcome();
    return print(*text, outcome == GR_NO_PERIOD                      ? bad_input
                        : outcome == GR_ASKS || outcome == GR_CHOICE ? open
                                                                     : clean);
}

} // namespace

void add_adoption(CLI::App &app, int &status) {
    const auto options = std::make_shared<Options>();
    CLI::App &verb =
        *app.add_subcommand("adoption", "Tell which book applies at a place, when and to what");
    verb.add_option("PLACE", options->place.name, "The place; 'groundrule books' lists what ships")
        ->type_name("")
        ->required();
    verb.add_option("--on", options->place.on,
                    "The day of the application, permit or installation, whichever decides there")
        ->type_name("DATE");
    verb.add_option("--job", options->job, "The job as JSON, for what else decides")
        ->type_name("FILE");
    verb.add_option("--choose", options->place.choose,
                    "The period that the applicant chose where several are in force")
        ->type_name("PERIOD");
    add_rules_option(verb, options->rules);
    verb.add_option("--format", options->format, "text (as is) or json")
        ->type_name("FORMAT")
        ->check(CLI::IsMember({"text", "json"}).description(""));
    verb.footer("Without --on and --job it prints the timeline of the place. Ends with 0: told.\n"
                "2: bad input, or no period covers the job. 3: facts or a choice are missing.");
    verb.callback([options, &status] {
        const bool asks = !options->place.on.empty() || !options->job.empty();
        status = asks ? find(*options) : timeline(*options);
    });
}

} // namespace command
