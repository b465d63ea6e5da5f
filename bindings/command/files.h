// Files named on the command line.
#pragma once

#include <groundrule/groundrule.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace command {

struct File {
    std::string name;
    std::string text;
};

// The whole file; "-" is standard input. If it can't be read, says why and gives back nothing.
std::optional<File> read_file(const std::string &path);
std::optional<std::vector<File>> read_files(const std::vector<std::string> &paths);

// Beside the file first, then in its place: whenever the program ends, the file is there whole or
// as it was. If it can't be written, says why.
bool write_whole(const std::string &path, std::string_view text);

// Views of the files, which must stay where they are meanwhile.
std::vector<groundrule::Source> sources_of(const std::vector<File> &files);

} // namespace command
