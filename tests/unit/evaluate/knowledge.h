// Jobs that say less than another: one fact, one mark of completeness or one item fewer. `work` is
// left out, since it is inherited: without a word of its own an item takes that of the item above,
// so that removing one says something else, not less.

#pragma once

#include "trial.h"

#include <nlohmann/json.hpp>

#include <functional>
#include <map>
#include <string>
#include <utility>

namespace knowledge {

using namespace groundrule;
using Json = nlohmann::json;

// Verdicts by topic and item; every item needs an id of its own.
using Verdicts = std::map<std::pair<std::string, std::string>, Verdict>;

// None if the job contradicts itself.
inline std::optional<Verdicts> verdicts(const trial::Compiled &c, const Json &json) {
    const facts::Job job = trial::job_of(*c.book, json.dump());
    evaluate::Workspace workspace;
    evaluate::run(c.program, job, workspace);
    if (!workspace.contradictions.empty())
        return std::nullopt;
    Verdicts out;
    for (std::size_t r = 0; r < c.book->rules.size(); ++r) {
        const std::int32_t item = c.book->rules[r].item;
        for (std::size_t row = 0; row < job.rows(item).size(); ++row)
            out[{c.book->rules[r].topic, job.rows(item).id[row]}] =
                evaluate::verdict(c.program.rules[r], row, workspace);
    }
    return out;
}

// Gives every item an id that stays when others go.
inline void name_items(Json &item, const std::string &id) {
    item["id"] = id;
    for (auto &[key, value] : item.items()) {
        if (!value.is_array() || key == "complete")
            continue;
        for (std::size_t i = 0; i < value.size(); ++i)
            name_items(value[i], id + "/" + key + std::to_string(i));
    }
}

using Visit = std::function<void(const Json &less, const std::string &without)>;

// Calls `visit` with every job that lacks one thing which `whole` says. `item` is a part of it.
inline void each_removal(const Json &whole, const Json::json_pointer &at, const Visit &visit) {
    const Json item = whole.at(at);
    for (const auto &[key, value] : item.items()) {
        if (key == "id" || key == "note" || key == "work")
            continue;
        const Json::json_pointer here = at / key;
        if (!value.is_array()) {
            Json less = whole;
            less[at].erase(key);
            visit(less, here.to_string());
            continue;
        }
        for (std::size_t i = 0; i < value.size(); ++i) {
            Json less = whole;
            less[here].erase(i);
            // A list without one of its items is no longer the complete list.
            if (key != "complete" && less[at].contains("complete")) {
                Json marks = Json::array();
                for (const Json &mark : less[at]["complete"]) {
                    if (mark != key)
                        marks.push_back(mark);
                }
                less[at]["complete"] = marks;
            }
            visit(less, (here / i).to_string());
            if (key != "complete")
                each_removal(whole, here / i, visit);
        }
    }
}

// What learning may do to a verdict.
inline bool lawful(Verdict before, Verdict after) {
    return before == after || before == Verdict::undetermined ||
           (before == Verdict::complies && after == Verdict::not_applicable);
}

// The first verdict that learning has changed as it must not; empty if there is none.
inline std::string unlawful(const Verdicts &less, const Verdicts &more) {
    for (const auto &[key, before] : less) {
        const auto after = more.find(key);
        if (after != more.end() && !lawful(before, after->second))
            return key.first + " at " + key.second + ": " + report::verdict_name(before) + " → " +
                   report::verdict_name(after->second);
    }
    return {};
}

} // namespace knowledge
