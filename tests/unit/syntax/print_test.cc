// Generated text, printed anew, says the same: laid out by the formatter, and written from the
// typed tree.

#include "syntax/format.h"

#include "book/digest.h"
#include "book/expression_text.h"
#include "generated.h"

#include "catch.h"

#include <algorithm>
#include <set>

namespace {

using namespace groundrule;
using generated::figures;
using generated::Writer;

std::string laid_out(const std::string &text) {
    Diagnostics faults;
    const SourceText source("rules", text);
    const auto out = syntax::format(source, faults);
    INFO(render(faults, {source}));
    REQUIRE(out);
    return *out;
}

std::string header(const std::string &rules) {
    return "part of trial-1\n\n" + rules;
}

std::string digest(const std::string &part) {
    const book::Opened opened = book::open_book("trial-1", {{"words.rules", trial::vocabulary},
                                                            {"trial.rules", trial::edition_head},
                                                            {"part.rules", part}});
    INFO(trial::faults(opened) << part);
    REQUIRE(opened.book);
    return book::digest_of(*opened.book);
}

// Blanks and ends of lines where layout is free, taken from the seed.
std::string untidied(const std::string &text, std::mt19937 &random) {
    std::string out;
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        quoted = quoted != (text[i] == '"');
        const char before = i > 0 ? text[i - 1] : '\n';
        const bool before_unit = before >= '0' && before <= '9';
        const bool free =
            text[i] == ' ' && !quoted && before != '\n' && before != ' ' && !before_unit;
        out += text[i];
        if (free && random() % 4 == 0)
            out += random() % 3 == 0 ? "\n      " : "   ";
    }
    return out;
}

} // namespace

TEST_CASE("generated rules: laying out keeps the tree, and doing it twice changes nothing") {
    for (std::uint32_t seed = 1; seed <= 12; ++seed) {
        Writer writer(seed);
        std::mt19937 random(seed);
        std::string rules;
        for (int i = 1; i <= 25; ++i)
            rules += untidied(writer.rule(i), random);
        const std::string text = header(figures + rules);
        const std::string once = laid_out(text);
        INFO("seed " << seed << "\n" << text << "\n---\n" << once);
        CHECK(once != text);
        REQUIRE(laid_out(once) == once);
        REQUIRE(digest(once) == digest(text));
    }
}

// Brackets that change nothing are left out, so `(a or b) or c` becomes one `or`: the tree is the
// same from the second printing on, and what it says from the first.
TEST_CASE(
    "generated conditions: written from the typed tree they parse, say the same of every job, "
    "and are written alike again") {
    std::size_t longest = 0;
    std::set<std::string> seen;
    for (std::uint32_t seed = 1; seed <= 200; ++seed) {
        Writer writer(seed);
        const auto open = [&](const std::string &condition) {
            return trial::compiled(trial::open(figures + trial::rule_that(condition)));
        };
        const auto print = [](const trial::Compiled &c) {
            const book::Rule &rule = c.book->rules.front();
            return book::expression_text(*c.book, rule.requirement, {rule.item, &rule, nullptr});
        };
        const std::string written = writer.truth(4);
        const trial::Compiled first = open(written);
        const std::string printed = print(first);
        const trial::Compiled second = open(printed);
        INFO("seed " << seed << "\n" << written << "\n" << printed);
        REQUIRE(print(second) == printed);
        REQUIRE(book::digest_of(*open(print(second)).book) == book::digest_of(*second.book));
        for (int i = 0; i < 10; ++i) {
            const generated::Json job = {{"work", "new"},
                                         {"crates", generated::Json::array({writer.crate()})}};
            const std::string verdict = trial::verdict(first, job.dump());
            seen.insert(verdict);
            REQUIRE(trial::verdict(second, job.dump()) == verdict);
        }
        longest = std::max(longest, printed.size());
    }
    CHECK(longest > 300);
    CHECK(seen.size() == 3);
}
