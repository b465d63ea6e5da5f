#include "job_option.h"

#include "files.h"
#include "rules_option.h"
#include "terminal.h"

#include <CLI/CLI.hpp>

namespace command {

void add_job_options(CLI::App &verb, JobOptions &options) {
    verb.add_option("JOB", options.job, "The job as JSON; - reads standard input")
        ->type_name("")
        ->required();
    verb.add_option("--book", options.book,
                    "Edition and amendments in order, such as nec-2017+tia-17-2")
        ->type_name("BOOK")
        ->required();
    verb.add_option("--stage", options.stage,
                    "Only what can be seen at design, rough_in, trim_out or acceptance")
        ->type_name("STAGE");
    verb.add_option("--assume", options.assumptions,
                    "Values to assume where the job tells none; repeatable")
        ->type_name("FILE")
        ->allow_extra_args(false);
    add_rules_option(verb, options.rules);
    add_on_option(verb, options.on);
}

std::optional<OpenJob> open_job(const JobOptions &options) {
    const auto document = read_file(options.job);
    const auto assumptions = read_files(options.assumptions);
    if (!document || !assumptions)
        return std::nullopt;
    auto book = open_book(options.book, options.rules, options.on);
    if (!book)
        return std::nullopt;
    auto job = groundrule::Job::from_json(*book, document->text, document->name);
    if (!job) {
        complain(job.error());
        return std::nullopt;
    }
    for (const File &file : *assumptions) {
        if (const auto assumed = job->assume_json(file.text, file.name); !assumed) {
            complain(assumed.error());
            return std::nullopt;
        }
    }
    return OpenJob{std::move(*book), std::move(*job)};
}

} // namespace command
