// Findings as JSON. Keys keep the order in which a reader wants them.
#include "report/render.h"

#include <nlohmann/json.hpp>

namespace groundrule::report {

namespace {

using Json = nlohmann::ordered_json;

Json book_json(const book::Book &book) {
    Json layers = Json::array();
    for (const book::Layer &l : book.layers) {
        Json layer = {{"name", l.name}, {"title", l.title}, {"publisher", l.publisher}};
        if (!l.effective.empty())
            layer["effective"] = l.effective;
        layers.push_back(std::move(layer));
    }
    return {{"name", book.name}, {"digest", book.digest}, {"layers", std::move(layers)}};
}

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

Json not_encoded(const book::Book &book) {
    Json out = Json::array();
    for (const book::Gap &g : book.gaps)
        out.push_back({{"citation", g.citation}, {"says", g.text}});
    for (const book::Rule &r : book.rules) {
        for (const auto *parts : {&r.exceptions, &r.paths, &r.permits}) {
            for (const book::Part &p : *parts) {
                if (!p.encoded)
                    out.push_back(
                        {{"citation",
                          r.citation +
                              (p.kind == ast::Part::Kind::exception
                                   ? " Exception" + (p.label.empty() ? "" : " No. " + p.label)
                                   : p.label)},
                         {"says", p.title}});
            }
        }
    }
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

std::string describe(const book::Book &book) {
    Json items = Json::array();
    for (const book::Item &item : book.items) {
        Json fields = Json::array();
        for (const book::Field &f : item.fields) {
            Json field = {{"name", f.name},
                          {"type", type_name(book.choice_types, f.type)},
                          {"kind", field_kind_name(f.kind)},
                          {"question", f.question}};
            if (f.type.is_quantity() && !f.type.dimension.is_number())
                field["units"] = units_of(f.type.dimension);
            if (f.type.kind == ValueKind::choice)
                field["choices"] =
                    book.choice_types[static_cast<std::size_t>(f.type.choices)].choices;
            fields.push_back(std::move(field));
        }
        items.push_back(
            {{"name", item.name},
             {"title", item.title},
             {"list", item.list},
             {"in", item.parent < 0 ? "" : book.items[static_cast<std::size_t>(item.parent)].name},
             {"fields", std::move(fields)}});
    }
    Json rules = Json::array();
    for (const book::Rule &r : book.rules) {
        rules.push_back({{"citation", r.citation},
                         {"topic", r.topic},
                         {"title", r.title},
                         {"force", force_name(r.force)},
                         {"stages", r.stages},
                         {"for", book.items[static_cast<std::size_t>(r.item)].name},
                         {"layer", book.layers[static_cast<std::size_t>(r.layer)].name},
                         {"notes", r.notes},
                         {"sources", r.sources}});
    }
    const Json out = {{"book", book_json(book)},
                      {"items", std::move(items)},
                      {"rules", std::move(rules)},
                      {"not_encoded", not_encoded(book)}};
    return out.dump(2) + "\n";
}

namespace {

Json field_schema(const book::Book &book, const book::Field &f) {
    Json out = {{"description", f.question}};
    switch (f.type.kind) {
    case ValueKind::truth:
        out["type"] = {"boolean", "null"};
        break;
    case ValueKind::choice: {
        Json choices = book.choice_types[static_cast<std::size_t>(f.type.choices)].choices;
        choices.push_back(nullptr);
        out["enum"] = std::move(choices);
        break;
    }
    case ValueKind::quantity:
        if (f.type.dimension.is_number()) {
            out["type"] = {"number", "string", "null"};
        } else {
            out["type"] = {"string", "null"};
            out["description"] = f.question + " (" + dimension::name_of(f.type.dimension) + ": " +
                                 units_of(f.type.dimension) + ")";
        }
        break;
    case ValueKind::conductor_size:
        out["type"] = {"string", "null"};
        out["pattern"] = "^([0-9]+|[1-4]/0) AWG$|^[0-9]+ kcmil$";
        break;
    case ValueKind::date:
        out["type"] = {"string", "null"};
        out["format"] = "date";
        break;
    }
    return out;
}

Json item_schema(const book::Book &book, const book::Item &item) {
    Json fields = Json::object();
    for (const book::Field &f : item.fields)
        fields[f.name] = field_schema(book, f);
    Json properties = fields;
    properties["id"] = {{"type", "string"}};
    properties["note"] = {{"type", "string"}};
    properties["assumed"] = {
        {"type", "object"}, {"properties", fields}, {"additionalProperties", false}};
    Json lists = Json::array();
    for (const std::int32_t child : item.children) {
        const book::Item &below = book.items[static_cast<std::size_t>(child)];
        properties[below.list] = {{"type", "array"},
                                  {"items", {{"$ref", "#/$defs/" + below.name}}}};
        lists.push_back(below.list);
    }
    if (!lists.empty())
        properties["complete"] = {{"type", "array"},
                                  {"items", {{"enum", lists}}},
                                  {"description", "Lists of which this item names every item"}};
    return {{"type", "object"},
            {"title", item.title},
            {"properties", std::move(properties)},
            {"additionalProperties", false}};
}

} // namespace

std::string job_schema(const book::Book &book) {
    Json defs = Json::object();
    for (std::size_t i = 1; i < book.items.size(); ++i)
        defs[book.items[i].name] = item_schema(book, book.items[i]);
    Json out = item_schema(book, book.items.front());
    Json head = {{"$schema", "https://json-schema.org/draft/2020-12/schema"}};
    head.update(out);
    head["$defs"] = std::move(defs);
    return head.dump(2) + "\n";
}

} // namespace groundrule::report
