// Findings as JSON. Keys keep the order in which a reader wants them.
#include "report/book_json.h"
#include "report/render.h"

namespace groundrule::report {

Json missing_json(const Missing &m) {
    Json out = {{"fact", m.fact}, {"item", m.item}, {"kind", m.kind}, {"question", m.question}};
    if (m.choices != nullptr)
        out["choices"] = *m.choices;
    if (!m.instead.empty())
        out["instead"] = m.instead;
    return out;
}

namespace {

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

std::string indented(const std::string &text, std::size_t by) {
    std::string out;
    for (const char c : text) {
        out += c;
        if (c == '\n')
            out.append(by, ' ');
    }
    return out;
}

} // namespace

// One finding at a time becomes a tree and then text: a report of a large job is never in memory as
// a tree.
std::string to_json(const Report &report) {
    Json head = {{"book", book_json(*report.book)}};
    if (!report.stage.empty())
        head["stage"] = report.stage;
    std::string out = head.dump(2);
    out.resize(out.size() - 2); // its closing brace and the newline before it
    out += ",\n  \"findings\": [";
    for (std::size_t i = 0; i < report.findings.size(); ++i)
        out += (i == 0 ? "\n    " : ",\n    ") +
               indented(finding_json(*report.book, report.findings[i]).dump(2), 4);
    out += report.findings.empty() ? "],\n" : "\n  ],\n";
    const Json tail = {{"not_encoded", not_encoded(*report.book)}, {"cautions", cautions()}};
    return out + tail.dump(2).substr(2) + "\n";
}

} // namespace groundrule::report
