// A book printed whole, with what is rarer in one, opens again as the same book.

#include "trial.h"

#include "book/digest.h"
#include "book/show.h"
#include "quantity/date.h"

#include "catch.h"

namespace {

using namespace groundrule;

const std::string words = R"(vocabulary

type sort : one of (pale, dark)

item crate in job as crates
  sort : sort    choice  "Which sort?"
  load : current measure "How much?"

imply crate
  load = if sort is pale then 1 A otherwise unknown
)";

const std::string rules = R"(edition trial-1
  title "Trial"

table 1.1 "Across only"
  gives current
  by    sort : sort
  sort | pale | dark
  1 A | 2 A

list "steps" "Steps" of current
  = 1 A, 2 A

rule 1.2 "A probe"
  topic probe
  for   crate
  shall load at most table 1.1 [sort]
  says  "Over {table 1.1 [sort]}."

gap "90.1 and its annex" "What stands there"

administrative "A-1" "Fees"
)";

book::Opened opened(const std::string &name, const std::string &amendments,
                    const std::string &day = {}) {
    std::vector<book::NamedText> texts = {{"words.rules", words}, {"trial.rules", rules}};
    std::size_t at = 0;
    for (std::size_t next = 0; at < amendments.size(); at = next) {
        next = std::min(amendments.find("amendment", at + 1), amendments.size());
        texts.push_back({"a" + std::to_string(at) + ".rules", amendments.substr(at, next - at)});
    }
    return book::open_book(name, texts, day.empty() ? std::nullopt : date_from_text(day));
}

// The printed book, once it has opened again and said the same.
std::string printed(const book::Opened &book) {
    INFO(trial::faults(book));
    REQUIRE(book.book);
    const std::string text = book::printed_book(*book.book);
    const book::Opened again = book::open_book("whole.rules", {{"whole.rules", text}});
    INFO(text << trial::faults(again));
    REQUIRE(again.book);
    CHECK(again.book->name == book.book->name);
    CHECK(again.book->on == book.book->on);
    CHECK(book::digest_of(*again.book) == book::digest_of(*book.book));
    CHECK(book::printed_book(*again.book) == text);
    return text;
}

bool holds(const std::string &text, const std::string &part) {
    return text.find(part) != std::string::npos;
}

const std::string layers = "amendment summer to trial-1\n  title \"Summer\"\n"
                           "  effective 2025-06-01\n  until 2025-09-01\n\n"
                           "change table 1.1 [pale] from 1 A to 3 A\n\n"
                           "amendment nameless to trial-1\n\n"
                           "replace table 1.1 \"Across only\" from 2acf22a7\n  gives current\n"
                           "  by    sort : sort\n  sort | pale | dark\n  4 A | 5 A\n";

} // namespace

TEST_CASE("printed: items, facts that are implied, and citations without a title or a number") {
    const std::string text = printed(opened("trial-1", ""));
    CHECK(holds(text, "item crate in job as crates\n"));
    CHECK(holds(text, "imply crate\n"));
    CHECK(holds(text, "gap \"90.1 and its annex\" \"What stands there\"\n"));
    CHECK(holds(text, "administrative \"A-1\" \"Fees\"\n"));
    CHECK(holds(text, "  sort | pale | dark\n  1 A  | 2 A\n"));
}

TEST_CASE("printed: a book opened for a day names the layers that are not in force on it") {
    const std::string out = printed(opened("trial-1+summer", layers, "2025-05-31"));
    CHECK(holds(out, "printed trial-1\n    effective 2025-05-31\n"));
    CHECK(holds(out, "amendment summer to trial-1\n"));
    CHECK(holds(out, "1 A  | 2 A\n"));
    const std::string in = printed(opened("trial-1+summer", layers, "2025-06-01"));
    CHECK(holds(in, "printed trial-1, summer\n"));
    CHECK(holds(in, "3 A @summer | 2 A\n"));
}

TEST_CASE("printed: what layers without a title changed") {
    const book::Opened book = opened("trial-1+nameless", layers);
    const std::string text = printed(book);
    CHECK(holds(text, "4 A  | 5 A\n"));
    const std::string changes = book::printed_changes(*book.book);
    CHECK(changes.starts_with("nameless\n  table 1.1  ("));
    CHECK(changes.ends_with("  1 change\n"));
}

TEST_CASE("printed: a file that only begins as a printed book is refused") {
    const auto codes = [](const std::string &text) {
        return trial::codes(book::open_book("whole.rules", {{"whole.rules", text}}).diagnostics);
    };
    CHECK(codes("printed \n") == "syntax");
    CHECK(codes("printed trial-1\n\nrule 1.1 \"x\"\n") != "");
    const std::string text = printed(opened("trial-1", ""));
    const std::size_t head = text.find("edition trial-1");
    REQUIRE(head != std::string::npos);
    CHECK(codes(text.substr(0, head) + text.substr(text.find("item job"))) == "wrong-base");
}
