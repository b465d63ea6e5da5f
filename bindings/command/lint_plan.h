// Which books have to be opened, and with which files, to see every fault of a set of rule files.
// Reads no more of a file than its header; the faults are found by the library.
#pragma once

#include "files.h"

#include <string>
#include <vector>

namespace command {

struct Opening {
    std::string book;
    std::vector<groundrule::Source> sources; // borrowed from the files
};

// `base` is the book to open instead of the one that a file names; empty if none was given.
std::vector<Opening> plan_lint(const std::vector<File> &files, const std::string &base);

} // namespace command
