// Sets of changes, the smaller first. A set that does not do is extended only by changes on which a
// finding that it leaves depends: whatever contains the set and does, has one of them.
#include "answers/remedy.h"

#include "answers/question.h"
#include "evaluate/scalar.h"
#include "evaluate/trace.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace groundrule::answers {

namespace {

using Set = std::vector<std::size_t>; // of changes, ascending

class Search {
  public:
    Search(const Subject &subject, const RemedyOptions &options)
        : subject_(subject), options_(options), trial_(subject),
          before_(trial_.verdicts().begin(), trial_.verdicts().end()) {}

    Remedies run() {
        out_.offered = offered(subject_, options_.open);
        for (std::size_t v = 0; v < before_.size(); ++v) {
            if (trial_.counts(v) && before_[v] == Verdict::violates)
                out_.violated.push_back(v);
        }
        for (const Change &c : out_.offered) {
            std::vector<Place> places;
            for (const Setting &s : c.settings)
                places.push_back(s.at);
            reach_.push_back(trial_.reach(places));
        }
        out_.sizing = !options_.open.empty();
        if (out_.sizing)
            need_choices();
        else if (!out_.violated.empty())
            by_size();
        if (out_.ended)
            return std::move(out_);
        drop_dominated();
        rank();
        out_.tried = trial_.updates();
        return std::move(out_);
    }

  private:
    // --- sets of changes

    void by_size() {
        std::set<Set> level = {{}};
        for (std::size_t size = 0; size <= options_.most_changes && !level.empty(); ++size) {
            std::set<Set> next;
            for (const Set &s : level) {
                if (stops())
                    return;
                if (contains_found(s) || !set(s))
                    continue;
                const auto left = unsolved();
                if (left.empty())
                    found(s);
                else if (size < options_.most_changes)
                    extend(s, left, next);
            }
            level = std::move(next);
        }
    }

    bool stops() {
        if (trial_.updates() >= options_.most_tries)
            out_.exhausted = false;
        else if (told_to_stop(options_.go_on, trial_.updates(), options_.most_tries))
            out_.ended = true;
        return !out_.exhausted || out_.ended;
    }

    bool set(const Set &s) {
        settings_.clear();
        for (const std::size_t c : s)
            settings_.insert(settings_.end(), out_.offered[c].settings.begin(),
                             out_.offered[c].settings.end());
        return trial_.set(settings_);
    }

    bool is_left_open(std::size_t v, Verdict now) const {
        return now == Verdict::undetermined &&
               (before_[v] == Verdict::violates ||
                (options_.settled && before_[v] == Verdict::complies));
    }

    // Verdicts that keep a set from being a remedy.
    std::vector<std::size_t> unsolved() const {
        std::vector<std::size_t> out;
        const auto now = trial_.verdicts();
        for (std::size_t v = 0; v < now.size(); ++v) {
            if (!trial_.counts(v))
                continue;
            if (now[v] == Verdict::violates || is_left_open(v, now[v]))
                out.push_back(v);
        }
        return out;
    }

    // By the changes on which the finding depends that has the fewest.
    void extend(const Set &s, const std::vector<std::size_t> &left, std::set<Set> &next) const {
        std::vector<std::size_t> best;
        for (std::size_t i = 0; i < left.size(); ++i) {
            std::vector<std::size_t> changes;
            for (std::size_t c = 0; c < out_.offered.size(); ++c) {
                if (reach_[c][left[i]] && fits(s, c))
                    changes.push_back(c);
            }
            if (i == 0 || changes.size() < best.size())
                best = std::move(changes);
        }
        for (const std::size_t c : best) {
            Set more = s;
            more.insert(std::lower_bound(more.begin(), more.end(), c), c);
            next.insert(std::move(more));
        }
    }

    // No two changes of a set touch the same fact.
    bool fits(const Set &s, std::size_t c) const {
        for (const std::size_t other : s) {
            for (const Setting &a : out_.offered[other].settings) {
                for (const Setting &b : out_.offered[c].settings) {
                    if (same_place(a.at, b.at))
                        return false;
                }
            }
        }
        return true;
    }

    bool contains_found(const Set &s) const {
        return std::any_of(out_.remedies.begin(), out_.remedies.end(), [&](const Remedy &r) {
            return std::includes(s.begin(), s.end(), r.changes.begin(), r.changes.end());
        });
    }

    void found(const Set &s) {
        Remedy r;
        r.changes = s;
        const auto now = trial_.verdicts();
        for (std::size_t v = 0; v < now.size(); ++v) {
            if (trial_.counts(v) && now[v] == Verdict::undetermined &&
                before_[v] != Verdict::undetermined)
                r.opens.push_back(v);
        }
        for (const std::size_t c : s)
            r.cost += cost(out_.offered[c]);
        out_.remedies.push_back(std::move(r));
    }

    double cost(const Change &c) const {
        const auto own = options_.costs.find(field_of(subject_.book, c.at).slot);
        const Cost cost = own == options_.costs.end() ? Cost{} : own->second;
        return cost.change + cost.step * std::abs(c.steps);
    }

    // --- sizing: every open fact gets a value

    void need_choices() {
        std::vector<std::vector<std::size_t>> choices; // of each open fact
        for (const Place &at : options_.open) {
            choices.emplace_back();
            for (std::size_t c = 0; c < out_.offered.size(); ++c) {
                if (same_place(out_.offered[c].at, at))
                    choices.back().push_back(c);
            }
        }
        std::vector<Place> places;
        for (const Change &c : out_.offered) {
            for (const Setting &set : c.settings)
                places.push_back(set.at);
        }
        turning_ = trial_.turn_on(places);
        Set chosen;
        choose(choices, 0, chosen);
    }

    // Smaller values first, so that what is found early rules out most of the rest.
    void choose(const std::vector<std::vector<std::size_t>> &choices, std::size_t at,
                Set &chosen) { // NOLINT(misc-no-recursion)
        if (at == choices.size()) {
            try_choice(chosen);
            return;
        }
        for (const std::size_t c : choices[at]) {
            if (!out_.exhausted || out_.ended)
                return;
            if (!fits(chosen, c))
                continue;
            chosen.push_back(c);
            choose(choices, at + 1, chosen);
            chosen.pop_back();
        }
    }

    void try_choice(const Set &chosen) {
        Set s = chosen;
        std::sort(s.begin(), s.end());
        const bool dominated =
            std::any_of(out_.remedies.begin(), out_.remedies.end(),
                        [&](const Remedy &r) { return is_at_most(r.changes, s); });
        if (dominated)
            return;
        if (stops() || !set(s))
            return;
        const auto now = trial_.verdicts();
        std::vector<std::size_t> open;
        for (std::size_t v = 0; v < now.size(); ++v) {
            if (!trial_.counts(v))
                continue;
            if (now[v] == Verdict::violates)
                return;
            if (turning_[v] && now[v] == Verdict::undetermined)
                open.push_back(v);
        }
        const std::vector<std::size_t> applying = known_to_apply(open);
        if (applying.empty()) {
            found(s);
            return;
        }
        for (const std::size_t v : applying) {
            if (std::find(out_.blocking.begin(), out_.blocking.end(), v) == out_.blocking.end())
                out_.blocking.push_back(v);
        }
    }

    std::vector<std::size_t> known_to_apply(const std::vector<std::size_t> &open) {
        std::vector<std::size_t> out;
        if (open.empty())
            return out;
        evaluate::run(subject_.program, trial_.job(), workspace_);
        for (const std::size_t v : open) {
            const program::RuleCode &code = subject_.program.rules[trial_.rule_of(v)];
            if (truth_in(workspace_.cell(code.applies, trial_.row_of(v))) == Truth::yes)
                out.push_back(v);
        }
        return out;
    }

    // --- what is told

    // Whether a changes the same facts as b, by the same remedies in the same directions, none of
    // them further.
    bool is_at_most(const Set &a, const Set &b) const {
        if (a.size() != b.size())
            return false;
        for (std::size_t i = 0; i < a.size(); ++i) {
            const Change &x = out_.offered[a[i]];
            const Change &y = out_.offered[b[i]];
            if (x.remedy != y.remedy || x.at.row != y.at.row || (x.steps < 0) != (y.steps < 0) ||
                std::abs(x.steps) > std::abs(y.steps))
                return false;
        }
        return true;
    }

    void drop_dominated() {
        std::vector<Remedy> kept;
        for (const Remedy &r : out_.remedies) {
            const bool less =
                std::any_of(out_.remedies.begin(), out_.remedies.end(), [&](const Remedy &other) {
                    return other.changes != r.changes && is_at_most(other.changes, r.changes) &&
                           std::includes(r.opens.begin(), r.opens.end(), other.opens.begin(),
                                         other.opens.end());
                });
            if (!less)
                kept.push_back(r);
        }
        out_.remedies = std::move(kept);
    }

    void rank() {
        std::stable_sort(out_.remedies.begin(), out_.remedies.end(),
                         [](const Remedy &a, const Remedy &b) {
                             if (a.opens.size() != b.opens.size())
                                 return a.opens.size() < b.opens.size();
                             if (std::fabs(a.cost - b.cost) > 1e-9)
                                 return a.cost < b.cost;
                             return a.changes < b.changes;
                         });
        std::vector<Remedy> told;
        for (Remedy &r : out_.remedies) {
            const bool is_told = options_.most_told == 0 || told.size() < options_.most_told;
            if (is_told && passes_a_check(r))
                told.push_back(std::move(r));
            else if (!is_told)
                ++out_.found;
        }
        out_.found += told.size();
        out_.remedies = std::move(told);
    }

    // The whole job once more, by the evaluator that specifies what verdicts are.
    bool passes_a_check(Remedy &r) {
        const facts::Job changed = remedied(subject_, out_, r);
        evaluate::run(subject_.program, changed, workspace_);
        if (!workspace_.contradictions.empty())
            return false;
        for (std::size_t v = 0; v < before_.size(); ++v) {
            const Verdict now = evaluate::verdict(subject_.program.rules[trial_.rule_of(v)],
                                                  trial_.row_of(v), workspace_);
            if (trial_.counts(v) && (now == Verdict::violates || is_left_open(v, now)))
                return false;
        }
        evaluate::Trace trace(subject_.book, subject_.program, changed, workspace_);
        for (const std::size_t v : r.opens)
            r.missing.push_back(missing_of(v, trace));
        return true;
    }

    std::vector<report::Missing> missing_of(std::size_t verdict, evaluate::Trace &trace) const {
        const program::RuleCode &code = subject_.program.rules[trial_.rule_of(verdict)];
        std::vector<report::Missing> out;
        std::vector<Place> seen;
        for (const program::Register reg : {code.applies, code.met}) {
            for (const evaluate::Lack &l : trace.lacks(reg, trial_.row_of(verdict))) {
                const program::Slot &slot = subject_.program.slots[l.slot];
                const Place at{slot.item, static_cast<std::int32_t>(l.row), slot.field};
                if (l.kind != evaluate::Lack::Kind::fact || among(seen, at))
                    continue;
                seen.push_back(at);
                out.push_back(fact_question(subject_, at).missing);
            }
        }
        return out;
    }

    const Subject &subject_;
    const RemedyOptions &options_;
    Trial trial_;
    std::vector<Verdict> before_;
    Remedies out_;
    std::vector<std::vector<bool>> reach_; // of each change
    std::vector<bool> turning_;            // sizing: the requirement asks for what is chosen
    std::vector<Setting> settings_;
    evaluate::Workspace workspace_;
};

} // namespace

Remedies remedies(const Subject &subject, const RemedyOptions &options) {
    return Search(subject, options).run();
}

} // namespace groundrule::answers
