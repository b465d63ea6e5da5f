// Each wrong rule file gives the errors beside it, word for word.
#include "cases/trial.h"

#include "catch.h"

#include <algorithm>
#include <cstdlib>
#include <fstream>

namespace {

namespace fs = std::filesystem;
using groundrule::cases::faults_in;
using groundrule::cases::read_file;
using groundrule::cases::source_dir;

std::vector<fs::path> wrong_files() {
    std::vector<fs::path> files;
    for (const fs::directory_entry &entry :
         fs::directory_iterator(source_dir() / "tests/cases/wrong")) {
        if (entry.path().extension() == ".rules")
            files.push_back(entry.path());
    }
    std::sort(files.begin(), files.end());
    return files;
}

// To write the expected texts anew, and then to read each of them: GROUNDRULE_REWRITE=1.
bool rewriting() {
    return std::getenv("GROUNDRULE_REWRITE") != nullptr;
}

} // namespace

TEST_CASE("wrong rule files: the errors that a reader sees") {
    const std::vector<fs::path> files = wrong_files();
    CHECK(files.size() >= 50);
    for (const fs::path &path : files) {
        const std::string got = faults_in(path.filename().string(), read_file(path)).text;
        const fs::path beside = fs::path(path).replace_extension(".expected");
        if (rewriting())
            std::ofstream(beside, std::ios::binary) << got;
        const std::string expected = read_file(beside);
        const bool same = got == expected;
        INFO("--- " << path.filename().string() << "\n--- expected\n"
                    << expected << "--- got\n"
                    << got);
        CHECK(same);
        CHECK_FALSE(got.empty());
    }
}

TEST_CASE("wrong rule files: the book that they are written against has no fault") {
    const std::string part = "part of trial\n";
    CHECK(faults_in("nothing.rules", part).text.empty());
}
