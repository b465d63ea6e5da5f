// The embedded rule sets are, byte for byte, the files of the source tree.

#include "book/embedded.h"
#include "book/heading.h"
#include "syntax/split.h"

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
using namespace groundrule;
using namespace groundrule::book;
using syntax::Piece;
using syntax::split;

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
    const EmbeddedTexts texts(Tests::read);
    for (std::size_t i = 0; i < embedded_file_count; ++i) {
        INFO(embedded_files[i].path);
        const std::string text = texts.text(i);
        // Compared as one truth, since a failure would otherwise print both texts.
        const bool same = text == contents_of(rulesets / embedded_files[i].path);
        CHECK(same);
        CHECK(embedded_files[i].heading == heading(text));
    }
}

// Judged by declarations: what the one text has and the other lacks are its tests, and what both
// have stands in the same lines.
TEST_CASE("embedded rule sets: without their tests") {
    const EmbeddedTexts whole(Tests::read);
    const EmbeddedTexts bare(Tests::leave_out);
    std::size_t tests = 0;
    for (std::size_t i = 0; i < embedded_file_count; ++i) {
        INFO(embedded_files[i].path);
        const SourceText a(embedded_files[i].path, whole.text(i));
        const SourceText b(embedded_files[i].path, bare.text(i));
        Diagnostics none;
        std::vector<Piece> pieces = split(a, 0, none);
        tests += std::erase_if(pieces, [](const Piece &p) { return p.first_word == "test"; });
        const std::vector<Piece> left = split(b, 0, none);
        REQUIRE(left.size() == pieces.size());
        for (std::size_t k = 0; k < left.size(); ++k) {
            REQUIRE(b.place(left[k].begin).line == a.place(pieces[k].begin).line);
            REQUIRE(b.line(b.place(left[k].begin).line) == a.line(a.place(pieces[k].begin).line));
        }
    }
    CHECK(tests > 1000);
}
