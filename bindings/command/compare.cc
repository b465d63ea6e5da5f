// groundrule compare: what changed from one book to another, and for which jobs.
#include "files.h"
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
    std::string before;
    std::string after;
    std::string jobs;
    std::vector<std::string> rules;
    std::string format = "text";
};

bool is_blank(std::string_view line) {
    return line.find_first_not_of(" \t\r") == std::string_view::npos;
}

// One job a line, each named by its place.
bool add_jobs(groundrule::Comparison &comparison, const File &file) {
    std::string_view rest = file.text;
    for (std::size_t number = 1; !rest.empty(); ++number) {
        const std::string_view line = rest.substr(0, rest.find('\n'));
        rest.remove_prefix(std::min(line.size() + 1, rest.size()));
        if (is_blank(line))
            continue;
        const std::string name = file.name + ", job " + std::to_string(number);
        if (const auto added = comparison.add_job(line, name); !added) {
            complain(added.error());
            return false;
        }
    }
    return true;
}

int compare(const Options &options) {
    const auto before = open_book(options.before, options.rules);
    const auto after = before ? open_book(options.after, options.rules) : std::nullopt;
    if (!before || !after)
        return bad_input;
    auto comparison = groundrule::Comparison::of(*before, *after);
    if (!comparison) {
        complain(comparison.error());
        return bad_input;
    }
    if (!options.jobs.empty()) {
        const auto file = read_file(options.jobs);
        if (!file || !add_jobs(*comparison, *file))
            return bad_input;
    }
    const auto text = comparison->render(options.format == "json" ? GR_JSON : GR_PLAIN);
    if (!text) {
        complain(text.error());
        return bad_input;
    }
    return print(*text, comparison->same() ? clean : violated);
}

} // namespace

void add_compare(CLI::App &app, int &status) {
    const auto options = std::make_shared<Options>();
    CLI::App &verb = *app.add_subcommand("compare", "Tell what changed from one book to another");
    verb.add_option("BEFORE", options->before, "The older book")->type_name("")->required();
    verb.add_option("AFTER", options->after, "The newer book")->type_name("")->required();
    verb.add_option("--jobs", options->jobs,
                    "Jobs, one JSON document a line: which of their findings change; - reads "
                    "standard input")
        ->type_name("FILE");
    add_rules_option(verb, options->rules);
    verb.add_option("--format", options->format, "text (as is) or json")
        ->type_name("FORMAT")
        ->check(CLI::IsMember({"text", "json"}).description(""));
    verb.footer(
        "Requirements are matched by topic, which stays when an edition renumbers them. Each "
        "change\n"
        "is told from what to what, and as stricter or laxer where that follows for certain.\n"
        "Ends with 0: no difference. 1: they differ. 2: bad input.");
    verb.callback([options, &status] { status = compare(*options); });
}

} // namespace command
