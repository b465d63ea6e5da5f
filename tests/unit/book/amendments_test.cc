// tests/cases/amendments: each form that an ordinance can take, as an example in rule text with its
// own tests, and what it is told to have changed.
#include "book/compare.h"
#include "book/digest.h"
#include "book/lint.h"
#include "book/show.h"
#include "cases/trial.h"
#include "evaluate/check_tests.h"
#include "evaluate/rule_tests.h"
#include "syntax/format.h"
#include "trial.h"

#include "catch.h"

#include <algorithm>
#include <cstdlib>
#include <fstream>

namespace {

namespace fs = std::filesystem;
using namespace groundrule;

fs::path folder() {
    return cases::source_dir() / "tests/cases/amendments";
}

std::vector<fs::path> files_in(const fs::path &where) {
    std::vector<fs::path> out;
    for (const fs::directory_entry &entry : fs::directory_iterator(where)) {
        if (entry.path().extension() == ".rules")
            out.push_back(entry.path());
    }
    std::sort(out.begin(), out.end());
    return out;
}

book::NamedText text_of(const fs::path &path) {
    return {path.filename().string(), cases::read_file(path)};
}

std::vector<book::NamedText> with_base(const fs::path &example) {
    std::vector<book::NamedText> out;
    for (const fs::path &path : files_in(folder() / "base"))
        out.push_back(text_of(path));
    out.push_back(text_of(example));
    return out;
}

// Those about conflicts stand on what the county changed.
std::string book_name(const std::string &example) {
    const bool on_county = example.starts_with("conflict-");
    return std::string("market-2+") + (on_county ? "county+" : "") + example;
}

// To write the expected changes anew, and then to read each of them: GROUNDRULE_REWRITE=1.
bool rewriting() {
    return std::getenv("GROUNDRULE_REWRITE") != nullptr;
}

std::string failures(const book::Book &b, const program::Program &program) {
    std::string out;
    for (const evaluate::TestFailure &f : evaluate::run_rule_tests(b, program).failures)
        out += std::to_string(b.sources[f.span.file].place(f.span.begin).line) + ": " + f.message +
               "\n";
    return out;
}

// All that a remedy says, but for its place.
bool same_remedy(const book::Remedy &a, const book::Remedy &b) {
    const auto same_carried = [](const book::Remedy::Carried &x, const book::Remedy::Carried &y) {
        return x.item == y.item && x.field == y.field && x.with == y.with && x.keeps == y.keeps;
    };
    return a.title == b.title && a.item == b.item && a.field == b.field && a.values == b.values &&
           a.also == b.also && a.without == b.without && a.keeps == b.keeps &&
           std::equal(a.carried.begin(), a.carried.end(), b.carried.begin(), b.carried.end(),
                      same_carried);
}

bool same_remedies(const book::Book &a, const book::Book &b) {
    return std::equal(a.remedies.begin(), a.remedies.end(), b.remedies.begin(), b.remedies.end(),
                      same_remedy);
}

} // namespace

TEST_CASE("amendments: every form opens, and its own tests hold") {
    const std::vector<fs::path> examples = files_in(folder());
    CHECK(examples.size() >= 70);
    for (const fs::path &path : examples) {
        const std::string name = path.stem().string();
        INFO(name);
        const trial::Compiled c =
            trial::compiled(book::open_book(book_name(name), with_base(path)));
        CHECK(failures(*c.book, c.program).empty());
        CHECK(c.book->changes.empty() == false);
    }
}

TEST_CASE("amendments: what each form is told to have changed") {
    for (const fs::path &path : files_in(folder())) {
        const std::string name = path.stem().string();
        const book::Opened opened = book::open_book(book_name(name), with_base(path));
        REQUIRE(opened.book);
        const std::string got = book::printed_changes(*opened.book);
        const fs::path beside = fs::path(path).replace_extension(".changes");
        if (rewriting())
            std::ofstream(beside, std::ios::binary) << got;
        const std::string expected = cases::read_file(beside);
        INFO("--- " << name << "\n--- expected\n" << expected << "--- got\n" << got);
        CHECK(got == expected);
    }
}

TEST_CASE("amendments: each example is laid out in the canonical form") {
    for (const fs::path &path : files_in(folder())) {
        const book::NamedText text = text_of(path);
        const SourceText source(text.name, text.text);
        Diagnostics faults;
        const auto laid_out = syntax::format(source, faults);
        INFO(text.name);
        REQUIRE(laid_out);
        if (rewriting())
            std::ofstream(path, std::ios::binary) << *laid_out;
        CHECK(*laid_out == text.text);
    }
}

TEST_CASE("amendments: a book with any of them is printed whole and opens as the same book") {
    for (const fs::path &path : files_in(folder())) {
        const std::string name = path.stem().string();
        const book::Opened opened = book::open_book(book_name(name), with_base(path));
        REQUIRE(opened.book);
        const std::string printed = book::printed_book(*opened.book);
        const book::Opened again = book::open_book("whole.rules", {{"whole.rules", printed}});
        INFO(name << "\n" << trial::faults(again) << printed);
        REQUIRE(again.book);
        CHECK(book::digest_of(*again.book) == book::digest_of(*opened.book));
        CHECK(again.book->name == opened.book->name);
        CHECK(book::printed_book(*again.book) == printed);
        CHECK(same_remedies(*again.book, *opened.book));
    }
}

TEST_CASE("show: a printed book offers the same remedies") {
    for (const std::string name : {"nec-2017", "nec-2020", "nec-2020+harbor-city-2025"}) {
        const book::Opened opened = book::open_book(name);
        INFO(name << "\n" << trial::faults(opened));
        REQUIRE(opened.book);
        REQUIRE(opened.book->remedies.size() >= 10);
        const book::Opened again =
            book::open_book("whole.rules", {{"whole.rules", book::printed_book(*opened.book)}});
        INFO(trial::faults(again));
        REQUIRE(again.book);
        CHECK(same_remedies(*again.book, *opened.book));
    }
}
