#include "report/compare_jobs.h"

#include <set>

namespace groundrule::report {

namespace {

using Key = std::pair<std::string, std::string>; // topic and item
using Found = std::map<Key, const Finding *>;

Found by_key(const Report &report) {
    Found out;
    for (const Finding &f : report.findings)
        out.emplace(Key(report.book->rules[f.rule].topic, f.item), &f);
    return out;
}

const book::Rule *rule_of(const Report &report, const std::string &topic) {
    for (const book::Rule &r : report.book->rules) {
        if (r.topic == topic)
            return &r;
    }
    return nullptr;
}

bool asks_nothing(const Finding *f) {
    return f == nullptr || f->verdict == Verdict::not_applicable;
}

bool told_alike(const Finding &a, const Finding &b) {
    if (a.says != b.says || a.missing.size() != b.missing.size())
        return false;
    for (std::size_t i = 0; i < a.missing.size(); ++i) {
        if (a.missing[i].fact != b.missing[i].fact || a.missing[i].item != b.missing[i].item)
            return false;
    }
    return true;
}

std::optional<Verdict> verdict_of(const Finding *f) {
    return f == nullptr ? std::nullopt : std::optional(f->verdict);
}

ClauseEffect &clause_of(JobComparison &out, const std::string &topic, const Report &before,
                        const Report &after) {
    const auto [place, fresh] = out.clauses.try_emplace(topic);
    if (fresh) {
        const book::Rule *older = rule_of(before, topic);
        const book::Rule *newer = rule_of(after, topic);
        place->second.topic = topic;
        place->second.citation_before = older == nullptr ? "" : older->citation;
        place->second.citation_after = newer == nullptr ? "" : newer->citation;
        place->second.counts = (newer == nullptr ? older : newer)->force == ast::Force::shall;
    }
    return place->second;
}

} // namespace

void add_job(JobComparison &out, const std::string &job, const Report &before,
             const Report &after) {
    ++out.jobs;
    const Found older = by_key(before);
    const Found newer = by_key(after);
    std::set<Key> keys;
    for (const auto *found : {&older, &newer}) {
        for (const auto &entry : *found)
            keys.insert(entry.first);
    }
    out.findings += keys.size();
    for (const Key &key : keys) {
        const auto find = [&](const Found &in) {
            const auto there = in.find(key);
            return there == in.end() ? nullptr : there->second;
        };
        const Finding *o = find(older);
        const Finding *n = find(newer);
        if (asks_nothing(o) && asks_nothing(n))
            continue;
        if (o != nullptr && n != nullptr && o->verdict == n->verdict) {
            if (!told_alike(*o, *n)) {
                ++out.told_otherwise;
                ++clause_of(out, key.first, before, after).told_otherwise;
            }
            continue;
        }
        ++out.changed;
        ++clause_of(out, key.first, before, after).verdicts[{verdict_of(o), verdict_of(n)}];
        out.list.push_back({job, key.first, key.second, o == nullptr ? "" : o->citation,
                            n == nullptr ? "" : n->citation, verdict_of(o), verdict_of(n),
                            n != nullptr && n->verdict == Verdict::violates ? n->says : ""});
    }
}

} // namespace groundrule::report
