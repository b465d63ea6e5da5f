// Findings as JSON. Keys keep the order in which a reader wants them.
#include "report/book_json.h"
#include "report/render.h"

namespace groundrule::report {

namespace {

Json missing_json(const Missing &m) {
    Json out = {{"fact", m.fact}, {"item", m.item}, {"kind", m.kind}, {"question", m.question}};
    if (!m.choices.empty())
        out["choices"] = m.choices;
    if (!m.instead.empty())
        out["instead"] = m.instead;
    return out;
}

Json finding_json(const book::Book &book, const Finding &f) {
    const book::Rule &rule = book.rules[f.rule];
    Json values = Json::array();
    for (const Value &v : f.values)
        values.push_back({{"name", v.name}, {"value", v.value}, {"source", v.source}});
    Json missing = Json::array();
    for (const Missing &m : f.missing)
        missing.push_back(missing_json(m));
    Json out = {{"citation", f.citation},
                {"verdict", verdict_name(f.verdict)},
                {"item", f.item},
                {"item_id", f.item_id},
                {"rule", rule.topic},
                {"title", rule.title},
                {"layer", f.layer},
                {"decided_by", f.decided_by},
                {"force", force_name(rule.force)},
                {"known_to_apply", f.known_to_apply},
                {"stages", rule.stages},
                {"says", f.says},
                {"values", std::move(values)},
                {"missing", std::move(missing)},
                {"assumed", f.assumed}};
    Json readings = Json::array();
    for (const book::Limit &l : rule.limits) {
        if (l.reading && f.verdict != Verdict::not_applicable)
            readings.push_back({{"name", l.name},
                                {"taken", l.value != 0},
                                {"says", l.text},
                                {"layer", book.layers[static_cast<std::size_t>(l.layer)].name}});
    }
    if (!readings.empty())
        out["readings"] = std::move(readings);
    if (!rule.notes.empty() && f.verdict != Verdict::not_applicable)
        out["notes"] = rule.notes;
    return out;
}

} // namespace

std::string to_json(const Report &report) {
    Json findings = Json::array();
    for (const Finding &f : report.findings)
        findings.push_back(finding_json(*report.book, f));
    Json out = {{"book", book_json(*report.book)}};
    if (!report.stage.empty())
        out["stage"] = report.stage;
    out["findings"] = std::move(findings);
    out["not_encoded"] = not_encoded(*report.book);
    out["cautions"] = cautions();
    return out.dump(2) + "\n";
}

} // namespace groundrule::report
