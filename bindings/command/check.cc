// groundrule check: one job against one book.
#include "files.h"
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
    std::string job;
    std::string book;
    Place place;
    std::string stage;
    std::vector<std::string> assumptions;
    std::vector<std::string> rules;
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

// The book that was named, or the one that applies at the place.
std::optional<FoundBook> book_for(const Options &options, const File &document, int &status) {
    status = bad_input;
    if (!options.book.empty())
        return FoundBook{options.book, options.place.on, {}};
    auto answer = ask(options.place, document, options.rules);
    return answer ? one_book(*answer, status) : std::nullopt;
}

// The day that decided on the book is a fact of the job.
std::optional<groundrule::Job> job_for(const groundrule::Book &book, const FoundBook &found,
                                       const File &document) {
    auto job = groundrule::Job::from_json(book, document.text, document.name);
    if (!job) {
        complain(job.error());
        return std::nullopt;
    }
    if (!found.by.empty()) {
        const auto slot = book.slot("job." + found.by);
        const auto set =
            slot ? job->set_text(*slot, 0, found.on) : groundrule::Result<void>(slot.error());
        if (!set) {
            complain(set.error());
            return std::nullopt;
        }
    }
    return std::move(*job);
}

int check(const Options &options) {
    if (options.book.empty() == options.place.name.empty()) {
        complain(options.book.empty() ? "--book is required, or --at and a place"
                                      : "--book and --at exclude each other");
        complain("'groundrule check --help' tells how it is used");
        return bad_input;
    }
    const auto document = read_file(options.job);
    const auto assumptions = read_files(options.assumptions);
    if (!document || !assumptions)
        return bad_input;
    int status = bad_input;
    const auto found = book_for(options, *document, status);
    if (!found)
        return status;
    const auto book = open_book(found->name, options.rules, found->on);
    if (!book)
        return bad_input;
    auto job = job_for(*book, *found, *document);
    if (!job)
        return bad_input;
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
        ->type_name("BOOK");
    add_place_options(verb, options->place);
    verb.add_option("--stage", options->stage,
                    "Only what can be seen at design, rough_in, trim_out or acceptance")
        ->type_name("STAGE");
    verb.add_option("--assume", options->assumptions,
                    "Values to assume where the job tells none; repeatable")
        ->type_name("FILE")
        ->allow_extra_args(false);
    add_rules_option(verb, options->rules);
    add_on_option(verb, options->place.on);
    verb.add_option("--format", options->format, "text (as is), json or sarif")
        ->type_name("FORMAT")
        ->check(CLI::IsMember({"text", "json", "sarif"}).description(""));
    verb.add_flag("--all", options->all, "Text: also list what does not apply");
    verb.add_flag("--strict", options->strict, "End with 3 if anything at all is undetermined");
    verb.footer(
        "Ends with 0: nothing violated, nothing open. 1: something violated. 2: bad input.\n"
        "3: nothing violated, but a rule known to apply is undetermined; with --at, also: nothing\n"
        "was checked, because facts or a choice are missing or the work goes to another code.");
    verb.callback([options, &status] { status = check(*options); });
}

} // namespace command
