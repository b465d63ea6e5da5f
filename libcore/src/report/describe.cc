// A book as JSON, and the JSON Schema of its jobs.
#include "report/book_json.h"
#include "report/finding.h"
#include "report/render.h"

#include <cmath>

namespace groundrule::report {

namespace {

Json values_json(const book::Book &book, const book::Type &type,
                 const std::vector<double> &values) {
    Json out = Json::array();
    for (const double v : values)
        out.push_back(value_text(book, type, v));
    return out;
}

// One row for each combination of keys that has a value.
Json table_json(const book::Book &book, const book::Table &t) {
    static constexpr const char *matches[] = {"exact", "at_most", "at_least"};
    Json keys = Json::array();
    for (const book::Key &k : t.keys)
        keys.push_back({{"name", k.name}, {"match", matches[static_cast<std::size_t>(k.match)]}});
    Json rows = Json::array();
    for (std::size_t at = 0; at < t.cells.size(); at += t.types.size()) {
        std::vector<std::string> where(t.keys.size());
        std::size_t rest = at / t.types.size();
        for (std::size_t k = t.keys.size(); k-- > 0;) {
            where[k] = value_text(book, t.keys[k].type, t.keys[k].values[rest % t.counts[k]]);
            rest /= t.counts[k];
        }
        Json values = Json::array();
        bool some = false;
        for (std::size_t c = 0; c < t.types.size(); ++c) {
            const double v = t.cells[at + c];
            some = some || !std::isnan(v);
            values.push_back(std::isnan(v) ? Json(nullptr) : Json(value_text(book, t.types[c], v)));
        }
        if (some)
            rows.push_back({{"keys", where}, {"values", std::move(values)}});
    }
    return {{"name", t.name},
            {"title", t.title},
            {"keys", std::move(keys)},
            {"columns", t.columns},
            {"rows", std::move(rows)}};
}

} // namespace

std::string describe(const book::Book &book, const book::Lineage &lineage) {
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
    static const std::vector<book::Standing> nowhere;
    Json rules = Json::array();
    for (const book::Rule &r : book.rules) {
        const auto known = lineage.find(r.topic);
        Json stands = Json::array();
        for (const book::Standing &s : known == lineage.end() ? nowhere : known->second)
            stands.push_back({{"edition", s.edition}, {"citation", s.citation}});
        rules.push_back({{"citation", r.citation},
                         {"topic", r.topic},
                         {"title", r.title},
                         {"force", force_name(r.force)},
                         {"stages", r.stages},
                         {"for", book.items[static_cast<std::size_t>(r.item)].name},
                         {"layer", book.layers[static_cast<std::size_t>(r.layer)].name},
                         {"lineage", std::move(stands)},
                         {"notes", r.notes},
                         {"sources", r.sources}});
    }
    Json tables = Json::array();
    for (const book::Table &t : book.tables)
        tables.push_back(table_json(book, t));
    Json lists = Json::array();
    for (const book::List &l : book.lists)
        lists.push_back({{"name", l.name},
                         {"title", l.title},
                         {"values", values_json(book, l.type, l.values)}});
    Json administrative = Json::array();
    for (const book::Gap &g : book.administrative)
        administrative.push_back({{"citation", g.citation},
                                  {"says", g.text},
                                  {"layer", book.layers[static_cast<std::size_t>(g.layer)].name}});
    const Json out = {{"book", book_json(book)},
                      {"items", std::move(items)},
                      {"rules", std::move(rules)},
                      {"tables", std::move(tables)},
                      {"lists", std::move(lists)},
                      {"not_encoded", not_encoded(book)},
                      {"administrative", std::move(administrative)}};
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
