// Text that somebody wrote to do harm: every bound that a book or a job meets beyond the reader of
// declarations (tests/unit/syntax/limits_test.cc), and what an answer may cost at the most.

#include "syntax/parse.h"
#include "text/limits.h"

#include "trial.h"

#include "catch.h"

#include <ctime>
#include <sys/resource.h>

namespace {

using namespace groundrule;

constexpr std::size_t megabytes_10 = 10u << 20;

std::string filled(const std::string &part, std::size_t size) {
    std::string out;
    out.reserve(size + part.size());
    while (out.size() < size)
        out += part;
    return out;
}

std::string numbered(std::size_t i) {
    return "gap 1." + std::to_string(i) + " \"g\"\n";
}

Diagnostics faults_of(const std::string &text) {
    const SourceText source("file.rules", text);
    Diagnostics diagnostics;
    syntax::parse(source, 0, diagnostics);
    return diagnostics;
}

std::string shall(const std::string &condition) {
    return "rule 1.1 \"R\"\n  topic t\n  for crate\n  shall " + condition + "\n  says \"x\"\n";
}

// Faults of opening and compiling the trial edition with this text in it.
std::string faults_of_book(const std::string &text) {
    const book::Opened opened = trial::open(text);
    if (!opened.book)
        return opened.diagnostics.list().front().code;
    Diagnostics faults;
    program::compile(*opened.book, faults);
    return faults.has_errors() ? faults.list().front().code : "";
}

std::string chain_of_functions(std::size_t count, const std::string &body) {
    std::string text = "define f0(a : number) : number = a\n";
    for (std::size_t i = 1; i < count; ++i) {
        const std::string below = "f" + std::to_string(i - 1) + "(a)";
        std::string value = body;
        for (std::size_t at = value.find('@'); at != std::string::npos; at = value.find('@'))
            value.replace(at, 1, below);
        text += "define f" + std::to_string(i) + "(a : number) : number = " + value + "\n";
    }
    return text + shall("f" + std::to_string(count - 1) + "(share) at least 1");
}

std::string chain_of_definitions(std::size_t count) {
    std::string text = "define crate.d0 : number = share\n";
    for (std::size_t i = 1; i < count; ++i)
        text += "define crate.d" + std::to_string(i) + " : number = d" + std::to_string(i - 1) +
                " + 1\n";
    return text + shall("d" + std::to_string(count - 1) + " at least 1");
}

std::string table_of(std::size_t keys, std::size_t rows) {
    std::string text = "table \"T\" \"t\"\n  gives number\n  by ";
    for (std::size_t k = 0; k < keys; ++k)
        text += (k == 0 ? "k" : ", k") + std::string(1, static_cast<char>('a' + k)) + " : number";
    for (std::size_t r = 0; r < rows; ++r)
        text +=
            "\n  " + filled(std::to_string(r) + " | ", keys * (std::to_string(r).size() + 3)) + "1";
    return text + "\n";
}

// Seconds, and growth of the largest resident size in megabytes, of one answer. The sanitizers
// multiply both, so they have bounds of their own; the bounds leave room for a busy machine.
template <typename Act>
void expect_cheap(Act act) {
    rusage before{};
    getrusage(RUSAGE_SELF, &before);
    const std::clock_t start = std::clock(); // of this process: others do not count
    act();
    const auto took = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
    rusage after{};
    getrusage(RUSAGE_SELF, &after);
#ifdef GROUNDRULE_SANITIZED
    constexpr double slack = 10;
#else
    constexpr double slack = 1;
#endif
    CHECK(took < 2 * slack);
    CHECK(static_cast<double>(after.ru_maxrss - before.ru_maxrss) / 1024 < 200 * slack);
}

} // namespace

TEST_CASE("a file holds declarations to the bound and no more") {
    std::string text;
    for (std::size_t i = 0; i < limits::declarations_per_file; ++i)
        text += numbered(i);
    CHECK(trial::codes(faults_of(text)).empty());
    CHECK(trial::codes(faults_of(text + numbered(9999))) == "too-large");
}

TEST_CASE("a file holds operands and operators to the bound and no more") {
    // The bound is looked at between declarations, and each of these is read whole.
    const std::string rule = shall(filled("loose and ", 60000) + "loose");
    CHECK(trial::codes(faults_of(filled(rule, 10 * rule.size()))).empty());
    CHECK(trial::codes(faults_of(filled(rule, 40 * rule.size()))) == "too-large");
}

TEST_CASE("a sum nests to the bound, since each sign is a level of its tree") {
    const auto sum = [](std::size_t signs) {
        return shall(filled("share + ", 8 * signs) + "share = 1");
    };
    // The comparison above the sum is one level.
    CHECK(trial::codes(faults_of(sum(limits::nesting - 1))).empty());
    CHECK(trial::codes(faults_of(sum(limits::nesting))) == "too-deep");
    CHECK(trial::codes(faults_of(sum(8000))) == "too-deep");
    CHECK(faults_of_book(sum(limits::nesting - 1)).empty());
}

TEST_CASE("a table spans cells to the bound and no more, however few its rows") {
    CHECK(faults_of_book(table_of(2, 512)).empty());
    CHECK(faults_of_book(table_of(2, 513)) == "too-large");
    // 256 to the eighth is nothing in 64 bits: the product must not wrap.
    CHECK(faults_of_book(table_of(8, 256)) == "too-large");
}

TEST_CASE("functions in functions are written out to a bound of work and no further") {
    CHECK(faults_of_book(chain_of_functions(10, "@ + @")).empty());
    CHECK(faults_of_book(chain_of_functions(60, "@ + @")) == "too-large");
}

TEST_CASE("functions stand in one another to the bound and no deeper") {
    CHECK(faults_of_book(chain_of_functions(limits::definition_depth, "@ + 1")).empty());
    CHECK(faults_of_book(chain_of_functions(limits::definition_depth + 2, "@ + 1")) == "too-deep");
}

TEST_CASE("definitions of an item lead through one another to the bound and no deeper") {
    // Each definition is two levels: its sum, and the name in it.
    CHECK(faults_of_book(chain_of_definitions(limits::lowering_depth / 2 - 8)).empty());
    CHECK(faults_of_book(chain_of_definitions(limits::lowering_depth / 2 + 8)) == "too-deep");
}

TEST_CASE("a job holds items to the bound and no more, and nests to the bound") {
    const book::Opened opened = trial::open("");
    REQUIRE(opened.book);
    const auto codes = [&](const std::string &json) {
        Diagnostics faults;
        facts::job_from_json(*opened.book, json, "job.json", faults);
        return trial::codes(faults);
    };
    // The job itself is an item.
    const auto crates = [](std::size_t count) {
        return "{\"crates\":[" + filled("{},", 3 * (count - 1)) + "{}]}";
    };
    CHECK(codes(crates(limits::job_items - 1)).empty());
    CHECK(codes(crates(limits::job_items)) == "too-large");
    CHECK(codes(std::string(limits::job_bytes - 2, ' ') + "{}").empty());
    CHECK(codes(std::string(limits::job_bytes - 1, ' ') + "{}") == "too-large");
    const auto nested = [](std::size_t depth) {
        return "{\"x\":" + std::string(depth - 1, '[') + std::string(depth - 1, ']') + "}";
    };
    CHECK(codes(nested(limits::job_nesting)) == "unknown-field");
    CHECK(codes(nested(limits::job_nesting + 1)) == "unknown-field too-deep");
}

TEST_CASE("ten megabytes of hostile rule text are answered soon and in little memory") {
    const std::string text = GENERATE(
        shall(filled("a and ", megabytes_10)),
        filled(shall(filled("a and ", 60000) + "a"), megabytes_10),
        filled(shall(filled("a + ", 60000) + "a"), megabytes_10), shall(filled("(", megabytes_10)),
        filled("(\n", megabytes_10), filled("if if if ", megabytes_10),
        shall(filled("if ", megabytes_10)), filled("type a : one of (a)\n", megabytes_10),
        filled("gap 1.1 \"g\"\n", megabytes_10),
        filled("rule " + filled("(", 110) + "\n", megabytes_10));
    expect_cheap([&] { CHECK(faults_of(text).has_errors()); });
}

TEST_CASE("a table of the largest size is placed soon") {
    std::string text = "table \"T\" \"t\"\n  gives number\n  by k : number\n";
    for (int i = 0; text.size() < limits::table_bytes - 100; ++i)
        text += "  " + std::to_string(i) + " | 1\n";
    expect_cheap([&] { CHECK(faults_of_book(text).empty()); });
}

TEST_CASE("ten megabytes of hostile JSON are answered soon and in little memory") {
    const book::Opened opened = book::open_book(book::shipped_editions().front());
    REQUIRE(opened.book);
    const std::string json = GENERATE(
        "{\"panels\":[" + filled("{},", megabytes_10) + "{}]}",
        "{\"panels\":[{\"circuits\":[{\"runs\":[" + filled("{},", megabytes_10) + "{}]}]}]}",
        filled("[", megabytes_10), filled("{\"a\":", megabytes_10),
        "{\"panels\":" + filled("[", megabytes_10), "{" + filled("\"a\":1,", megabytes_10) + "}",
        "{\"note\":\"" + std::string(megabytes_10, 'x') + "\"," + filled("\"a\":1,", 2000) + "}",
        "{\"" + std::string(megabytes_10, 'x') + "\":1}");
    expect_cheap([&] {
        Diagnostics faults;
        facts::job_from_json(*opened.book, json, "job.json", faults);
        CHECK(faults.has_errors());
    });
}
