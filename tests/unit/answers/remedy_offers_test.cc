// What a change takes with it, what is tried together, and how remedies and choices are told.

#include "answers/books.h"
#include "answers/remedy.h"
#include "report/in_one_line.h"

#include <nlohmann/json.hpp>

#include "catch.h"

namespace {

using namespace groundrule;
using Json = nlohmann::json;

struct Tried {
    trial::Ready ready;
    facts::Job job;
    answers::Remedies found;

    // open: fields of the first crate that are to be sized.
    Tried(const std::string &rules, const std::string &words, const std::string &json,
          answers::RemedyOptions options = {}, const std::vector<std::string> &open = {})
        : ready(trial::compiled(trial::open(rules, {}, trial::vocabulary + "\n" + words))),
          job(trial::job_of(*ready.compiled.book, json)) {
        const std::int32_t crate = book::find_item(*ready.compiled.book, "crate");
        const book::Item &item = ready.compiled.book->items[static_cast<std::size_t>(crate)];
        for (const std::string &field : open)
            options.open.push_back({crate, 0, book::find_field(item, field)});
        found = answers::remedies(ready.subject(job), options);
    }

    std::string text() const {
        return trial::in_one_line(answers::remedies_text(ready.subject(job), found));
    }
    Json json() const { return Json::parse(answers::remedies_json(ready.subject(job), found)); }

    // Of each change that is offered all that it sets: "crates[0]: load = 5 A, wire taken back".
    std::vector<std::string> offered() const {
        std::vector<std::string> out;
        for (const answers::Change &c : found.offered) {
            std::string line;
            for (const answers::Setting &s : c.settings) {
                const book::Field &field = answers::field_of(*ready.compiled.book, s.at);
                line += (line.empty() ? "" : "; ") +
                        report::path_of(job, s.at.item, static_cast<std::size_t>(s.at.row)) + " " +
                        field.name +
                        (s.value.known()
                             ? " = " + value_text(*ready.compiled.book, field.type, s.value.value)
                             : " taken back");
            }
            out.push_back(line);
        }
        return out;
    }
};

using Lines = std::vector<std::string>;

const std::string any_rule = trial::rule_that("load at most 100 A");

std::string job_with(const std::string &crates) {
    return R"({"work":"new","crates":[)" + crates + "]}";
}

// "1.1", with the requirement and where it applies.
std::string rule(const char *number, const std::string &lines) {
    return std::string("rule ") + number + " \"R" + number + "\"\n  topic topic_" + (number + 2) +
           "\n  for crate\n  " + lines + "\n  says \"No.\"\n\n";
}

} // namespace

TEST_CASE("a change carries what says the same below the same item, and nothing else") {
    const Tried tried(any_rule,
                      "remedy crate \"Load\"\n  load = 5 A\n  carries piece.draw with load\n",
                      job_with(R"({"load":"10 A","pieces":[{"draw":"10 A"},{"draw":"7 A"},{}]},)"
                               R"({"load":"20 A","pieces":[{"draw":"10 A"}]})"));
    CHECK(tried.offered() ==
          Lines{"crates[0] load = 5 A; crates[0].pieces[0] draw = 5 A", "crates[1] load = 5 A"});
}

TEST_CASE("what nobody tells is carried only where it is to be chosen") {
    const std::string words = "remedy crate \"Load\"\n  load = 5 A\n  rating = 8 A\n"
                              "  carries piece.draw with rating\n";
    const std::string pieces = R"("pieces":[{},{"draw":"7 A"}])";
    CHECK(Tried(any_rule, words, job_with(R"({"load":"10 A",)" + pieces + "}")).offered() ==
          Lines{"crates[0] load = 5 A; crates[0] rating = 8 A"});
    CHECK(Tried(any_rule, words, job_with("{" + pieces + "}"), {}, {"load"}).offered() ==
          Lines{"crates[0] load = 5 A; crates[0] rating = 8 A; crates[0].pieces[0] draw = 8 A"});
}

TEST_CASE("a bound says the same as nothing") {
    const std::string words = "imply crate \"Sum\"\n  rating = sum(p in pieces : p.draw)\n\n"
                              "remedy crate \"Load\"\n  load = 5 A\n"
                              "  carries piece.draw with rating\n";
    CHECK(Tried(any_rule, words, job_with(R"({"load":"10 A","pieces":[{"draw":"7 A"}]})"))
              .offered() == Lines{"crates[0] load = 5 A"});
}

TEST_CASE("what a change takes back it may keep as it was implied, what is told or open stays so") {
    const std::string words =
        "imply crate \"Green\"\n  wire = if colour is green then 6 AWG otherwise unknown\n\n"
        "remedy crate \"Colour\"\n  colour = blue\n  without wire\n  keeps wire, rating, load\n";
    CHECK(Tried(any_rule, words, job_with(R"({"colour":"green","rating":"9 A"})")).offered() ==
          Lines{"crates[0] colour = blue; crates[0] wire = 6 AWG"});
    CHECK(Tried(any_rule, words, job_with(R"({"colour":"green","wire":"6 AWG"})")).offered() ==
          Lines{"crates[0] colour = blue; crates[0] wire taken back"});
}

TEST_CASE("changes that contradict each other are no remedy together") {
    const std::string words =
        "imply crate \"Both\"\n"
        "  wire = if colour is green and sealed then 6 AWG otherwise unknown\n\n"
        "remedy crate \"Green\"\n  colour = green\n\nremedy crate \"Seal\"\n  sealed = yes\n";
    const std::string rules = trial::rule_that("colour is green and sealed");
    const std::string facts = R"("colour":"red","sealed":false)";
    const Tried apart(rules, words, trial::crate(facts + R"(,"wire":"10 AWG")"));
    CHECK(apart.found.offered.size() == 2);
    CHECK(apart.found.remedies.empty());
    CHECK(apart.found.exhausted);
    CHECK(trial::tells(apart.text(), "No remedy among the changes that the book offers."));
    const Tried fine(rules, words, trial::crate(facts + R"(,"wire":"6 AWG")"));
    CHECK(fine.found.remedies.size() == 1);
}

TEST_CASE("what a remedy carries stands below it, an item a line, and what it opens with its "
          "questions") {
    const std::string words = "remedy crate \"Load\"\n  load = 5 A\n  colour = green\n"
                              "  carries piece.draw with load\n";
    const std::string rules = rule("1.1", "shall load at most 5 A") +
                              rule("1.2", "where colour is green\n  shall approved") +
                              rule("1.3", "where colour is green\n  shall sealed");
    const std::string facts =
        R"("id":"C","load":"10 A","colour":"red","pieces":[{"draw":"10 A"},{"draw":"10 A"}])";
    const Tried two(rules, words, trial::crate(facts));
    CHECK(trial::tells(two.text(), "Remedy 1, cost 1.01, with 2 findings to be found out"));
    CHECK(trial::tells(two.text(), "Load: crate.load 5 A, now 10 A, at C (crates[0]) "
                                   "with it, at C (crates[0]): colour green "
                                   "with it, at crates[0].pieces[0]: draw 5 A "
                                   "with it, at crates[0].pieces[1]: draw 5 A "
                                   "then to be found out: 1.2 R1.2, C (crates[0]) "
                                   "? Has the authority approved it?"));
    const Tried one(rules, words, trial::crate(facts + R"(,"sealed":true)"));
    CHECK(trial::tells(one.text(), "with 1 finding to be found out"));
    const Json remedy = one.json()["remedies"][0];
    CHECK(remedy["opens"][0]["missing"][0]["fact"] == "crate.approved");
    CHECK(remedy["changes"][0]["before"] == "10 A");
    CHECK(remedy["changes"][0]["with"].size() == 3);
}

TEST_CASE("the cheapest remedies are told, and how many dearer ones there are") {
    const std::string words = "remedy crate \"Load\"\n  load = 5 A\n\n"
                              "remedy crate \"Seal\"\n  sealed = yes\n\n"
                              "remedy crate \"Red\"\n  colour = blue, red\n";
    const std::string rules = trial::rule_that("load at most 5 A or sealed or colour is red");
    const std::string job = trial::crate(R"("load":"10 A","sealed":false,"colour":"green")");
    answers::RemedyOptions options;
    options.most_told = 2;
    const Tried tried(rules, words, job, options);
    CHECK(tried.found.found == 3);
    CHECK(tried.json()["remedies"].size() == 2);
    CHECK(trial::tells(tried.text(), "and 1 dearer ones"));
    CHECK(!trial::tells(Tried(rules, words, job).text(), "dearer"));
}

TEST_CASE(
    "a search for remedies or choices ends at its bound and says so, or where it is told to") {
    const std::string words = "remedy crate \"Load\"\n  load = 5 A, 4 A, 3 A, 2 A\n";
    const std::string rules = trial::rule_that("load at most 2 A and load at least 2 A");
    for (const bool sizing : {false, true}) {
        const std::string job = trial::crate(sizing ? "" : R"("load":"10 A")");
        const Lines open = sizing ? Lines{"load"} : Lines{};
        answers::RemedyOptions options;
        options.most_tries = 3;
        const Tried bounded(rules, words, job, options, open);
        CHECK(!bounded.found.exhausted);
        CHECK(bounded.found.remedies.empty());
        CHECK(
            trial::tells(bounded.text(), "; the search ended at its bound, so there may be more."));
        std::size_t asked = 0;
        options.most_tries = 100;
        options.go_on = [&](std::uint64_t, std::uint64_t of) {
            CHECK(of == 100);
            return ++asked < 3;
        };
        const Tried ended(rules, words, job, options, open);
        CHECK(ended.found.ended);
        CHECK(asked == 3);
        CHECK(Tried(rules, words, job, {}, open).found.remedies.size() == 1);
    }
}

TEST_CASE("sizing: nothing is chosen while a rule that applies and asks for it is open") {
    const std::string words = "remedy crate \"Load\"\n  load = 5 A, 10 A\n";
    const Tried blocked(trial::rule_that("load at most 10 A and sealed"), words, trial::crate(""),
                        {}, {"load"});
    CHECK(blocked.found.remedies.empty());
    CHECK(blocked.found.blocking.size() == 1);
    CHECK(trial::tells(blocked.text(),
                       "Nothing can be chosen while these apply and stay open: 1.1 A probe, "
                       "crates[0]"));
    CHECK(blocked.json()["blocking"][0]["rule"] == "probe");
    // What may not apply does not stand in the way, nor does what asks for something else.
    const Tried chosen(
        rule("1.1", "where sealed\n  shall load at most 5 A and width at most 1 in") +
            rule("1.2", "shall approved"),
        words, trial::crate(""), {}, {"load"});
    CHECK(chosen.found.blocking.empty());
    CHECK(trial::tells(chosen.text(), "Choice 1, cost"));
    CHECK(trial::tells(chosen.text(), "Load: crate.load 5 A, now not told, at crates[0]"));
    CHECK(chosen.json()["remedies"][0]["changes"][0]["before"].is_null());
    CHECK(!chosen.json().contains("blocking"));
    const Tried none(trial::rule_that("load at most 2 A"), words, trial::crate(""), {}, {"load"});
    CHECK(none.found.remedies.empty());
    CHECK(trial::tells(none.text(), "None of the values that the book offers complies."));
    CHECK(!trial::tells(none.text(), "Nothing is violated"));
}

TEST_CASE("sizing: values that touch the same fact, or contradict what is told, are not chosen") {
    const std::string words =
        "imply crate \"Both\"\n"
        "  supply = if rating = 10 A and load = 5 A then 120 V otherwise unknown\n\n"
        "remedy crate \"Load\"\n  load = 5 A, 10 A\n\n"
        "remedy crate \"Both\"\n  load = 3 A\n  rating = 20 A\n\n"
        "remedy crate \"Rating\"\n  rating = 10 A, 15 A\n";
    const Tried tried(trial::rule_that("load at most rating and rating at most 15 A"), words,
                      trial::crate(R"("supply":"240 V")"), {}, {"load", "rating"});
    REQUIRE(tried.found.remedies.size() == 2);
    for (const char *choice : {"Load: crate.load 5 A, now not told, at crates[0] "
                               "Rating: crate.rating 15 A, now not told, at crates[0]",
                               "Load: crate.load 10 A, now not told, at crates[0] "
                               "Rating: crate.rating 10 A, now not told, at crates[0]"})
        CHECK(trial::tells(tried.text(), choice));
}

TEST_CASE("sizing: what violates whatever is chosen is told, and that no value does") {
    const Tried tried(rule("1.1", "shall sealed") + rule("1.2", "shall load at most 10 A"),
                      "remedy crate \"Load\"\n  load = 5 A, 10 A\n",
                      trial::crate(R"("sealed":false)"), {}, {"load"});
    CHECK(trial::tells(tried.text(),
                       "Violated: 1.1 R1.1, crates[0] None of the values that the book "
                       "offers complies."));
    CHECK(!trial::tells(tried.text(), "No remedy"));
}

TEST_CASE("remedies are those of a stage, which is told") {
    const trial::Ready ready(trial::compiled(
        trial::open(rule("1.1", "stage design\n  shall sealed") +
                        rule("1.2", "stage rough_in\n  shall approved"),
                    {}, trial::vocabulary + "\nremedy crate \"Seal\"\n  sealed = yes\n")));
    const facts::Job job =
        trial::job_of(*ready.compiled.book, trial::crate(R"("sealed":false,"approved":false)"));
    answers::Subject subject = ready.subject(job);
    subject.stage = "design";
    const answers::Remedies found = answers::remedies(subject, {});
    CHECK(found.remedies.size() == 1);
    CHECK(trial::tells(trial::in_one_line(answers::remedies_text(subject, found)),
                       "Book trial-1, stage design Violated: 1.1 R1.1, crates[0]"));
    CHECK(Json::parse(answers::remedies_json(subject, found))["stage"] == "design");
    subject.stage = "trim_out";
    CHECK(answers::remedies_text(subject, answers::remedies(subject, {}))
              .find("nothing needs a remedy") != std::string::npos);
}
