// Holes and overlaps of a timeline, found by trying every combination of facts.
#include "book/adoption.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace groundrule::book {

namespace {

// More combinations than a place should need; each period is looked at for each of them.
constexpr std::size_t most_combinations = std::size_t{1} << 18U;

// Of a job's dates none lies before the one in front of it.
constexpr const char *dates_in_order[] = {"application_date", "permit_date", "installation_date"};

bool is_comparison(NodeOp op) {
    return op == NodeOp::equal || op == NodeOp::at_least || op == NodeOp::at_most ||
           op == NodeOp::more_than || op == NodeOp::less_than;
}

class Coverage {
  public:
    Coverage(const Book &book, const std::vector<Period> &periods, Diagnostics &diagnostics)
        : book_(book), periods_(periods), diagnostics_(diagnostics) {}

    void check() {
        for (const Period &p : periods_) {
            for (const Condition &c : rule(p).conditions)
                collect(c.node);
        }
        if (diagnostics_.has_errors() || too_many())
            return;
        for (const Period &p : periods_) {
            first_ = std::min(first_, p.from);
            last_ = std::max(last_, p.until == 0 ? never : p.until);
        }
        values_.assign(book_.items.front().fields.size(), 0);
        for (const char *name : dates_in_order) {
            const std::int32_t date = find_field(book_.items.front(), name);
            if (domains_.contains(date))
                dates_.push_back(static_cast<std::size_t>(date));
        }
        each_combination(domains_.begin());
        idle_declarations();
    }

  private:
    static constexpr int never = 0x7fffffff;
    using Domains = std::map<std::int32_t, std::vector<double>>; // by field of the job

    const Rule &rule(const Period &p) const { return book_.rules[p.rule]; }
    const Field &field(std::int32_t index) const {
        return book_.items.front().fields[static_cast<std::size_t>(index)];
    }

    // --- what the periods ask for

    static bool is_constant(const Node &n) { return n.op == NodeOp::constant; }
    static bool is_fact(const Node &n) { return n.op == NodeOp::field; }

    void collect(NodeId id) { // NOLINT(misc-no-recursion)
        const Node &n = book_.nodes[id];
        if (n.op == NodeOp::logical_and || n.op == NodeOp::logical_or ||
            n.op == NodeOp::logical_not) {
            for (const NodeId child : n.children)
                collect(child);
        } else if (is_fact(n)) { // a truth, as conditions are
            add(n.index, {0, 1});
        } else if (n.op == NodeOp::in_set && is_fact(book_.nodes[n.children[0]])) {
            std::vector<double> all(n.set.size());
            for (std::size_t i = 0; i < all.size(); ++i)
                all[i] = static_cast<double>(i);
            add(book_.nodes[n.children[0]].index, all);
        } else if (is_comparison(n.op) && is_fact(book_.nodes[n.children[0]]) &&
                   is_constant(book_.nodes[n.children[1]])) {
            const Node &fact = book_.nodes[n.children[0]];
            const double value = book_.nodes[n.children[1]].value;
            const double step = fact.type.is_quantity() ? 1 / scale_of(fact.type) : 1;
            add(fact.index, {value - step, value, value + step});
        } else if (!is_constant(n)) {
            diagnostics_.error("not-for-a-period", n.span,
                               "a period asks for facts of the job itself, each compared with a "
                               "fixed value, joined by and, or, not");
        }
    }

    void add(std::int32_t index, const std::vector<double> &values) {
        std::vector<double> &domain = domains_[index];
        domain.insert(domain.end(), values.begin(), values.end());
        std::sort(domain.begin(), domain.end());
        domain.erase(std::unique(domain.begin(), domain.end()), domain.end());
    }

    bool too_many() {
        std::size_t count = 1;
        for (const auto &[index, domain] : domains_)
            count = count > most_combinations ? count : count * domain.size();
        if (count > most_combinations)
            diagnostics_.error("too-large", periods_.front().span,
                               "the periods ask for more than " +
                                   std::to_string(most_combinations) + " combinations of facts");
        return count > most_combinations;
    }

    // --- each combination

    void each_combination(Domains::const_iterator at) { // NOLINT(misc-no-recursion)
        if (at == domains_.end()) {
            if (possible())
                combination();
            return;
        }
        for (const double value : at->second) {
            values_[static_cast<std::size_t>(at->first)] = value;
            each_combination(std::next(at));
        }
    }

    bool possible() const {
        double before = -1;
        for (const std::size_t date : dates_) {
            if (values_[date] < before)
                return false;
            before = values_[date];
        }
        return true;
    }

    bool holds(NodeId id) const { // NOLINT(misc-no-recursion)
        const Node &n = book_.nodes[id];
        const auto value = [&](std::size_t child) {
            const Node &c = book_.nodes[n.children[child]];
            return is_constant(c) ? c.value : values_[static_cast<std::size_t>(c.index)];
        };
        switch (n.op) {
        case NodeOp::constant:
            return n.value != 0;
        case NodeOp::field:
            return values_[static_cast<std::size_t>(n.index)] != 0;
        case NodeOp::logical_and:
            return std::all_of(n.children.begin(), n.children.end(),
                               [&](NodeId c) { return holds(c); });
        case NodeOp::logical_or:
            return std::any_of(n.children.begin(), n.children.end(),
                               [&](NodeId c) { return holds(c); });
        case NodeOp::logical_not:
            return !holds(n.children[0]);
        case NodeOp::in_set:
            return n.set[static_cast<std::size_t>(value(0))] != 0;
        case NodeOp::equal:
            return value(0) == value(1);
        case NodeOp::at_least:
            return value(0) >= value(1);
        case NodeOp::at_most:
            return value(0) <= value(1);
        case NodeOp::more_than:
            return value(0) > value(1);
        default:
            return value(0) < value(1);
        }
    }

    bool covers(const Period &p) const {
        const std::vector<Condition> &all = rule(p).conditions;
        return std::all_of(all.begin(), all.end(),
                           [&](const Condition &c) { return holds(c.node); });
    }

    void combination() {
        std::vector<std::size_t> covering;
        for (std::size_t i = 0; i < periods_.size(); ++i) {
            if (covers(periods_[i]))
                covering.push_back(i);
        }
        for (std::size_t i = 0; i < covering.size(); ++i) {
            for (std::size_t k = i + 1; k < covering.size(); ++k)
                overlap(covering[i], covering[k]);
        }
        if (covering.empty() && within_the_timeline())
            hole();
    }

    // Every date that decides lies behind the first day and before the last one, if there is one.
    bool within_the_timeline() const {
        return std::all_of(periods_.begin(), periods_.end(), [&](const Period &p) {
            const double date = values_[static_cast<std::size_t>(p.by)];
            return date >= first_ && date < last_;
        });
    }

    static bool declares(const Period &a, const Period &b) {
        return std::find(a.overlaps.begin(), a.overlaps.end(), b.name) != a.overlaps.end();
    }

    void overlap(std::size_t i, std::size_t k) {
        const Period &a = periods_[i];
        const Period &b = periods_[k];
        const bool fresh = overlapping_.insert({i, k}).second;
        if (!fresh || declares(a, b) || declares(b, a))
            return;
        Diagnostic &d = diagnostics_.error("periods-overlap", b.span,
                                           "`" + a.name + "` and `" + b.name +
                                               "` both cover a job with " + told());
        d.other = a.span;
        d.other_is = "the other period";
        d.help = "where an applicant may choose, say so: `overlaps " + a.name + "`";
    }

    // The neighbours in time name the place; of two holes between the same ones the first is told.
    // The first period has begun by then, and the last one has not ended.
    void hole() {
        const Period *before = nullptr;
        const Period *after = nullptr;
        for (const Period &p : periods_) {
            const double date = values_[static_cast<std::size_t>(p.by)];
            const bool ended = p.until != 0 && p.until <= date;
            if (ended && (before == nullptr || p.until > before->until))
                before = &p;
            if (p.from > date && after == nullptr) // they stand by their first days
                after = &p;
        }
        const Period *running = nullptr; // covers the day, but not this work
        for (const Period &p : periods_) {
            const double date = values_[static_cast<std::size_t>(p.by)];
            if (p.from <= date && (p.until == 0 || date < p.until))
                running = &p;
        }
        const Period *here = running != nullptr ? running : before;
        const Period *there = after != nullptr ? after : before;
        if (!holes_.insert({here, there}).second)
            return;
        Diagnostic &d = diagnostics_.error("no-period-covers", here->span,
                                           "no period covers a job with " + told());
        if (there != nullptr) {
            d.other = there->span;
            d.other_is = there == after ? "the next period" : "the period before";
        }
        d.help = "give the work a book, or say to which code it is handed over";
    }

    std::string told() const {
        std::string out;
        for (const auto &[index, domain] : domains_) {
            const Field &f = field(index);
            out += (out.empty() ? "" : ", ") + f.name + " = " +
                   value_text(book_, f.type, values_[static_cast<std::size_t>(index)]);
        }
        return out;
    }

    void idle_declarations() {
        for (std::size_t i = 0; i < periods_.size(); ++i) {
            for (std::size_t k = 0; k < periods_.size(); ++k) {
                if (!declares(periods_[i], periods_[k]) ||
                    overlapping_.contains({std::min(i, k), std::max(i, k)}))
                    continue;
                Diagnostic &d = diagnostics_.error("never-overlap", periods_[i].span,
                                                   "`" + periods_[i].name + "` never overlaps `" +
                                                       periods_[k].name + "`");
                d.other = periods_[k].span;
                d.other_is = "the other period";
            }
        }
    }

    const Book &book_;
    const std::vector<Period> &periods_;
    Diagnostics &diagnostics_;
    Domains domains_;
    std::vector<double> values_;     // of the job's fields, for one combination
    std::vector<std::size_t> dates_; // among them, those that the periods ask for, in their order
    int first_ = never;
    int last_ = 0;
    std::set<std::pair<std::size_t, std::size_t>> overlapping_;
    std::set<std::pair<const Period *, const Period *>> holes_;
};

} // namespace

void check_coverage(const Book &book, const std::vector<Period> &periods,
                    Diagnostics &diagnostics) {
    Coverage(book, periods, diagnostics).check();
}

} // namespace groundrule::book
