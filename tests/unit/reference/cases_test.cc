// Published cases (tests/reference/cases.jsonl) as jobs: what the source answers in figures is
// compared with the figure that the rules compute, not only with a verdict. A job stands in
// tests/reference/jobs/<case>.json; a value is compared to the digits that `is` gives.

#include "trial.h"

#include <nlohmann/json.hpp>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>

#include "catch.h"

namespace {

using namespace groundrule;
using Json = nlohmann::json;

const std::filesystem::path folder =
    std::filesystem::path(GROUNDRULE_SOURCE_DIR) / "tests" / "reference";

std::map<std::string, Json> published_cases() {
    std::map<std::string, Json> out;
    std::ifstream file(folder / "cases.jsonl");
    for (std::string line; std::getline(file, line);) {
        const Json entry = Json::parse(line);
        out[entry.at("id")] = entry;
    }
    return out;
}

std::vector<std::pair<std::string, Json>> jobs() {
    std::map<std::string, Json> sorted;
    for (const auto &entry : std::filesystem::directory_iterator(folder / "jobs")) {
        std::ifstream file(entry.path());
        sorted[entry.path().stem().string()] = Json::parse(file);
    }
    return {sorted.begin(), sorted.end()};
}

// A book with a rule that tells each of these definitions: "run.ampacity" → topic run_ampacity_is.
std::string topic_of(const std::string &definition) {
    std::string topic = definition + "_is";
    topic[topic.find('.')] = '_';
    return topic;
}

const trial::Compiled &opened(const std::string &name, const std::set<std::string> &definitions) {
    static std::map<std::string, trial::Compiled> books;
    const auto found = books.find(name);
    if (found != books.end())
        return found->second;
    std::string text = "amendment told to " + name + "\n  title \"Tells what was computed\"\n";
    int number = 900;
    for (const std::string &definition : definitions) {
        const std::size_t dot = definition.find('.');
        text += "\nrule 90." + std::to_string(++number) + " \"Told\"\n  topic " +
                topic_of(definition) + "\n  stage design\n  for " + definition.substr(0, dot) +
                "\n  information work is existing\n  says \"{" + definition.substr(dot + 1) +
                "}\"\n";
    }
    trial::Compiled compiled =
        trial::compiled(book::open_book(name + "+told", {{"told.rules", text}}));
    return books.emplace(name, std::move(compiled)).first->second;
}

std::set<std::string> all_definitions(const std::vector<std::pair<std::string, Json>> &all) {
    std::set<std::string> out;
    const auto collect = [&](const Json &step) {
        for (const Json &value : step.value("values", Json::array()))
            out.insert(value.at("definition").get<std::string>());
    };
    for (const auto &[id, entry] : all) {
        collect(entry);
        for (const Json &step : entry.value("also", Json::array()))
            collect(step);
    }
    return out;
}

// Equal to the digits that the second text gives, and in the same unit.
bool equal_as_printed(const std::string &computed, const std::string &printed) {
    if (computed == printed)
        return true;
    std::size_t computed_end = 0;
    std::size_t printed_end = 0;
    double a = 0;
    double b = 0;
    try {
        a = std::stod(computed, &computed_end);
        b = std::stod(printed, &printed_end);
    } catch (const std::exception &) {
        return false;
    }
    if (computed.substr(computed_end) != printed.substr(printed_end))
        return false;
    const std::size_t point = printed.substr(0, printed_end).find('.');
    const std::size_t digits = point == std::string::npos ? 0 : printed_end - point - 1;
    return std::fabs(a - b) <= 0.5 * std::pow(10.0, -static_cast<double>(digits)) + 1e-9;
}

void check_step(const trial::Compiled &c, const Json &job, const Json &step) {
    const report::Report report = trial::check(c, job.dump());
    const auto findings_of = [&](const std::string &topic) {
        std::vector<const report::Finding *> out;
        for (const report::Finding &f : report.findings) {
            if (c.book->rules[f.rule].topic == topic)
                out.push_back(&f);
        }
        return out;
    };
    for (const Json &value : step.value("values", Json::array())) {
        const std::string definition = value.at("definition");
        const auto told = findings_of(topic_of(definition));
        INFO(definition << " is " << (told.empty() ? "not told" : told.front()->says)
                        << ", published " << value.at("is"));
        REQUIRE_FALSE(told.empty());
        CHECK(equal_as_printed(told.front()->says, value.at("is")));
    }
    for (const Json &expected : step.value("expect", Json::array())) {
        const auto findings = findings_of(expected.at("rule"));
        INFO(expected.at("rule"));
        REQUIRE_FALSE(findings.empty());
        for (const report::Finding *f : findings) {
            INFO(f->item << ": " << f->says);
            CHECK(report::verdict_name(f->verdict) == expected.at("verdict").get<std::string>());
        }
    }
}

} // namespace

TEST_CASE("reference: published cases have the answers of their sources, in figures") {
    static const auto published = published_cases(); // each section runs from here
    static const auto all = jobs();
    static const auto definitions = all_definitions(all);
    CHECK(all.size() >= 40);
    for (const auto &[id, entry] : all) {
        DYNAMIC_SECTION(id) {
            REQUIRE(published.contains(id));
            INFO(published.at(id).at("question").get<std::string>());
            INFO("answer " << published.at(id).at("answer").dump());
            INFO("source " << published.at(id).at("source_title").get<std::string>() << ", "
                           << published.at(id).at("source_url").get<std::string>());
            REQUIRE(entry.at("case") == id);
            for (const std::string name : entry.at("book")) {
                INFO(name);
                const trial::Compiled &c = opened(name, definitions);
                check_step(c, entry.at("job"), entry);
                for (const Json &step : entry.value("also", Json::array())) {
                    INFO("with " << step.at("change").dump());
                    Json job = entry.at("job");
                    for (const auto &[pointer, value] : step.at("change").items())
                        job[Json::json_pointer(pointer)] = value;
                    check_step(c, job, step);
                }
            }
        }
    }
}

TEST_CASE("reference: a figure that differs in its last printed digit is no answer") {
    CHECK(equal_as_printed("131.04 A", "131 A"));
    CHECK(equal_as_printed("47.775 A", "47.775 A"));
    CHECK_FALSE(equal_as_printed("131.6 A", "131 A"));
    CHECK_FALSE(equal_as_printed("131 V", "131 A"));
    CHECK_FALSE(equal_as_printed("unknown", "131 A"));
    CHECK_FALSE(equal_as_printed("8 AWG", "6 AWG"));
}
