// Text that several editions share: its numbers, and lines for some of them.

#include "trial.h"

#include <algorithm>

#include "catch.h"

namespace {

using namespace groundrule;

const std::string shared = R"(part of trial-1, trial-2

rule 210.23(A) "Shared"
  numbered 210.23(B)(1) in trial-2
  topic    shared
  for      crate
  limit in trial-1 highest = 40 A
  limit in trial-2 highest = 50 A
  where in trial-2 closed : sealed
  shall    load at most highest
  says     "x"
  listed   (1) in trial-1 "Red" where colour is red
  listed   (2) in trial-2 "Blue" where colour is blue

table 310.15(B)(16) "T"
  numbered 310.16 in trial-2
  gives current
  by    w : conductor_size
  8 AWG | 40 A

rule 310.14 "Uses the table"
  in trial-2
  topic    second_only
  for      crate
  shall    load at most table 310.15(B)(16) [wire]
  says     "x"
)";

book::Opened open(const std::string &edition) {
    return book::open_book(edition,
                           {{"words.rules", trial::vocabulary},
                            {"one.rules", "edition trial-1\n  title \"1\"\n  publisher \"N\"\n"},
                            {"two.rules", "edition trial-2\n  title \"2\"\n  publisher \"N\"\n"},
                            {"shared.rules", shared}});
}

} // namespace

TEST_CASE("a declaration has the number that its edition gives it") {
    const book::Opened one = open("trial-1");
    const book::Opened two = open("trial-2");
    INFO(trial::faults(one) << trial::faults(two));
    REQUIRE((one.book && two.book));
    CHECK(one.book->rules.front().citation == "210.23(A)");
    CHECK(two.book->rules.front().citation == "210.23(B)(1)");
    CHECK(one.book->rules.front().topic == two.book->rules.front().topic);
    const auto name = [](const book::Book &b, const char *table) {
        return std::any_of(b.tables.begin(), b.tables.end(),
                           [&](const book::Table &t) { return t.name == table; });
    };
    CHECK(name(*one.book, "310.15(B)(16)"));
    CHECK(name(*two.book, "310.16"));
    CHECK_FALSE(name(*two.book, "310.15(B)(16)"));
}

TEST_CASE("declarations and lines for some editions are left out of the others") {
    const book::Opened one = open("trial-1");
    const book::Opened two = open("trial-2");
    REQUIRE((one.book && two.book));
    CHECK(one.book->rules.size() == 1);
    CHECK(two.book->rules.size() == 2);
    const book::Rule &a = one.book->rules.front();
    const book::Rule &b = two.book->rules.front();
    REQUIRE((a.limits.size() == 1 && b.limits.size() == 1));
    CHECK(a.limits.front().value == 40);
    CHECK(b.limits.front().value == 50);
    CHECK(a.conditions.empty());
    CHECK(b.conditions.size() == 1);
    CHECK(a.listed.front().label == "(1)");
    CHECK(b.listed.front().label == "(2)");
}

TEST_CASE("the same facts give each edition's own verdict") {
    const std::string job = trial::crate(R"("load":"45 A","colour":"red","sealed":true)");
    const report::Report one = trial::check(trial::compiled(open("trial-1")), job);
    CHECK(one.findings.front().verdict == Verdict::violates);
    const report::Report two = trial::check(trial::compiled(open("trial-2")), job);
    CHECK(two.findings.front().verdict == Verdict::not_applicable);
}

TEST_CASE("every shipped edition and amendment opens and compiles") {
    std::vector<std::string> names = book::shipped_editions();
    CHECK(names.size() >= 3);
    names.push_back("nec-2017+tia-17-2");
    names.push_back("nec-2020+harbor-city-2025");
    for (const std::string &name : names) {
        INFO(name);
        const trial::Compiled c = trial::compiled(book::open_book(name));
        CHECK(program::fault_in(c.program).empty());
        CHECK(std::is_sorted(c.book->rules.begin(), c.book->rules.end(),
                             [](const book::Rule &a, const book::Rule &b) {
                                 return book::citation_less(a.citation, b.citation);
                             }));
    }
}

TEST_CASE("an edition that no file bears is told with the nearest name, or with all") {
    const auto help = [](const std::string &name) {
        const book::Opened opened =
            book::open_book("trial-1", {{"words.rules", trial::vocabulary},
                                        {"one.rules", "edition trial-1\n  title \"1\"\n"},
                                        {"more.rules", "part of trial-1, " + name + "\n"}});
        REQUIRE(opened.diagnostics.size() == 1);
        CHECK(opened.diagnostics.list()[0].code == "unknown-name");
        return opened.diagnostics.list()[0].help;
    };
    CHECK(help("trial-11") == "did you mean `trial-1`?");
    CHECK(help("quite-another-one") == "known: nec-2017, nec-2020, nec-2023, trial-1");
}

TEST_CASE("a book that no file bears is told, unless a file at fault may bear it") {
    const auto codes = [](const std::string &name, const std::string &text) {
        return trial::codes(book::open_book(name, {{"x.rules", text}}).diagnostics);
    };
    const std::string headless = "rule 1.1 \"x\"\n  topic x\n  for job\n  shall storeys at most 1\n"
                                 "  says \"x\"\n";
    CHECK(codes("trial-9", "# nothing\n") == "unknown-book");
    CHECK(codes("trial-9+x", "# nothing\n") == "unknown-book");
    CHECK(codes("trial-9", headless) == "no-header");
    CHECK(codes("nec-2020+x", "# nothing\n") == "unknown-book");
    CHECK(codes("nec-2020+x", headless) == "no-header");
}

TEST_CASE("of cycles no more are told than of other faults of a file") {
    std::string selves;
    for (int i = 0; i < 105; ++i)
        selves += "define crate.d" + std::to_string(i) + " : current\n  = d" + std::to_string(i) +
                  " * 2\n\n";
    CHECK(trial::open(selves).diagnostics.size() == 100);
}

TEST_CASE("a cycle of many definitions is told by its first few and its last") {
    std::string chain;
    for (int i = 0; i < 12; ++i)
        chain += "define crate.d" + std::to_string(i) + " : current\n  = d" +
                 std::to_string((i + 1) % 12) + "\n\n";
    const book::Opened opened = trial::open(chain);
    REQUIRE(trial::codes(opened.diagnostics) == "cycle");
    CHECK(opened.diagnostics.list()[0].message ==
          "`crate.d0` leads back to itself: crate.d0 → crate.d1 → crate.d2 → crate.d3 → crate.d4 → "
          "crate.d5 → crate.d6 → crate.d7 → … → crate.d11 → crate.d0");
}
