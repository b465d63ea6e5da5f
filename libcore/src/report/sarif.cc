// SARIF 2.1.0 (OASIS): complies pass, violates fail, not_applicable notApplicable, undetermined
// open, an authority's decision review, advisory rules informational.
#include "report/render.h"

#include "book/digest.h"
#include "text/json_value.h"

#include <algorithm>

namespace groundrule::report {

namespace {

using Json = JsonValue;

const char *kind_of(const book::Rule &rule, const Finding &f) {
    const bool advisory = rule.force != ast::Force::shall;
    switch (f.verdict) {
    case Verdict::complies:
        return advisory && rule.requirement == book::no_node ? "informational" : "pass";
    case Verdict::not_applicable:
        return "notApplicable";
    case Verdict::violates:
        return advisory ? "informational" : "fail";
    case Verdict::undetermined:
        break;
    }
    const bool decision =
        !f.missing.empty() && std::all_of(f.missing.begin(), f.missing.end(),
                                          [](const Missing &m) { return m.kind == "authority"; });
    return decision ? "review" : (advisory ? "informational" : "open");
}

std::string message_of(const book::Rule &rule, const Finding &f) {
    if (f.verdict == Verdict::violates || rule.requirement == book::no_node)
        return f.says.empty() ? rule.title : f.says;
    std::string out = rule.title + ": " + verdict_name(f.verdict) + " (" + f.decided_by + ")";
    for (std::size_t i = 0; i < f.missing.size(); ++i)
        out += (i == 0 ? "; open: " : ", ") +
               (f.missing[i].fact.empty() ? f.missing[i].question : f.missing[i].fact);
    return out;
}

} // namespace

std::string to_sarif(const Report &report) {
    const book::Book &book = *report.book;
    Json rules = Json::array();
    for (const book::Rule &r : book.rules) {
        Json rule = {{"id", r.topic},
                     {"name", r.citation},
                     {"shortDescription", {{"text", r.title.empty() ? r.citation : r.title}}}};
        rule["properties"] = {
            {"citation", r.citation}, {"force", force_name(r.force)}, {"stages", r.stages}};
        rules.push_back(std::move(rule));
    }
    Json results = Json::array();
    for (const Finding &f : report.findings) {
        const book::Rule &rule = book.rules[f.rule];
        const std::string kind = kind_of(rule, f);
        Json result = {
            {"ruleId", rule.topic},
            {"ruleIndex", f.rule},
            {"kind", kind},
            {"level", kind == "fail" ? "error" : "none"},
            {"message", {{"text", message_of(rule, f)}}},
            {"locations", Json::array({{{"logicalLocations",
                                         Json::array({{{"fullyQualifiedName", f.item}}})}}})}};
        result["properties"] = {{"citation", f.citation},
                                {"layer", f.layer},
                                {"decidedBy", f.decided_by},
                                {"assumed", f.assumed}};
        results.push_back(std::move(result));
    }
    Json notifications = Json::array();
    for (const std::string &line : cautions())
        notifications.push_back({{"level", "note"}, {"message", {{"text", line}}}});
    Json driver = {
        {"name", "groundrule"}, {"version", GROUNDRULE_VERSION}, {"rules", std::move(rules)}};
    Json run = {
        {"tool", {{"driver", std::move(driver)}}},
        {"results", std::move(results)},
        {"invocations", Json::array({{{"executionSuccessful", true},
                                      {"toolExecutionNotifications", std::move(notifications)}}})},
        {"properties", {{"book", book.name}, {"digest", book::digest_of(book)}}}};
    const Json out = {{"$schema", "https://json.schemastore.org/sarif-2.1.0.json"},
                      {"version", "2.1.0"},
                      {"runs", Json::array({std::move(run)})}};
    return out.dump(2) + "\n";
}

} // namespace groundrule::report
