// The embedded rule sets are, byte for byte, the files of the source tree.

#include "book/embedded.h"

#include <algorithm>
#include <cstddef>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "catch.h"

namespace {

namespace fs = std::filesystem;
using groundrule::book::embedded_file_count;
using groundrule::book::embedded_files;

const fs::path rulesets = fs::path(GROUNDRULE_SOURCE_DIR) / "rulesets";

std::string contents_of(const fs::path &path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

std::vector<std::string> paths_on_disk() {
    std::vector<std::string> paths;
    for (const fs::directory_entry &entry : fs::recursive_directory_iterator(rulesets)) {
        if (entry.is_regular_file() && entry.path().extension() == ".rules") {
            paths.push_back(fs::relative(entry.path(), rulesets).generic_string());
        }
    }
    std::ranges::sort(paths);
    return paths;
}

} // namespace

TEST_CASE("embedded rule sets: every file, sorted by path") {
    std::vector<std::string> paths;
    for (const auto &file : std::span(embedded_files, embedded_file_count)) {
        paths.emplace_back(file.path);
    }
    CHECK(paths == paths_on_disk());
}

TEST_CASE("embedded rule sets: the bytes of the files") {
    for (const auto &file : std::span(embedded_files, embedded_file_count)) {
        INFO(file.path);
        // Compared as one truth, since a failure would otherwise print both texts.
        const bool same =
            std::string_view(file.text, file.size) == contents_of(rulesets / file.path);
        CHECK(same);
        CHECK(file.text[file.size] == '\0');
    }
}
