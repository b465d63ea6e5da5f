// The job and the book that the verbs of one job work with.
#pragma once

#include <groundrule/groundrule.hpp>

#include <optional>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace command {

struct JobOptions {
    std::string job;
    std::string book;
    std::string on;
    std::string stage;
    std::vector<std::string> assumptions;
    std::vector<std::string> rules;
};

// JOB, --book, --on, --stage, --assume and --rules.
void add_job_options(CLI::App &verb, JobOptions &options);

struct OpenJob {
    groundrule::Book book;
    groundrule::Job job;
};

// If it can't be opened, says why and gives back nothing.
std::optional<OpenJob> open_job(const JobOptions &options);

} // namespace command
