// The words of the language, here and on the language page.

#include "syntax/reserved.h"

#include "trial.h"

#include <fstream>
#include <iterator>
#include <regex>

#include "catch.h"

namespace {

std::vector<std::string> words_on_the_page() {
    std::ifstream file(std::string(GROUNDRULE_SOURCE_DIR) + "/docs/language.md");
    const std::string page{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    std::string section = page.substr(page.find("## Reserved words"));
    section = section.substr(section.find(":") + 1);
    std::vector<std::string> words;
    const std::regex word("[a-z_]+");
    for (std::sregex_iterator it(section.begin(), section.end(), word), end; it != end; ++it)
        words.push_back(it->str());
    return words;
}

} // namespace

TEST_CASE("the reserved words are those that the language page lists, in order") {
    const auto &reserved = groundrule::syntax::reserved_words;
    CHECK(words_on_the_page() == std::vector<std::string>(reserved.begin(), reserved.end()));
    CHECK(std::is_sorted(reserved.begin(), reserved.end()));
    CHECK(std::adjacent_find(reserved.begin(), reserved.end()) == reserved.end());
}

TEST_CASE("no reserved word can be the name of a field, and every other word can") {
    const auto opens = [](const std::string &name) {
        return trial::open("", {},
                           "vocabulary\n\nitem crate in job as crates \"C\"\n  " + name +
                               " : current choice \"Q?\"\n")
                   .book != nullptr;
    };
    for (const std::string_view word : groundrule::syntax::reserved_words) {
        INFO(word);
        CHECK_FALSE(opens(std::string(word)));
    }
    for (const char *name : {"title", "effective", "group", "gap", "ratings", "tables"})
        CHECK(opens(name));
}
