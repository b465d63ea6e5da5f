// Explanations as JSON: what a person reads, and the steps by which a program can compute all of it
// again.
#include "answers/closing.h"
#include "answers/story.h"

namespace groundrule::answers {

namespace {

using book::NodeOp;
using report::Json;

const char *op_name(NodeOp op) {
    static constexpr const char *names[] = {
        "constant", "unknown",       "not_encoded", "field",     "definition", "parameter",
        "element",  "limit",         "and",         "or",        "not",        "equal",
        "at_least", "at_most",       "more_than",   "less_than", "in_set",     "add",
        "subtract", "multiply",      "divide",      "larger_of", "smaller_of", "round_down",
        "round_up", "round_nearest", "if",          "table",     "smallest",   "largest",
        "any",      "all",           "count",       "sum",       "max",        "min",
        "complete", "applies"};
    static_assert(std::size(names) == static_cast<std::size_t>(NodeOp::applies) + 1);
    return names[static_cast<std::size_t>(op)];
}

const char *bound_name(Bound bound) {
    static constexpr const char *names[] = {"unknown", "exact", "at_least", "at_most"};
    return names[static_cast<std::size_t>(bound)];
}

Json parts_json(const Story &story) {
    Json out = Json::object();
    for (const StoryPart &p : story.parts) {
        Json lines = Json::array();
        for (const StoryLine &l : p.lines) {
            Json line = {{"outcome", l.outcome}, {"words", l.line->words}};
            if (!l.line->label.empty())
                line["label"] = l.line->label;
            if (!l.line->title.empty())
                line["title"] = l.line->title;
            if (!l.line->encoded)
                line["encoded"] = false;
            if (!l.figures.empty())
                line["figures"] = l.figures;
            line["layer"] = l.line->layer;
            line["step"] = l.line->step;
            lines.push_back(std::move(line));
        }
        out[p.key] = std::move(lines);
    }
    return out;
}

Json values_json(const Story &story) {
    Json out = Json::array();
    for (const StoryValue &v : story.values) {
        Json value = {{"name", v.step->name},
                      {"value", v.value},
                      {"source", source_name(v.step->source)},
                      {"from", v.from}};
        if (!v.step->item.empty())
            value["item"] = v.step->item;
        if (!v.layer.empty())
            value["layer"] = v.layer;
        if (!v.words.empty())
            value["words"] = v.words;
        if (!v.figures.empty())
            value["figures"] = v.figures;
        out.push_back(std::move(value));
    }
    return out;
}

Json steps_json(const Explanation &e) {
    Json out = Json::array();
    for (std::uint32_t i = 0; i < e.steps.size(); ++i) {
        const Step &s = e.steps[i];
        Json step = {{"op", op_name(s.op)},
                     {"source", source_name(s.source)},
                     {"value", s.value.known() ? Json(s.value.value) : Json(nullptr)},
                     {"bound", bound_name(s.value.bound)},
                     {"shown", shown(e, i)}};
        if (!s.parts.empty())
            step["parts"] = s.parts;
        if (!s.set.empty())
            step["set"] = s.set;
        if (s.source == Source::counted) {
            step["complete"] = s.complete;
            Json elements = Json::array();
            for (const Element &el : s.elements) {
                Json element = {{"item", el.item}};
                if (el.filter != no_step)
                    element["where"] = el.filter;
                if (el.body != no_step)
                    element["of"] = el.body;
                elements.push_back(std::move(element));
            }
            step["elements"] = std::move(elements);
        }
        out.push_back(std::move(step));
    }
    return out;
}

Json one(const Explanation &e) {
    const report::Finding &f = e.finding;
    const book::Rule &rule = e.book->rules[f.rule];
    const Story s = story(e);
    Json missing = Json::array();
    for (const report::Missing &m : f.missing)
        missing.push_back(report::missing_json(m));
    Json out = {{"citation", f.citation},
                {"title", rule.title},
                {"rule", rule.topic},
                {"item", f.item},
                {"item_id", f.item_id},
                {"verdict", report::verdict_name(f.verdict)},
                {"force", report::force_name(rule.force)},
                {"says", f.says},
                {"decided_by", f.decided_by},
                {"layer", f.layer}};
    out.update(parts_json(s));
    out["values"] = values_json(s);
    out["missing"] = std::move(missing);
    out["assumed"] = f.assumed;
    if (!rule.notes.empty())
        out["notes"] = rule.notes;
    out["steps"] = steps_json(e);
    return out;
}

} // namespace

std::string explained_json(const book::Book &book, const std::vector<Explanation> &explanations) {
    Json out = {{"book", report::book_json(book)}, {"explanations", Json::array()}};
    for (const Explanation &e : explanations)
        out["explanations"].push_back(one(e));
    close_json(book, out);
    return out.dump(2) + "\n";
}

} // namespace groundrule::answers
