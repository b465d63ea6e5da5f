// The digest names a book's meaning: it keeps still under layout and moves with every figure.

#include "trial.h"

#include "book/digest.h"

#include "catch.h"

#include <thread>

namespace {

using namespace groundrule;

const std::string table = "table 310.16 \"T\"\n  gives current\n  by w : conductor_size\n"
                          "  8 AWG | 40 A\n  6 AWG | 55 A\n\n";
const std::string one =
    "rule 1.1 \"One\"\n  topic first\n  for crate\n  limit highest = 50 A\n"
    "  where sealed\n  shall load at most highest\n  says \"Too much: {load}.\"\n"
    "  except 1 \"Red\" where colour is red\n\n";
const std::string two = "rule 1.2 \"Two\"\n  topic second\n  for crate\n"
                        "  shall load at most table 310.16 [wire]\n  says \"Too much.\"\n\n";

std::string digest(const std::string &rules) {
    const book::Opened opened = trial::open(rules);
    if (!opened.book)
        throw std::runtime_error(trial::faults(opened));
    return book::digest_of(*opened.book);
}

std::string with(std::string text, const std::string &from, const std::string &to) {
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

const std::string base = table + one + two;

} // namespace

TEST_CASE("the digest is 64 hexadecimal digits, the same at every opening") {
    CHECK(digest(base).size() == 64);
    CHECK(digest(base) == digest(base));
    CHECK(digest(base).find_first_not_of("0123456789abcdef") == std::string::npos);
}

TEST_CASE("the digest keeps still under layout, comments, the order of declarations and wording") {
    const std::string still = digest(base);
    CHECK(digest(two + one + table) == still);
    CHECK(digest("# a comment\n" + base + "\n\n# another\n") == still);
    CHECK(digest(with(base, "  where sealed\n  shall",
                      "  where\n\n     sealed # why\n    shall")) == still);
    CHECK(digest(with(base, "Too much: {load}.", "Far too much.")) == still);
    CHECK(digest(with(base, "highest = 50 A", "highest = 0.05 kA")) == still);
    CHECK(digest(with(base, "\"One\"", "\"Another title\"")) == still);
}

TEST_CASE("the digest does not depend on layers, only on what they leave") {
    const book::Opened layered =
        trial::open(with(base, "50 A", "40 A"), {"change highest of rule 1.1 from 40 A to 50 A\n"});
    REQUIRE(layered.book);
    CHECK(book::digest_of(*layered.book) == digest(base));
}

TEST_CASE("the digest moves with every figure, condition, label and word of meaning") {
    const std::vector<std::pair<std::string, std::string>> changes = {
        {"highest = 50 A", "highest = 50.000001 A"},
        {"8 AWG | 40 A", "8 AWG | 41 A"},
        {"6 AWG | 55 A", "6 AWG | --"},
        {"where sealed", "where not sealed"},
        {"  where sealed\n", ""},
        {"at most highest", "less than highest"},
        {"colour is red", "colour is green"},
        {"colour is red", "colour is not red"},
        {"except 1", "except 2"},
        {"  except 1 \"Red\" where colour is red\n", ""},
        {"  except 1 \"Red\" where", "  except 1 not encoded \"Red\" where"},
        {"rule 1.1", "rule 1.3"},
        {"topic first", "topic third"},
        {"shall load at most highest", "should load at most highest"},
        {"  for crate\n  limit", "  stage acceptance\n  for crate\n  limit"},
        {"  for crate\n  limit", "  for crate\n  binds new, existing\n  limit"},
        {"by w : conductor_size", "by w : conductor_size at most"},
    };
    std::vector<std::string> seen = {digest(base)};
    for (const auto &[from, to] : changes) {
        INFO(from << " → " << to);
        const std::string d = digest(with(base, from, to));
        CHECK(std::find(seen.begin(), seen.end(), d) == seen.end());
        seen.push_back(d);
    }
}

TEST_CASE("the digest moves with a definition, a list and a reading that a rule uses") {
    const std::string more =
        "define crate.spare : current\n  = rating - load\n\n"
        "list \"l\" \"L\" of current\n  = 15 A, 20 A\n\n"
        "rule 1.4 \"Four\"\n  topic fourth\n  for crate\n  reading strict = yes \"Strictly\"\n"
        "  where strict\n  shall spare at least smallest(s in list \"l\" where s at least 16 A)\n"
        "  says \"x\"\n";
    const std::string still = digest(more);
    CHECK(digest(with(more, "rating - load", "load - rating")) != still);
    CHECK(digest(with(more, "15 A, 20 A", "15 A, 25 A")) != still);
    CHECK(digest(with(more, "strict = yes", "strict = no")) != still);
    CHECK(digest(with(more, "smallest", "largest")) != still);
}

TEST_CASE("threads that ask first for a digest at one time are told the same") {
    const std::string alone = digest(base);
    for (int round = 0; round < 20; ++round) {
        const book::Opened opened = trial::open(base);
        REQUIRE(opened.book);
        std::vector<std::string> told(4);
        {
            std::vector<std::jthread> threads;
            threads.reserve(told.size());
            for (std::string &text : told)
                threads.emplace_back([&] { text = book::digest_of(*opened.book); });
        }
        for (const std::string &text : told)
            CHECK(text == alone);
    }
}

TEST_CASE("books of different editions have different digests") {
    std::vector<std::string> digests;
    for (const std::string &edition : book::shipped_editions()) {
        const book::Opened opened = book::open_book(edition);
        REQUIRE(opened.book);
        CHECK(std::find(digests.begin(), digests.end(), book::digest_of(*opened.book)) ==
              digests.end());
        digests.push_back(book::digest_of(*opened.book));
    }
    CHECK(digests.size() >= 2);
}
