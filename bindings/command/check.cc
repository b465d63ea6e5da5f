// groundrule check: one job against one book.
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
    std::string job;
    std::string book;
    std::string stage;
    std::vector<std::string> assumptions;
    std::vector<std::string> rules;
    std::string on;
    std::string format = "text";
    bool all = false;
    bool strict = false;
};

int refuse(const groundrule::Error &error) {
    complain(error);
    return bad_input;
}

gr_format format_of(const std::string &name) {
    return name == "json" ? GR_JSON : name == "sarif" ? GR_SARIF : GR_PLAIN;
}

int report_on(const groundrule::Job &job, const Options &options) {
    const auto stage = options.stage.empty() ? std::nullopt : std::optional(options.stage);
    auto report = job.check(stage);
    if (!report)
        return refuse(report.error());
    const auto text = report->render(format_of(options.format), {options.all, wants_colour()});
    if (!text)
        return refuse(text.error());
    return print(*text, report->exit_status(options.strict));
}

int check(const Options &options) {
    const auto book = open_book(options.book, options.rules, options.on);
    const auto document = read_file(options.job);
    const auto assumptions = read_files(options.assumptions);
    if (!book || !document || !assumptions)
        return bad_input;
    auto job = groundrule::Job::from_json(*book, document->text, document->name);
    if (!job)
        return refuse(job.error());
    for (const File &file : *assumptions) {
        if (const auto assumed = job->assume_json(file.text, file.name); !assumed)
            return refuse(assumed.error());
    }
    return report_on(*job, options);
}

} // namespace

void add_check(CLI::App &app, int &status) {
    const auto options = std::make_shared<Options>();
    CLI::App &verb = *app.add_subcommand("check", "Check a job against a book");
    verb.add_option("JOB", options->job, "The job as JSON; - reads standard input")
        ->type_name("")
        ->required();
    verb.add_option("--book", options->book,
                    "Edition and amendments in order, such as nec-2017+tia-17-2")
        ->type_name("BOOK")
        ->required();
    verb.add_option("--stage", options->stage,
                    "Only what can be seen at design, rough_in, trim_out or acceptance")
        ->type_name("STAGE");
    verb.add_option("--assume", options->assumptions,
                    "Values to assume where the job tells none; repeatable")
        ->type_name("FILE")
        ->allow_extra_args(false);
    add_rules_option(verb, options->rules);
    add_on_option(verb, options->on);
    verb.add_option("--format", options->format, "text (as is), json or sarif")
        ->type_name("FORMAT")
        ->check(CLI::IsMember({"text", "json", "sarif"}).description(""));
    verb.add_flag("--all", options->all, "Text: also list what does not apply");
    verb.add_flag("--strict", options->strict, "End with 3 if anything at all is undetermined");
    verb.footer(
        "Ends with 0: nothing violated, nothing open. 1: something violated. 2: bad input.\n"
        "3: nothing violated, but a rule known to apply is undetermined.");
    verb.callback([options, &status] { status = check(*options); });
}

} // namespace command
