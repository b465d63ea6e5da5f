// A comparison as JSON.
#include "report/book_json.h"
#include "report/compare_jobs.h"

namespace groundrule::report {

namespace {

Json text_or_null(const std::string &text) {
    return text.empty() ? Json(nullptr) : Json(text);
}

Json verdict_or_null(const std::optional<Verdict> &verdict) {
    return verdict ? Json(verdict_name(*verdict)) : Json(nullptr);
}

Json changes_json(const std::vector<book::Change> &changes) {
    Json out = Json::array();
    for (const book::Change &c : changes)
        out.push_back({{"what", aspect_name(c.aspect)},
                       {"name", c.name},
                       {"from", text_or_null(c.from)},
                       {"to", text_or_null(c.to)},
                       {"effect", effect_name(c.effect)},
                       {"layer", text_or_null(c.layer)}});
    return out;
}

Json rule_json(const book::RuleChange &c, const book::Book &after) {
    const book::Rule &shown = c.after == nullptr ? *c.before : *c.after;
    return {{"change", rule_kind_name(c.kind)},
            {"topic", c.topic},
            {"title", shown.title},
            {"citation",
             {{"before", c.before == nullptr ? Json(nullptr) : Json(c.before->citation)},
              {"after", c.after == nullptr ? Json(nullptr) : Json(c.after->citation)}}},
            {"force", force_name(shown.force)},
            {"effect", effect_name(c.effect)},
            {"layer", c.after == nullptr
                          ? Json(nullptr)
                          : Json(after.layers[static_cast<std::size_t>(c.after->layer)].name)},
            {"changes", changes_json(c.changes)},
            {"through", c.through}};
}

Json shared_json(const book::SharedChange &c) {
    return {{"kind", shared_kind_name(c.kind)},
            {"before", text_or_null(c.before)},
            {"after", text_or_null(c.after)},
            {"changes", changes_json(c.changes)},
            {"dependants", c.dependants}};
}

Json gaps_json(const std::vector<book::Gap> &gaps) {
    Json out = Json::array();
    for (const book::Gap &g : gaps)
        out.push_back({{"citation", g.citation}, {"what", g.text}});
    return out;
}

Json jobs_json(const JobComparison &jobs) {
    Json clauses = Json::array();
    for (const auto &[topic, c] : jobs.clauses) {
        Json verdicts = Json::array();
        for (const auto &[pair, count] : c.verdicts)
            verdicts.push_back({{"before", verdict_or_null(pair.first)},
                                {"after", verdict_or_null(pair.second)},
                                {"count", count}});
        clauses.push_back({{"topic", topic},
                           {"citation",
                            {{"before", text_or_null(c.citation_before)},
                             {"after", text_or_null(c.citation_after)}}},
                           {"counts", c.counts},
                           {"verdicts", std::move(verdicts)},
                           {"told_otherwise", c.told_otherwise}});
    }
    Json findings = Json::array();
    for (const ChangedFinding &f : jobs.list)
        findings.push_back({{"job", f.job},
                            {"topic", f.topic},
                            {"item", f.item},
                            {"before",
                             {{"verdict", verdict_or_null(f.before)},
                              {"citation", text_or_null(f.citation_before)}}},
                            {"after",
                             {{"verdict", verdict_or_null(f.after)},
                              {"citation", text_or_null(f.citation_after)}}},
                            {"says", text_or_null(f.says)}});
    return {{"jobs", jobs.jobs},
            {"findings", jobs.findings},
            {"changed", jobs.changed},
            {"told_otherwise", jobs.told_otherwise},
            {"clauses", std::move(clauses)},
            {"changed_findings", std::move(findings)}};
}

} // namespace

std::string to_json(const book::Comparison &comparison, const JobComparison *jobs) {
    Json rules = Json::array();
    for (const book::RuleChange &c : comparison.rules)
        rules.push_back(rule_json(c, *comparison.after));
    Json shared = Json::array();
    for (const book::SharedChange &c : comparison.shared)
        shared.push_back(shared_json(c));
    Json out = {{"before", book_json(*comparison.before)},
                {"after", book_json(*comparison.after)},
                {"same", comparison.same()},
                {"rules", std::move(rules)},
                {"shared", std::move(shared)},
                {"not_encoded",
                 {{"added", gaps_json(comparison.gaps_added)},
                  {"removed", gaps_json(comparison.gaps_removed)}}}};
    if (jobs != nullptr)
        out["jobs"] = jobs_json(*jobs);
    return out.dump(2) + "\n";
}

} // namespace groundrule::report
