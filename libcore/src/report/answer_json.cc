#include "book/expression_text.h"
#include "quantity/date.h"
#include "report/answer.h"
#include "report/book_json.h"

namespace groundrule::report {

namespace {

Json text_or_null(const std::string &text) {
    return text.empty() ? Json(nullptr) : Json(text);
}

const book::Field &deciding(const book::Adoption &adoption, const book::Period &p) {
    return adoption.book->items.front().fields[static_cast<std::size_t>(p.by)];
}

Json period_json(const book::Adoption &adoption, const book::Period &p) {
    const book::Rule &rule = adoption.book->rules[p.rule];
    return {{"name", p.name},
            {"title", rule.title},
            {"book", text_or_null(p.book)},
            {"handed_over", text_or_null(p.handed_over)},
            {"by", deciding(adoption, p).name}};
}

} // namespace

std::string to_json(const Answer &answer) {
    const book::Adoption &adoption = *answer.adoption;
    Json periods = Json::array();
    for (const Candidate &c : answer.periods) {
        Json period = period_json(adoption, *c.period);
        period["on"] = text_or_null(c.on);
        period["in_force"] = c.in_force;
        periods.push_back(std::move(period));
    }
    Json missing = Json::array();
    for (const Missing &m : answer.missing)
        missing.push_back(missing_json(m));
    const Json out = {{"place", adoption.book->name},
                      {"outcome", outcome_name(answer.outcome)},
                      {"periods", std::move(periods)},
                      {"missing", std::move(missing)}};
    return out.dump(2) + "\n";
}

std::string timeline_json(const book::Adoption &adoption) {
    const book::Book &book = *adoption.book;
    Json periods = Json::array();
    for (const book::Period &p : adoption.periods) {
        const book::Rule &rule = book.rules[p.rule];
        Json where = Json::array();
        const std::size_t dates = p.until == 0 ? 1 : 2; // these conditions stand first
        for (std::size_t i = dates; i < rule.conditions.size(); ++i)
            where.push_back(
                book::expression_text(book, rule.conditions[i].node, {0, &rule, nullptr}));
        Json period = period_json(adoption, p);
        period["from"] = date_text(p.from);
        period["until"] = p.until == 0 ? Json(nullptr) : Json(date_text(p.until));
        period["overlaps"] = p.overlaps;
        period["where"] = std::move(where);
        period["notes"] = rule.notes;
        period["sources"] = rule.sources;
        periods.push_back(std::move(period));
    }
    const book::Layer &head = book.layers.front();
    const Json out = {{"place", book.name},
                      {"title", head.title},
                      {"authority", head.publisher},
                      {"periods", std::move(periods)}};
    return out.dump(2) + "\n";
}

} // namespace groundrule::report
