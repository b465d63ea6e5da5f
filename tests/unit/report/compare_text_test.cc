// A comparison of two small books, told to people and to programs.

#include "report/compare_jobs.h"
#include "report/in_one_line.h"
#include "trial.h"

#include <nlohmann/json.hpp>

#include "catch.h"

namespace {

using namespace groundrule;
using Json = nlohmann::json;

std::string rule(const std::string &number, const std::string &condition, const std::string &says,
                 const std::string &more = {}) {
    return "rule 1." + number + " \"R" + number + "\"\n  topic topic_" + number +
           "\n  for crate\n  shall " + condition + "\n  says \"" + says + "\"\n" + more + "\n";
}

std::string table(const std::string &cell) {
    return "table 310.16 \"T\"\n  gives current\n  by a : current at most\n  5 A | " + cell + "\n";
}

} // namespace

TEST_CASE(
    "a comparison tells an exception without a number, other words, and what rested on a table") {
    const std::string looked_up = "table 310.16 [load] at least 5 A";
    const trial::Compiled before =
        trial::compiled(rule("1", "sealed", "No.", "  except \"Let\" where approved\n") +
                        rule("2", looked_up, "No.") + rule("3", looked_up, "No.") +
                        rule("4", "sealed", "Old words.") + table("10 A"));
    const trial::Compiled after = trial::compiled(
        rule("1", "sealed", "No.", "  except \"Let\" where approved and load at most 5 A\n") +
        rule("3", looked_up, "No.") + rule("4", "sealed", "New words.") + table("12 A"));
    const book::Comparison comparison = book::compare(*before.book, *after.book);
    const std::string text = trial::in_one_line(report::to_text(comparison, nullptr));
    INFO(text);
    CHECK(trial::tells(text, "From trial-1 to trial-1 0 new, 1 gone, 1 changed, 1 changed through "
                             "what they rest on, 0 renumbered, 1 reworded"));
    CHECK(trial::tells(
        text, "1.1 R1 (stricter) Exception: from Let: approved to Let: approved and load at most "
              "5 A (stricter)"));
    CHECK(trial::tells(text, "told in other words 1.4 R4 the message says now: New words."));
    CHECK(trial::tells(text, "requirements that rest on it: 1.2, 1.3"));
    const Json json = Json::parse(report::to_json(comparison, nullptr));
    CHECK(json["rules"].size() == 4);
    CHECK(!json.contains("jobs"));
}
