// The book that applies at a place: the options --at and --choose.
#pragma once

#include "files.h"

#include <groundrule/groundrule.hpp>

#include <optional>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace command {

struct Place {
    std::string name;
    std::string on;
    std::string choose;
};

// --at and --choose; --on is that of every verb that opens a book.
void add_place_options(CLI::App &verb, Place &place);

// What a timeline answers for a job. If it can't be asked, says why and gives back nothing.
std::optional<groundrule::Answer> ask(const Place &place, const File &job,
                                      const std::vector<std::string> &rule_paths);

struct FoundBook {
    std::string name;
    std::string on; // the day for which it is to be opened
    std::string by; // the fact of the job that is this day
};

// The one book of an answer. If there is none, tells the answer, leaves the exit status of the
// command in `status`, and gives back nothing.
std::optional<FoundBook> one_book(groundrule::Answer &answer, int &status);

} // namespace command
