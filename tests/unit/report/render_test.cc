// Reports as JSON, SARIF and text.

#include "report/render.h"

#include "book/digest.h"
#include "report/in_one_line.h"
#include "trial.h"

#include <nlohmann/json.hpp>

#include <map>

#include "catch.h"

namespace {

using namespace groundrule;
using Json = nlohmann::json;

const std::string rules = R"(rule 1.1 "Sealed"
  topic    shut
  for      crate
  shall    sealed
  says     "Not sealed."
  except   2 not encoded "A rare case" where colour is blue

rule 1.2 "Approved"
  topic    allowed
  for      crate
  shall    approved
  says     "Not approved."

rule 1.3 "Advice"
  topic    advised
  for      crate
  should   load at most 10 A
  says     "Draws {load}."

rule 1.4 "Red only"
  topic    red_only
  for      crate
  where    colour is red
  shall    sealed
  says     "Red and not sealed."

rule 1.5 "Care"
  topic    care
  for      crate
  caution
  where    supply more than 50 V
  says     "Live parts."

gap 2.2 "The rest"
)";

const trial::Compiled &compiled() {
    static const trial::Compiled c = trial::compiled(rules);
    return c;
}

report::Report check(const std::string &facts) {
    return trial::check(compiled(), trial::crate(facts));
}

Json json(const std::string &facts) {
    return Json::parse(report::to_json(check(facts)));
}

// SARIF kinds by rule.
std::map<std::string, std::string> kinds(const std::string &facts) {
    const Json sarif = Json::parse(report::to_sarif(check(facts)));
    std::map<std::string, std::string> out;
    for (const Json &result : sarif["runs"][0]["results"])
        out[result["ruleId"]] = result["kind"];
    return out;
}

bool in_order(const std::string &text, const std::vector<std::string> &parts) {
    std::size_t at = 0;
    for (const std::string &part : parts) {
        at = text.find(part, at);
        if (at == std::string::npos)
            return false;
        at += part.size();
    }
    return true;
}

} // namespace

TEST_CASE("JSON: the book with its digest and layers, findings, and what is not encoded") {
    const Json out = json(R"("id":"box 7","sealed":false,"colour":"green")");
    CHECK(out["book"]["name"] == "trial-1");
    CHECK(out["book"]["digest"] == book::digest_of(*compiled().book));
    CHECK(out["book"]["layers"][0]["name"] == "trial-1");
    REQUIRE(out["findings"].size() == 5);
    const Json &f = out["findings"][0];
    CHECK(f["citation"] == "1.1");
    CHECK(f["verdict"] == "violates");
    CHECK(f["item"] == "crates[0]");
    CHECK(f["item_id"] == "box 7");
    CHECK(f["rule"] == "shut");
    CHECK(f["layer"] == "trial-1");
    CHECK(f["force"] == "shall");
    CHECK(f["stages"] == Json::array({"design"}));
    CHECK(f["says"] == "Not sealed.");
    CHECK(f["missing"] == Json::array());
    CHECK(f["assumed"] == Json::array());
    CHECK(f["decided_by"].is_string());
    bool told = false;
    for (const Json &v : f["values"])
        told =
            told || (v["name"] == "crate.sealed" && v["value"] == "no" && v["source"] == "given");
    CHECK(told);
    const Json &open = out["findings"][1];
    CHECK(open["verdict"] == "undetermined");
    CHECK(open["missing"][0]["fact"] == "crate.approved");
    CHECK(open["missing"][0]["kind"] == "authority");
    std::vector<std::string> gaps;
    for (const Json &gap : out["not_encoded"])
        gaps.push_back(gap["citation"]);
    CHECK(gaps == std::vector<std::string>{"2.2", "1.1 Exception No. 2"});
    CHECK(out["cautions"].size() >= 1);
}

TEST_CASE("JSON: an exception that is not written out leaves a failed rule open, never violated") {
    const Json out = json(R"("sealed":false,"colour":"blue")");
    CHECK(out["findings"][0]["verdict"] == "undetermined");
    CHECK(out["findings"][0]["missing"][0]["kind"] == "not_encoded");
    CHECK(json(R"("sealed":true,"colour":"blue")")["findings"][0]["verdict"] == "complies");
}

TEST_CASE("JSON: the same book and job give the same bytes") {
    const std::string facts = R"("sealed":false,"load":"30 A")";
    CHECK(report::to_json(check(facts)) == report::to_json(check(facts)));
    CHECK(report::to_sarif(check(facts)) == report::to_sarif(check(facts)));
}

TEST_CASE("SARIF: complies pass, violates fail, not applicable, open, review, informational") {
    const auto violated = kinds(R"("sealed":false,"colour":"green","load":"11 A","supply":"60 V")");
    CHECK(violated.at("shut") == "fail");
    CHECK(violated.at("allowed") == "review");
    CHECK(violated.at("advised") == "informational");
    CHECK(violated.at("red_only") == "notApplicable");
    CHECK(violated.at("care") == "informational");
    const auto met = kinds(R"("sealed":true,"approved":true,"load":"10 A")");
    CHECK(met.at("shut") == "pass");
    CHECK(met.at("allowed") == "pass");
    CHECK(met.at("advised") == "pass");
    const auto open = kinds("");
    CHECK(open.at("shut") == "open");
    CHECK(open.at("red_only") == "open");
    CHECK(open.at("advised") == "informational");
}

TEST_CASE("SARIF: version, rules and results refer to each other") {
    const Json sarif = Json::parse(report::to_sarif(check(R"("sealed":false)")));
    CHECK(sarif["version"] == "2.1.0");
    const Json &run = sarif["runs"][0];
    for (const Json &result : run["results"]) {
        const Json &rule = run["tool"]["driver"]["rules"][result["ruleIndex"].get<std::size_t>()];
        CHECK(rule["id"] == result["ruleId"]);
        CHECK(result["level"] == (result["kind"] == "fail" ? "error" : "none"));
        CHECK_FALSE(result["message"]["text"].get<std::string>().empty());
    }
}

TEST_CASE("text: violations first, then open questions, what complies, advice, what may apply") {
    const std::string text = report::to_text(
        check(R"("sealed":false,"colour":"green","load":"11 A","supply":"60 V")"), {});
    INFO(text);
    CHECK(in_order(text, {"Book trial-1", "Violated: 1", "1.1", "Not sealed.", "Open: 1",
                          "Has the authority approved it?", "Told, not counted: 2", "Draws 11 A.",
                          "Live parts.", "Not applicable: 1", "Not encoded", "2.2"}));
    CHECK(text.find('\x1b') == std::string::npos);
}

TEST_CASE("text: all lists what does not apply, colour only on request") {
    const report::Report r = check(R"("sealed":true,"approved":true,"colour":"green")");
    const std::string brief = report::to_text(r, {});
    CHECK(brief.find("Nothing is violated.") != std::string::npos);
    CHECK(brief.find("Complies: 2") != std::string::npos);
    CHECK(brief.find("Red only") == std::string::npos);
    report::TextOptions all;
    all.all = true;
    CHECK(report::to_text(r, all).find("Red only") != std::string::npos);
    report::TextOptions colour;
    colour.colour = true;
    CHECK(report::to_text(r, colour).find('\x1b') != std::string::npos);
}

TEST_CASE("every report says that the local code and the authority decide") {
    const report::Report r = check("");
    for (const std::string &text :
         {report::to_text(r, {}), report::to_json(r), report::to_sarif(r)}) {
        std::string line = text;
        for (char &c : line)
            c = c == '\n' ? ' ' : c;
        CHECK(line.find("authority having jurisdiction") != std::string::npos);
    }
}

TEST_CASE("a book tells its facts as a JSON Schema, and itself as JSON") {
    const Json schema = Json::parse(report::job_schema(*compiled().book));
    const Json &crate = schema["$defs"]["crate"];
    CHECK(crate["additionalProperties"] == false);
    CHECK(crate["properties"]["pieces"]["items"]["$ref"] == "#/$defs/piece");
    CHECK(crate["properties"]["colour"]["enum"] == Json::array({"red", "green", "blue", nullptr}));
    CHECK(crate["properties"]["complete"]["items"]["enum"] == Json::array({"pieces"}));
    const Json book = Json::parse(report::describe(*compiled().book, {}));
    CHECK(book["rules"].size() == 5);
    CHECK(book["rules"][0]["citation"] == "1.1");
}

TEST_CASE(
    "text: what rests on assumptions, what else would tell a fact, and readings that are taken") {
    const trial::Compiled c = trial::compiled(trial::open(
        "rule 1.1 \"One\"\n  topic first\n  for crate\n  shall load + rating at most 10 A\n"
        "  reading strict = yes \"Each piece counts\"\n  says \"No.\"\n\n"
        "rule 1.2 \"Two\"\n  topic two\n  for crate\n  shall sealed\n  says \"No.\"\n\n"
        "rule 1.3 \"Three\"\n  topic three\n  for crate\n  shall not applies(two)\n"
        "  says \"No.\"\n",
        {},
        trial::vocabulary + "\nimply crate \"A\"\n  sealed = if colour is red and made at least "
                            "2020-01-01 then yes otherwise unknown\n"));
    const auto text = [&](const std::string &facts, bool all = false) {
        report::TextOptions options;
        options.all = all;
        return trial::in_one_line(report::to_text(trial::check(c, trial::crate(facts)), options));
    };
    CHECK(trial::tells(text(R"("assumed":{"load":"20 A","rating":"1 A"})"),
                       "crate.load = 20 A; crate.rating = 1 A "
                       "rests on assumptions: crate.load = 20 A; crate.rating = 1 A "
                       "reading taken: Each piece counts text of trial-1"));
    CHECK(trial::tells(text(R"("assumed":{"load":"2 A","rating":"1 A"})"),
                       "1.1 One, crates[0] (rests on assumptions)"));
    CHECK(trial::tells(text(""), "? Is it sealed? crate.sealed at crates[0]; or told by "
                                 "crate.colour, crate.made; for 1.2"));
    // Of what other rules do there is no value to tell; and this book has no advice and no gaps.
    CHECK(trial::tells(text(R"("sealed":true)"), "1.3 Three at crates[0] No. text of trial-1"));
    CHECK(!trial::tells(text(R"("sealed":true)"), "Told, not counted"));
    CHECK(!trial::tells(text(R"("sealed":true)", true), "Not encoded"));
}

TEST_CASE("text: a question that a clause asks of several items names it once") {
    const trial::Compiled c = trial::compiled(
        "rule 1.1 \"One\"\n  topic first\n  for piece\n  shall crate.sealed\n  says \"No.\"\n");
    const std::string text = trial::in_one_line(
        report::to_text(trial::check(c, trial::crate(R"("pieces":[{},{}])")), {}));
    CHECK(trial::tells(text, "Open: 2 rules apply"));
    CHECK(trial::tells(text, "crate.sealed at crates[0]; for 1.1 "));
}

TEST_CASE("a stage is told, and one without rules has no findings") {
    const report::Report r = trial::check(compiled(), trial::crate(""), "trim_out");
    CHECK(report::to_text(r, {}).find("Book trial-1, stage trim_out, digest ") == 0);
    const Json out = Json::parse(report::to_json(r));
    CHECK(out["stage"] == "trim_out");
    CHECK(out["findings"] == Json::array());
    CHECK(out["cautions"].size() == 2);
}

TEST_CASE(
    "SARIF: a rule without a title goes by its number, open without a fact to ask for is open") {
    const trial::Compiled c = trial::compiled(
        "rule 1.1\n  topic first\n  for crate\n  shall round_up(load to rating) at least 5 A\n"
        "  says \"No.\"\n");
    const Json run = Json::parse(report::to_sarif(
        trial::check(c, trial::crate(R"("load":"7 A","rating":"0 A")"))))["runs"][0];
    CHECK(run["tool"]["driver"]["rules"][0]["shortDescription"]["text"] == "1.1");
    CHECK(run["results"][0]["kind"] == "open");
}

TEST_CASE("JSON: a layer tells from when until when it is in force") {
    const trial::Compiled c =
        trial::compiled(trial::rule_that("sealed"),
                        {"  effective 2020-01-01\n  until 2030-01-01\n\ndelete rule 1.1\n"});
    const Json layers = Json::parse(report::describe(*c.book, {}))["book"]["layers"];
    CHECK(!layers[0].contains("until"));
    CHECK(layers[1]["effective"] == "2020-01-01");
    CHECK(layers[1]["until"] == "2030-01-01");
}
