// docs/language.md: its examples are read, its lists are those of the sources.
#include "cases/trial.h"
#include "syntax/parse.h"
#include "syntax/reserved.h"

#include "catch.h"

#include <map>
#include <regex>
#include <set>
#include <sstream>

namespace {

namespace cases = groundrule::cases;

std::string page() {
    return cases::read_file(cases::source_dir() / "docs/language.md");
}

std::vector<std::string> examples() {
    std::vector<std::string> out;
    std::istringstream lines(page());
    bool inside = false;
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with("```")) {
            CHECK((inside || line == "```rules"));
            if (!inside)
                out.emplace_back();
            inside = !inside;
        } else if (inside) {
            out.back() += line + "\n";
        }
    }
    return out;
}

// "64u << 10", "4096"
std::size_t number_of(const std::string &written) {
    const std::size_t shift = written.find("<<");
    const std::size_t base = std::stoul(written);
    return shift == std::string::npos ? base : base << std::stoul(written.substr(shift + 2));
}

std::map<std::string, std::size_t> numbers_in(const std::string &text, const std::regex &form) {
    std::map<std::string, std::size_t> out;
    for (auto it = std::sregex_iterator(text.begin(), text.end(), form);
         it != std::sregex_iterator(); ++it)
        out[(*it)[1]] = number_of((*it)[2]);
    return out;
}

} // namespace

TEST_CASE("language page: every example is read") {
    const std::vector<std::string> all = examples();
    CHECK(all.size() >= 10);
    for (const std::string &text : all) {
        const groundrule::Sources sources = {groundrule::SourceText("example.rules", text)};
        groundrule::Diagnostics diagnostics;
        const auto file = groundrule::syntax::parse(sources.front(), 0, diagnostics);
        INFO(text << render(diagnostics, sources));
        CHECK(diagnostics.size() == 0);
        CHECK_FALSE(file.decls.empty());
    }
}

TEST_CASE("language page: the reserved words are those of the reader") {
    const std::string text = page();
    std::string list = text.substr(text.rfind("reserved.h`:"));
    list = list.substr(list.find(':') + 1);
    std::set<std::string> named;
    static const std::regex word("[a-z_]+");
    for (auto it = std::sregex_iterator(list.begin(), list.end(), word);
         it != std::sregex_iterator(); ++it)
        named.insert(it->str());
    const auto &reserved = groundrule::syntax::reserved_words;
    const std::set<std::string> known(reserved.begin(), reserved.end());
    CHECK(named == known);
}

TEST_CASE("language page: the limits are those of the core") {
    static const std::regex declared("size_t (\\w+) = ([^;]+);");
    static const std::regex row("\n\\| `(\\w+)` \\| (\\d+) \\|");
    const std::string header = cases::read_file(cases::source_dir() / "libcore/src/text/limits.h");
    CHECK(numbers_in(page(), row) == numbers_in(header, declared));
}

TEST_CASE("language page: every type and every kind of expression is on it") {
    const std::string text = page();
    for (const char *type : {"yes_no", "current", "voltage", "power", "length", "area", "volume",
                             "conductor_area", "resistance", "torque", "temperature",
                             "temperature_difference", "number", "conductor_size", "date"}) {
        INFO(type);
        CHECK(text.find("`" + std::string(type) + "`") != std::string::npos);
    }
}
