// Findings: what decided, what was looked at, what is missing, and the status that a host gets.

#include "trial.h"

#include <algorithm>

#include "catch.h"

namespace {

using namespace groundrule;

const std::string rules = R"(rule 310.10 "Ten"
  topic    ten
  stage    design, acceptance
  for      crate
  limit    highest = 50 A
  where    red : colour is red
  shall    load at most highest
  says     "Draws {load}, more than {highest}."
  listed   (1) "Sealed" where sealed
  except   1 "Approved" where approved
           says "Approved by the authority."

rule 310.9 "Nine"
  topic    nine
  stage    acceptance
  for      crate
  should   sealed
  says     "Better sealed."

rule 310.11 "Paths"
  topic    paths
  for      crate
  says     "Neither."
  path     (1) "Small" where width at most 1 ft
  path     (2) "Cool" where heat at most 30 °C

rule 310.12 "Care"
  topic    care
  for      crate
  caution
  where    supply more than 50 V
  says     "Live parts."
)";

const trial::Compiled &compiled() {
    static const trial::Compiled c = trial::compiled(rules);
    return c;
}

report::Finding find(const report::Report &r, const std::string &topic) {
    for (const report::Finding &f : r.findings) {
        if (r.book->rules[f.rule].topic == topic)
            return f;
    }
    FAIL("no finding of " << topic);
    return {};
}

report::Finding finding(const std::string &topic, const std::string &facts) {
    return find(trial::check(compiled(), trial::crate(facts)), topic);
}

std::vector<std::string> facts_of(const report::Finding &f) {
    std::vector<std::string> out;
    for (const report::Missing &m : f.missing)
        out.push_back(m.fact);
    std::sort(out.begin(), out.end());
    return out;
}

const std::string decided = R"("colour":"red","sealed":true,"approved":false,)";

} // namespace

TEST_CASE("a violation cites its listed part, tells its message and the values it rests on") {
    const report::Finding f = finding("ten", decided + R"("load":"51 A")");
    CHECK(f.verdict == Verdict::violates);
    CHECK(f.citation == "310.10(1)");
    CHECK(f.says == "Draws 51 A, more than 50 A.");
    CHECK(f.item == "crates[0]");
    CHECK(f.layer == "trial-1");
    CHECK(f.missing.empty());
    const auto load = std::find_if(f.values.begin(), f.values.end(),
                                   [](const report::Value &v) { return v.name == "crate.load"; });
    REQUIRE(load != f.values.end());
    CHECK(load->value == "51 A");
    CHECK(load->source == "given");
}

TEST_CASE("at the limit a rule complies, one grid step above it is violated") {
    CHECK(finding("ten", decided + R"("load":"50 A")").verdict == Verdict::complies);
    CHECK(finding("ten", decided + R"("load":"50.000001 A")").verdict == Verdict::violates);
}

TEST_CASE("an excused item prints the exception, not a bare not applicable") {
    const report::Finding f =
        finding("ten", R"("colour":"red","sealed":true,"approved":true,"load":"51 A")");
    CHECK(f.verdict == Verdict::not_applicable);
    CHECK(f.decided_by.find("Exception No. 1") != std::string::npos);
    CHECK(f.says == "Approved by the authority.");
}

TEST_CASE("an item out of scope prints the condition by name") {
    const report::Finding f = finding("ten", R"("colour":"blue")");
    CHECK(f.verdict == Verdict::not_applicable);
    CHECK(f.decided_by.find("red") != std::string::npos);
}

TEST_CASE("an open rule names the facts that would settle it, and no others") {
    CHECK(facts_of(finding("ten", R"("colour":"red","sealed":true,"approved":false)")) ==
          std::vector<std::string>{"crate.load"});
    CHECK(facts_of(finding("ten", R"("colour":"red","sealed":true,"load":"51 A")")) ==
          std::vector<std::string>{"crate.approved"});
    const report::Finding f = finding("ten", "");
    CHECK(f.verdict == Verdict::undetermined);
    CHECK_FALSE(f.known_to_apply);
    CHECK(facts_of(f) ==
          std::vector<std::string>{"crate.approved", "crate.colour", "crate.load", "crate.sealed"});
}

TEST_CASE("a missing fact comes with its question, kind and choices") {
    const report::Finding f = finding("ten", R"("sealed":true,"approved":false,"load":"51 A")");
    REQUIRE(f.missing.size() == 1);
    CHECK(f.missing[0].question == "Which colour?");
    CHECK(f.missing[0].kind == "choice");
    REQUIRE(f.missing[0].choices != nullptr);
    CHECK(*f.missing[0].choices == std::vector<std::string>{"red", "green", "blue"});
    CHECK(f.missing[0].item == "crates[0]");
}

TEST_CASE("one path that holds is enough, a failed one alone is no violation") {
    const report::Finding first = finding("paths", R"("width":"1 ft","heat":"40 °C")");
    CHECK(first.verdict == Verdict::complies);
    CHECK(first.citation == "310.11(1)");
    CHECK(finding("paths", R"("width":"2 ft")").verdict == Verdict::undetermined);
    CHECK(finding("paths", R"("width":"2 ft","heat":"40 °C")").verdict == Verdict::violates);
}

TEST_CASE("existing work is not bound unless the rule says so, unknown work leaves it open") {
    const auto verdict = [](const std::string &head) {
        const std::string job = "{" + head + "\"crates\":[{" + decided + R"("load":"51 A"}]})";
        return find(trial::check(compiled(), job), "ten").verdict;
    };
    CHECK(verdict(R"("work":"altered",)") == Verdict::violates);
    CHECK(verdict(R"("work":"existing",)") == Verdict::not_applicable);
    CHECK(verdict(R"("work":"replaced",)") == Verdict::not_applicable);
    CHECK(verdict("") == Verdict::undetermined);
}

TEST_CASE("findings that rest on assumptions say so, others do not") {
    const report::Finding f = finding("ten", decided + R"("assumed":{"load":"40 A"})");
    CHECK(f.verdict == Verdict::complies);
    CHECK(f.assumed == std::vector<std::string>{"crate.load = 40 A"});
    CHECK(finding("ten", decided + R"("assumed":{"load":"40 A"},"load":"45 A")").assumed.empty());
    CHECK(finding("ten", decided + R"("assumed":{"width":"4 ft"},"load":"45 A")").assumed.empty());
}

TEST_CASE("the same assumption about several items is told once") {
    const trial::Compiled c =
        trial::compiled(trial::rule_that("count(p in pieces where p.loose) at least 2"));
    const report::Report r = trial::check(
        c, trial::crate(R"("pieces":[{"assumed":{"loose":true}},{"assumed":{"loose":true}}])"));
    CHECK(r.findings[0].verdict == Verdict::complies);
    CHECK(r.findings[0].assumed == std::vector<std::string>{"piece.loose = yes"});
}

TEST_CASE(
    "a contradiction names the fact, both values and what implies the other, if it has a name") {
    const std::string implied = "  sealed = if colour is red then yes otherwise unknown\n";
    for (const bool named : {true, false}) {
        const trial::Compiled c = trial::compiled(trial::open(
            trial::rule_that("sealed"), {},
            trial::vocabulary + "\nimply crate" + (named ? " \"Paint code\"\n" : "\n") + implied));
        const facts::Job job =
            trial::job_of(*c.book, trial::crate(R"("sealed":false,"colour":"red")"));
        evaluate::Workspace workspace;
        evaluate::run(c.program, job, workspace);
        const Diagnostics told = report::contradictions(*c.book, c.program, job, workspace);
        REQUIRE(trial::codes(told) == "contradiction");
        CHECK(told.list()[0].where == "crates[0]");
        CHECK(told.list()[0].message ==
              std::string(
                  "crate.sealed is given as no, but the other facts of this crate imply yes") +
                  (named ? " (Paint code)" : ""));
    }
}

TEST_CASE("findings stand in the order of citations: 310.9 before 310.10") {
    const report::Report r = trial::check(compiled(), R"({"work":"new","crates":[{},{}]})");
    std::vector<std::string> order;
    for (const report::Finding &f : r.findings)
        order.push_back(r.book->rules[f.rule].citation + " " + f.item);
    CHECK(order == std::vector<std::string>{"310.9 crates[0]", "310.9 crates[1]",
                                            "310.10 crates[0]", "310.10 crates[1]",
                                            "310.11 crates[0]", "310.11 crates[1]",
                                            "310.12 crates[0]", "310.12 crates[1]"});
}

TEST_CASE("a stage selects the rules that can be checked at it") {
    const auto count = [](const std::string &stage) {
        return trial::check(compiled(), trial::crate(""), stage).findings.size();
    };
    CHECK(count("acceptance") == 2);
    CHECK(count("design") == 3);
    CHECK(count("trim_out") == 0);
    CHECK(count("") == 4);
}

TEST_CASE("exit status: 1 for a violation, 3 for an open rule that applies, strict for any open") {
    const auto status = [](const std::string &facts, bool strict) {
        return report::exit_status(trial::check(compiled(), trial::crate(facts)), strict);
    };
    const std::string paths = R"("width":"1 ft",)";
    CHECK(status(paths + decided + R"("load":"50 A")", true) == 0);
    CHECK(status(paths + decided + R"("load":"51 A")", false) == 1);
    CHECK(status(paths + decided + R"("supply":"60 V")", false) == 3);
    CHECK(status(paths + R"("colour":"red","approved":false)", false) == 0);
    CHECK(status(paths + R"("colour":"red","approved":false)", true) == 3);
    // A violation outweighs what is open; advice and cautions count for nothing.
    CHECK(status(decided + R"("load":"51 A")", true) == 1);
    CHECK(status(paths + R"("colour":"blue","sealed":false,"supply":"60 V")", true) == 0);
}
