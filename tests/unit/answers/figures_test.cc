// Operations as one would write them on paper, and where each value of them is from.

#include "answers/books.h"
#include "answers/explain.h"
#include "answers/story.h"
#include "report/in_one_line.h"

#include "catch.h"

namespace {

using namespace groundrule;

struct Explained {
    trial::Compiled c;
    answers::Explanation e;
};

// Of the first rule on the only crate. That the explanation gives the verdict again goes without
// saying.
std::unique_ptr<Explained> explained(const std::string &rules, const std::string &facts,
                                     const std::string &words = trial::vocabulary) {
    auto out = std::make_unique<Explained>();
    out->c = trial::compiled(trial::open(rules, {}, words));
    const facts::Job job = trial::job_of(*out->c.book, trial::crate(facts));
    evaluate::Workspace cells;
    evaluate::run(out->c.program, job, cells);
    REQUIRE(cells.contradictions.empty());
    out->e = answers::explain(*out->c.book, out->c.program, job, cells, 0, 0);
    CHECK(answers::recomputed_verdict(out->e) == out->e.finding.verdict);
    return out;
}

std::string requirement(const std::string &condition, const std::string &facts) {
    const auto x = explained(trial::rule_that(condition) + generated::figures, facts);
    return answers::figures(x->e, x->e.requirement.front().step);
}

// "crate.sealed = yes: implied by A", and how it came about.
std::vector<std::string> values(const Explained &x) {
    std::vector<std::string> out;
    for (const answers::StoryValue &v : answers::story(x.e).values)
        out.push_back(v.step->name + " = " + v.value + ": " + v.from +
                      (v.figures.empty() ? "" : "; " + v.figures));
    return out;
}

bool has(const std::vector<std::string> &all, const std::string &one) {
    for (const std::string &v : all)
        UNSCOPED_INFO(v);
    return std::find(all.begin(), all.end(), one) != all.end();
}

const std::string known = R"("load":"8 A","rating":"4 A","share":0.5,"sealed":true,)"
                          R"("approved":false,"colour":"red")";

} // namespace

TEST_CASE("figures: operations stand as on paper, with brackets where they could be misread") {
    const std::pair<const char *, const char *> examples[] = {
        {"load + rating at most 20 A", "8 A + 4 A at most 20 A"},
        {"load - (rating - 1 A) at most 20 A", "8 A − (4 A − 1 A) at most 20 A"},
        {"load - rating - 1 A at most 20 A", "8 A − 4 A − 1 A at most 20 A"},
        {"rating + load * 2 at most 20 A", "4 A + 8 A × 2 at most 20 A"},
        {"(load + rating) * 2 at most 20 A", "(8 A + 4 A) × 2 at most 20 A"},
        {"load / 2 * share at most 20 A", "8 A ÷ 2 × 0.5 at most 20 A"},
        {"load * (share * 2) at most 20 A", "8 A × (0.5 × 2) at most 20 A"},
        {"round_down(load to 5 A) = 5 A", "8 A rounded down to 5 A = 5 A"},
        {"round_up(load + rating to 5 A) = 15 A", "(8 A + 4 A) rounded up to 5 A = 15 A"},
        {"round_nearest(load to 5 A) = 10 A", "8 A rounded to 5 A = 10 A"},
        {"smaller_of(load, rating, 30 A) = 4 A", "the smaller of 8 A, 4 A and 30 A = 4 A"},
        {"larger_of(load, rating) + 1 A = 9 A", "(the larger of 8 A and 4 A) + 1 A = 9 A"},
        {"larger_of(load, rating) * 2 = 16 A", "(the larger of 8 A and 4 A) × 2 = 16 A"},
        {"larger_of(smaller_of(load, rating), 5 A) = 5 A",
         "the larger of (the smaller of 8 A and 4 A) and 5 A = 5 A"},
        {"larger_of(load + rating, 5 A) = 12 A", "the larger of 8 A + 4 A and 5 A = 12 A"},
        {"(if sealed then load + rating otherwise load) * 2 = 24 A", "(8 A + 4 A) × 2 = 24 A"},
        {"(if approved then load otherwise rating) = 4 A", "4 A = 4 A"},
        {"sealed and (approved or load at most 5 A)",
         "crate.sealed: yes and (crate.approved: no or 8 A at most 5 A)"},
        {"sealed and not (approved or load at most 5 A)",
         "crate.sealed: yes and not (crate.approved: no or 8 A at most 5 A)"},
        {"colour is one of (red, blue)", "crate.colour: red"},
        {"(if sealed then colour otherwise colour) is red", "red"}};
    for (const auto &[condition, figures] : examples) {
        INFO(condition);
        CHECK(requirement(condition, known) == figures);
    }
}

TEST_CASE("figures: a branch that nobody knows is told so, and one that makes no difference too") {
    CHECK(requirement("(if sealed then load otherwise rating) at most 9 A",
                      R"("load":"8 A","rating":"4 A")") ==
          "(open, since it is not known whether crate.sealed: unknown) at most 9 A");
    CHECK(requirement("if sealed then load at most 9 A otherwise approved",
                      R"("load":"8 A","approved":true)") ==
          "the same either way, with crate.sealed: unknown");
    CHECK(requirement("if sealed then load at most 9 A otherwise approved", R"("load":"8 A")") ==
          "open, since it is not known whether crate.sealed: unknown");
}

TEST_CASE("figures: what is counted, sought and looked up") {
    const std::string pieces = R"("pieces":[{"draw":"3 A","loose":true},{"draw":"4 A"},)"
                               R"({"draw":"5 A","loose":false}])";
    CHECK(requirement("any(p in pieces where p.loose)", pieces) == "2 counted; there may be more");
    CHECK(requirement("all(p in pieces where p.loose : p.draw at most 4 A)", pieces) ==
          "yes, yes (perhaps); there may be more");
    const std::pair<const char *, const char *> examples[] = {
        {"smallest(s in list \"steps\") = 5 A", "steps = 5 A: Steps; smallest in steps = 5 A"},
        {"largest(s in list \"steps\") = 20 A", "steps = 20 A: Steps; largest in steps = 20 A"},
        {"smallest(s in list \"steps\" where s at least load) = 10 A",
         "steps = 10 A: Steps; next in steps from 8 A = 10 A"},
        {"largest(s in list \"steps\" where s less than load) = 5 A",
         "steps = 5 A: Steps; largest in steps that does = 5 A"},
        {"table 310.16 [rating] = 10 A",
         "Table 310.16 = 10 A: row a up to 5 A; T; Table 310.16 [4 A] = 10 A"},
        {"complete(pieces)", "crate.pieces = yes: said to be complete"}};
    for (const auto &[condition, told] : examples) {
        INFO(condition);
        const auto x = explained(trial::rule_that(condition) + generated::figures,
                                 known + R"(,"pieces":[],"complete":["pieces"])");
        CHECK(has(values(*x), told));
    }
    CHECK(has(values(*explained(trial::rule_that("complete(pieces)"), known)),
              "crate.pieces = unknown: not said to be complete"));
}

TEST_CASE("figures: a row that stands for ranges of several keys names each of them") {
    const auto x = explained(trial::rule_that("table \"T\" [load, supply] at least 1 A") +
                                 "table \"T\" \"Derated\"\n  gives current\n"
                                 "  by a : current at most, v : voltage at least\n"
                                 "  10 A | 100 V | 7 A\n  10 A | 200 V | 6 A\n  20 A | 100 V | 5 "
                                 "A\n  20 A | 200 V | 4 A\n",
                             R"("load":"8 A","supply":"120 V")");
    CHECK(has(values(*x),
              "T = 7 A: row a up to 10 A, row v from 100 V; Derated; T [8 A, 120 V] = 7 A"));
}

TEST_CASE("values: what implies a fact is named, also where it has no name or where several do") {
    const std::string words = trial::vocabulary +
                              "\nimply crate \"A\"\n  sealed = either(approved, unknown)\n"
                              "  load = if approved then 5 A otherwise unknown\n"
                              "\nimply crate \"B\"\n  sealed = if colour is red then yes otherwise "
                              "unknown\n"
                              "\nimply crate\n  rating = if approved then 6 A otherwise unknown\n";
    const std::string rules = trial::rule_that("sealed and load at most rating") +
                              "define either(a : yes_no, b : yes_no) : yes_no\n  = a or b\n";
    const auto told = values(*explained(rules, R"("approved":true,"colour":"red")", words));
    CHECK(has(told, "crate.sealed = yes: implied by A; B; either = yes"));
    CHECK(has(told, "either = yes: derived; crate.approved: yes or unknown = yes"));
    CHECK(has(told, "crate.load = 5 A: implied by A; 5 A = 5 A"));
    CHECK(has(told, "crate.rating = 6 A: implied by the other facts; 6 A = 6 A"));
}

TEST_CASE(
    "values: of a fact that sources bound from both sides the lower bound alone is passed on") {
    const std::string words = trial::vocabulary +
                              "\nimply crate \"Sum\"\n  rating = sum(p in pieces : p.draw)\n"
                              "\nimply crate \"Least\"\n  rating = min(p in pieces : p.draw)\n";
    const std::string job = R"("pieces":[{"draw":"5 A"}])";
    const auto least = explained(trial::rule_that("rating at least 4 A"), job, words);
    CHECK(least->e.finding.verdict == Verdict::complies);
    CHECK(has(values(*least), "crate.rating = at least 5 A: implied by Sum; Least; "
                              "5 A; there may be more = at least 5 A"));
    CHECK(explained(trial::rule_that("rating at most 6 A"), job, words)->e.finding.verdict ==
          Verdict::undetermined);
    const std::string sum = words.substr(0, words.find("\nimply crate \"Least\""));
    CHECK(
        has(values(*explained(trial::rule_that("rating at least 4 A"), job, sum)),
            "crate.rating = at least 5 A: implied by Sum; 5 A; there may be more = at least 5 A"));
}

TEST_CASE(
    "explanations: what is assumed is told in every form, and what a page can't hold is quoted") {
    const std::string rules = "rule 1.1 \"Less <than> 'this' & \\ that\"\n  topic probe\n"
                              "  for crate\n  shall load at most 10 A\n  says \"No.\"\n\n";
    const auto x = explained(rules, R"("id":"<b>&\"one\"","assumed":{"load":"9 A"})");
    CHECK(has(values(*x), "crate.load = 9 A: assumed"));
    const std::string text = answers::explained_text({x->e});
    CAPTURE(text);
    CHECK(text.find("rests on the assumption crate.load = 9 A") != std::string::npos);
    const std::string page = answers::explained_html(*x->c.book, {x->e});
    CAPTURE(page);
    CHECK(page.find("<p>Rests on the assumption crate.load = 9 A</p>") != std::string::npos);
    CHECK(page.find("Less &lt;than&gt; 'this' &amp; \\ that") != std::string::npos);
    CHECK(page.find("&lt;b&gt;&amp;&quot;one&quot; (crates[0])") != std::string::npos);
    CHECK(page.find("<b>") == std::string::npos);
}

TEST_CASE(
    "explanations: a rule that asks whether another applies, which binds every kind of work") {
    const std::string rules = trial::rule_that("applies(other)") +
                              "rule 1.2 \"Other\"\n  topic other\n  for crate\n"
                              "  binds new, altered, replaced, existing\n  where sealed\n"
                              "  shall approved\n  says \"No.\"\n\n";
    const auto x = explained(rules, R"("sealed":true)");
    CHECK(x->e.finding.verdict == Verdict::complies);
    CHECK(has(values(*x), "1.2 applies = yes: Other"));
}
