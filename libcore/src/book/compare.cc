// Requirements matched by topic, and what changed of them by itself and through what they rest on.
#include "book/compare.h"

#include "book/compare_steps.h"

#include <algorithm>
#include <map>
#include <set>

namespace groundrule::book {

namespace {

const Rule *find_topic(const Book &book, const std::string &topic) {
    for (const Rule &r : book.rules) {
        if (r.topic == topic)
            return &r;
    }
    return nullptr;
}

const std::string &citation(const RuleChange &c) {
    return (c.after == nullptr ? c.before : c.after)->citation;
}

class Comparer {
  public:
    Comparer(const Book &before, const Book &after) : entailment_(before, after) {
        out_.before = &before;
        out_.after = &after;
    }

    Comparison run() {
        out_.shared = shared_changes(*out_.before, *out_.after);
        find_reached();
        for (const Rule &r : out_.before->rules)
            older(r);
        for (const Rule &r : out_.after->rules) {
            if (find_topic(*out_.before, r.topic) == nullptr)
                alone(RuleKind::added, nullptr, &r);
        }
        std::stable_sort(out_.rules.begin(), out_.rules.end(),
                         [](const RuleChange &a, const RuleChange &b) {
                             return citation_less(citation(a), citation(b));
                         });
        for (SharedChange &s : out_.shared)
            name_dependants(s);
        gaps(out_.before->gaps, out_.after->gaps, out_.gaps_removed);
        gaps(out_.after->gaps, out_.before->gaps, out_.gaps_added);
        return std::move(out_);
    }

  private:
    // The changed things that a topic rests on in either book, and the rules whose scope it reads.
    void find_reached() {
        for (const Rule &o : out_.before->rules) {
            const Rule *n = find_topic(*out_.after, o.topic);
            if (n != nullptr && !entailment_.same_scope(o, *n))
                moved_.push_back(o.topic);
        }
        for (const Book *book : {out_.before, out_.after}) {
            const auto rests = rests_on(*book, out_.shared, moved_);
            for (std::size_t i = 0; i < book->rules.size(); ++i)
                reached_[book->rules[i].topic].insert(rests[i].begin(), rests[i].end());
        }
    }

    void older(const Rule &o) {
        const Rule *n = find_topic(*out_.after, o.topic);
        if (n == nullptr) {
            alone(RuleKind::removed, &o, nullptr);
            return;
        }
        RuleChange change;
        change.topic = o.topic;
        change.before = &o;
        change.after = n;
        change.changes = rule_changes(*out_.before, o, *out_.after, *n, entailment_);
        rest(change);
        const bool text = std::any_of(change.changes.begin(), change.changes.end(),
                                      [](const Change &c) { return !is_wording(c.aspect); });
        change.effect = entailment_.effect(o, *n);
        if (text)
            change.kind = RuleKind::changed;
        else if (!change.through.empty())
            change.kind = RuleKind::through;
        else if (o.citation != n->citation)
            change.kind = RuleKind::renumbered;
        else if (!change.changes.empty())
            change.kind = RuleKind::reworded;
        else
            return;
        if (change.kind == RuleKind::renumbered || change.kind == RuleKind::reworded)
            change.effect = Effect::none;
        out_.rules.push_back(std::move(change));
    }

    void alone(RuleKind kind, const Rule *before, const Rule *after) {
        const Rule &r = before == nullptr ? *after : *before;
        RuleChange change;
        change.kind = kind;
        change.topic = r.topic;
        change.before = before;
        change.after = after;
        change.effect = r.force != ast::Force::shall ? Effect::none
                        : before == nullptr          ? Effect::stricter
                                                     : Effect::laxer;
        out_.rules.push_back(std::move(change));
    }

    // A thing that only one of the books has is told with the rules that were changed to use it,
    // and one that only got another number changes no rule.
    void rest(RuleChange &change) const {
        for (const std::size_t i : reached_.at(change.topic)) {
            if (i >= out_.shared.size())
                change.through.push_back("where " + number_of(moved_[i - out_.shared.size()]) +
                                         " applies");
            else if (!out_.shared[i].changes.empty())
                change.through.push_back(out_.shared[i].after);
        }
    }

    const std::string &number_of(const std::string &topic) const {
        return find_topic(*out_.after, topic)->citation;
    }

    void name_dependants(SharedChange &s) const {
        const bool only_renumbered = s.changes.empty() && !s.before.empty() && !s.after.empty();
        if (only_renumbered)
            return;
        const auto place = static_cast<std::size_t>(&s - out_.shared.data());
        for (const RuleChange &c : out_.rules) {
            if (reached_.at(c.topic).contains(place))
                s.dependants.push_back(c.topic);
        }
    }

    static void gaps(const std::vector<Gap> &here, const std::vector<Gap> &there,
                     std::vector<Gap> &only_here) {
        for (const Gap &g : here) {
            if (std::none_of(there.begin(), there.end(), [&](const Gap &o) {
                    return o.citation == g.citation && o.text == g.text;
                }))
                only_here.push_back(g);
        }
    }

    Comparison out_;
    Entailment entailment_;
    std::vector<std::string> moved_; // topics that apply to other things than before
    std::map<std::string, std::set<std::size_t>> reached_;
};

} // namespace

const char *aspect_name(Aspect aspect) {
    static constexpr const char *names[] = {
        "force",  "item",      "stages", "work",       "condition",   "limit", "reading",
        "listed", "exception", "path",   "permission", "requirement", "type",  "key",
        "cell",   "entry",     "value",  "choice",     "message",     "title", "note"};
    return names[static_cast<std::size_t>(aspect)];
}

const char *rule_kind_name(RuleKind kind) {
    static constexpr const char *names[] = {"added",           "removed",    "changed",
                                            "changed_through", "renumbered", "reworded"};
    return names[static_cast<std::size_t>(kind)];
}

const char *shared_kind_name(SharedChange::Kind kind) {
    static constexpr const char *names[] = {"item",  "field", "group",
                                            "table", "list",  "definition"};
    return names[static_cast<std::size_t>(kind)];
}

const char *effect_name(Effect effect) {
    static constexpr const char *names[] = {"none", "stricter", "laxer", "open"};
    return names[static_cast<std::size_t>(effect)];
}

Comparison compare(const Book &before, const Book &after) {
    return Comparer(before, after).run();
}

} // namespace groundrule::book
