#include "place_option.h"

#include "status.h"
#include "terminal.h"

#include <CLI/CLI.hpp>

namespace command {

void add_place_options(CLI::App &verb, Place &place) {
    verb.add_option("--at", place.name,
                    "The place whose timeline tells the book, in place of --book; with --on DATE\n"
                    "for the deciding date that the job does not tell itself")
        ->type_name("PLACE");
    verb.add_option("--choose", place.choose,
                    "With --at: the period that the applicant chose where several are in force")
        ->type_name("PERIOD");
}

std::optional<groundrule::Answer> ask(const Place &place, const File &job,
                                      const std::vector<std::string> &rule_paths) {
    const auto files = read_files(rule_paths);
    if (!files)
        return std::nullopt;
    const auto adoption = groundrule::Adoption::open(place.name, sources_of(*files));
    if (!adoption) {
        complain(adoption.error());
        return std::nullopt;
    }
    auto answer = adoption->find(job.text, job.name, place.on, place.choose);
    if (!answer) {
        complain(answer.error());
        return std::nullopt;
    }
    return std::move(*answer);
}

std::optional<FoundBook> one_book(groundrule::Answer &answer, int &status) {
    if (answer.outcome() == GR_ONE_BOOK) {
        if (const auto period = answer.period(0))
            return FoundBook{std::string(period->book), std::string(period->on),
                             std::string(period->by)};
    }
    const auto text = answer.render(GR_PLAIN);
    status = bad_input;
    if (!text) {
        complain(text.error());
        return std::nullopt;
    }
    complain("the job was not checked");
    if (answer.outcome() == GR_CHOICE)
        complain("--choose PERIOD tells which one the applicant chose");
    status = print(*text, answer.outcome() == GR_NO_PERIOD ? bad_input : open);
    return std::nullopt;
}

} // namespace command
