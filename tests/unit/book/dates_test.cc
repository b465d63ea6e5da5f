// Layers in force on a day.
#include "trial.h"

#include "catch.h"

#include "book/digest.h"
#include "quantity/date.h"

using namespace groundrule;

namespace {

const std::string rules =
    "rule 1.1 \"A probe\"\n  topic probe\n  for crate\n  limit widest = 4 ft\n"
    "  shall width at most widest\n  says \"Too wide.\"\n";

book::Opened open_on(const std::string &name, const std::string &day) {
    const std::vector<book::NamedText> texts = {
        {"words.rules", trial::vocabulary},
        {"trial.rules", trial::edition_head + rules},
        {"season.rules", "amendment season to trial-1\n  title \"One summer\"\n"
                         "  effective 2025-06-01\n  until 2025-09-01\n\n"
                         "change widest of rule 1.1 from 4 ft to 3 ft\n"},
        {"later.rules", "amendment later to season\n  title \"On top of the summer\"\n\n"
                        "change widest of rule 1.1 from 3 ft to 2 ft\n"}};
    return book::open_book(name, texts, day.empty() ? std::nullopt : date_from_text(day));
}

std::string digest_on(const std::string &name, const std::string &day) {
    const book::Opened opened = open_on(name, day);
    INFO(trial::faults(opened));
    REQUIRE(opened.book);
    return book::digest_of(*opened.book);
}

} // namespace

TEST_CASE("a layer is in force from its first day to the day before its last, and then the base "
          "revives") {
    const std::string base = digest_on("trial-1", "");
    const std::string summer = digest_on("trial-1+season", "");
    CHECK(base != summer);
    CHECK(digest_on("trial-1+season", "2025-05-31") == base);
    CHECK(digest_on("trial-1+season", "2025-06-01") == summer);
    CHECK(digest_on("trial-1+season", "2025-08-31") == summer);
    CHECK(digest_on("trial-1+season", "2025-09-01") == base);
}

TEST_CASE("a book that was opened for a day bears the name of the layers in force, and lists the "
          "others") {
    const book::Opened opened = open_on("trial-1+season", "2025-05-31");
    REQUIRE(opened.book);
    CHECK(opened.book->name == "trial-1");
    CHECK(opened.book->on == "2025-05-31");
    REQUIRE(opened.book->not_in_force.size() == 1);
    CHECK(opened.book->not_in_force.front().name == "season");
    CHECK(open_on("trial-1+season", "2025-06-01").book->name == "trial-1+season");
}

TEST_CASE("a layer on top of one that is not in force does not open") {
    CHECK(open_on("trial-1+season+later", "2025-07-01").book);
    const book::Opened opened = open_on("trial-1+season+later", "2025-10-01");
    CHECK(opened.book == nullptr);
    CHECK(trial::codes(opened.diagnostics) == "wrong-base");
}
