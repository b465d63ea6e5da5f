// The changes that a book offers for a job, each with all that it sets.
#include "answers/remedy.h"

#include "evaluate/scalar.h"

#include <algorithm>

namespace groundrule::answers {

namespace {

class Offers {
  public:
    Offers(const Subject &subject, const std::vector<Place> &open)
        : subject_(subject), book_(subject.book), job_(subject.job), open_(open) {
        evaluate::run(subject.program, job_, before_);
    }

    std::vector<Change> all() {
        for (std::size_t r = 0; r < book_.remedies.size(); ++r) {
            const book::Remedy &remedy = book_.remedies[r];
            for (std::size_t row = 0; row < job_.rows(remedy.item).size(); ++row)
                offer(r, remedy, static_cast<std::int32_t>(row));
        }
        return std::move(out_);
    }

  private:
    const Cell &joined(const evaluate::Workspace &cells, const Place &at) const {
        return cells.cell(subject_.program.slots[field_of(book_, at).slot].value,
                          static_cast<std::size_t>(at.row));
    }

    bool tells(std::int32_t item, std::int32_t row, std::int32_t field) const {
        return given(job_, {item, row, field}).known();
    }

    bool is_offered(const book::Remedy &r, std::int32_t row) const {
        const Place at{r.item, row, r.field};
        if (!open_.empty())
            return std::any_of(open_.begin(), open_.end(),
                               [&](const Place &o) { return same_place(o, at); });
        return tells(r.item, row, r.field) ||
               std::any_of(r.also.begin(), r.also.end(),
                           [&](const auto &f) { return tells(r.item, row, f.first); }) ||
               std::any_of(r.without.begin(), r.without.end(),
                           [&](std::int32_t f) { return tells(r.item, row, f); });
    }

    void offer(std::size_t index, const book::Remedy &r, std::int32_t row) {
        if (!is_offered(r, row))
            return;
        const Place at{r.item, row, r.field};
        const book::Type &type = field_of(book_, at).type;
        const double scale = scale_of(type);
        const Cell now = joined(before_, at);
        for (std::size_t i = 0; i < r.values.size(); ++i) {
            if (now.exact() && on_grid(now.value, scale) == on_grid(r.values[i], scale))
                continue;
            Change c;
            c.remedy = index;
            c.at = at;
            c.before = now;
            c.value = r.values[i];
            c.steps = steps(r, type, now, i);
            if (effects(r, row, c))
                out_.push_back(std::move(c));
        }
    }

    // From the value that stands now, in the order of the remedy; from a value that is not in it,
    // by size if there is one.
    static std::int32_t steps(const book::Remedy &r, const book::Type &type, const Cell &now,
                              std::size_t to) {
        const double scale = scale_of(type);
        const auto same = [&](double v) {
            return now.exact() && on_grid(v, scale) == on_grid(now.value, scale);
        };
        const auto there = std::find_if(r.values.begin(), r.values.end(), same);
        const auto at = static_cast<std::int32_t>(to);
        if (there != r.values.end())
            return at - static_cast<std::int32_t>(there - r.values.begin());
        if (!now.exact() || type.is_truth() || type.kind == ValueKind::choice)
            return at + 1;
        const double value = r.values[to];
        const double low = std::min(now.value, value);
        const double high = std::max(now.value, value);
        const auto between = static_cast<std::int32_t>(std::count_if(
            r.values.begin(), r.values.end(), [&](double v) { return v >= low && v <= high; }));
        return value > now.value ? between : -between;
    }

    void set(Change &c, const Place &at, const Cell &value) const {
        for (Setting &s : c.settings) {
            if (same_place(s.at, at)) {
                s.value = value;
                return;
            }
        }
        c.settings.push_back({at, value});
    }

    // What facts that are taken back implied, and what is to stay.
    void keep(Change &c, std::int32_t item, std::int32_t row,
              const std::vector<std::int32_t> &fields) const {
        for (const std::int32_t f : fields) {
            const Place at{item, row, f};
            const Cell &cell = joined(before_, at);
            if (!given(job_, at).known() && cell.exact())
                set(c, at, cell);
        }
    }

    // False if the change by itself makes the job contradict itself.
    bool effects(const book::Remedy &r, std::int32_t row, Change &c) {
        set(c, c.at, exactly(c.value));
        for (const auto &[field, value] : r.also)
            set(c, {r.item, row, field}, exactly(value));
        for (const std::int32_t f : r.without)
            set(c, {r.item, row, f}, {});
        keep(c, r.item, row, r.keeps);
        facts::Job changed = job_;
        apply(changed, c);
        if (!r.carried.empty()) {
            evaluate::run(subject_.program, changed, after_);
            for (const book::Remedy::Carried &carried : r.carried)
                carry(r, row, carried, c);
            apply(changed, c);
        }
        evaluate::run(subject_.program, changed, after_);
        return after_.contradictions.empty();
    }

    static void apply(facts::Job &job, const Change &c) {
        for (const Setting &s : c.settings)
            job.set(s.at.item, s.at.row, s.at.field, s.value);
    }

    void carry(const book::Remedy &r, std::int32_t row, const book::Remedy::Carried &carried,
               Change &c) const {
        const Place with{r.item, row, carried.with};
        const Cell &old = joined(before_, with);
        const Cell next = joined(after_, with);
        for (std::size_t other = 0; other < job_.rows(carried.item).size(); ++other) {
            const Place at{carried.item, static_cast<std::int32_t>(other), carried.field};
            if (!says_the_same(old, at) || !together(r.item, row, at))
                continue;
            set(c, at, next.exact() ? next : Cell{});
            if (!next.exact())
                keep(c, at.item, at.row, carried.keeps);
        }
    }

    // What is to be chosen is chosen for all who would be told the same.
    bool says_the_same(const Cell &old, const Place &at) const {
        const Cell &told = given(job_, at);
        if (!old.known())
            return !open_.empty() && !joined(before_, at).known();
        const double scale = scale_of(field_of(book_, at).type);
        return old.exact() && told.exact() &&
               on_grid(told.value, scale) == on_grid(old.value, scale);
    }

    // Whether two rows stand below the same row of the lowest item that is above both.
    bool together(std::int32_t item, std::int32_t row, const Place &at) const {
        std::int32_t other = at.item;
        std::int32_t other_row = at.row;
        const auto up = [&](std::int32_t &i, std::int32_t &r) {
            r = job_.rows(i).parent[static_cast<std::size_t>(r)];
            i = book_.items[static_cast<std::size_t>(i)].parent;
        };
        while (!is_above_or_same(book_, item, other))
            up(item, row);
        while (other != item)
            up(other, other_row);
        return row == other_row;
    }

    const Subject &subject_;
    const book::Book &book_;
    const facts::Job &job_;
    const std::vector<Place> &open_;
    evaluate::Workspace before_;
    evaluate::Workspace after_;
    std::vector<Change> out_;
};

} // namespace

std::vector<Change> offered(const Subject &subject, const std::vector<Place> &open) {
    return Offers(subject, open).all();
}

facts::Job remedied(const Subject &subject, const Remedies &remedies, const Remedy &remedy) {
    facts::Job job = subject.job;
    for (const std::size_t c : remedy.changes) {
        for (const Setting &s : remedies.offered[c].settings)
            job.set(s.at.item, s.at.row, s.at.field, s.value);
    }
    return job;
}

} // namespace groundrule::answers
