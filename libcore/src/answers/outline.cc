#include "answers/outline.h"

#include <algorithm>
#include <map>

namespace groundrule::answers {

namespace {

std::int32_t item_of(const book::Book &book, const Place &list) {
    return book.items[static_cast<std::size_t>(list.item)]
        .children[static_cast<std::size_t>(list.field)];
}

// The job with an item in each of some lists, and in each of that item's lists: nothing is told of
// them but that they are new.
class Supposed {
  public:
    Supposed(const Subject &subject, const std::vector<Place> &lists)
        : book_(subject.book), lists_(lists.size()),
          job_(subject.job), subject_{subject.book, subject.program, subject.dense,
                                      job_,         subject.stage,   subject.advice},
          trial_(supposing(lists)) {}

    // For each list whether a rule may bind what was supposed in it.
    std::vector<bool> may_bind() const {
        std::vector<bool> out(lists_, false);
        for (std::size_t r = 0; r < book_.rules.size(); ++r) {
            const std::size_t first = trial_.first(r);
            for (std::size_t v = first; v < trial_.first(r + 1); ++v) {
                const auto there = added_.find(std::pair(book_.rules[r].item, v - first));
                if (there != added_.end() && trial_.counts(v) &&
                    trial_.verdicts()[v] != Verdict::not_applicable)
                    out[there->second] = true;
            }
        }
        return out;
    }

    // Whether an answer takes the rules from a list.
    bool turns_on(const Place &choice) {
        const std::vector<bool> before = may_bind();
        const auto type = static_cast<std::size_t>(field_of(book_, choice).type.choices);
        for (std::size_t value = 0; value < book_.choice_types[type].choices.size(); ++value) {
            const Setting setting{choice, exactly(static_cast<double>(value))};
            if (trial_.set(std::span(&setting, 1)) && may_bind() != before) {
                trial_.set({});
                return true;
            }
        }
        trial_.set({});
        return false;
    }

  private:
    const Subject &supposing(const std::vector<Place> &lists) {
        for (std::size_t i = 0; i < lists.size(); ++i)
            job_.set(item_of(book_, lists[i]), add(item_of(book_, lists[i]), lists[i].row, i), 0,
                     exactly(0)); // new, even where it stands in what exists
        return subject_;
    }

    std::int32_t add(std::int32_t item, std::int32_t parent, std::size_t list) { // NOLINT
        const std::int32_t row = job_.add(item, parent);
        added_[{item, static_cast<std::size_t>(row)}] = list;
        for (const std::int32_t child : book_.items[static_cast<std::size_t>(item)].children)
            add(child, row, list);
        return row;
    }

    const book::Book &book_;
    std::size_t lists_;
    facts::Job job_;
    Subject subject_;
    std::map<std::pair<std::int32_t, std::size_t>, std::size_t> added_; // item and row: for which
    Trial trial_;
};

class Outline {
  public:
    Outline(const Subject &subject, const NextOptions &skip)
        : subject_(subject), book_(subject.book), skip_(skip), rules_(book_.items.size(), 0) {
        for (const book::Rule &rule : book_.rules) {
            for (std::int32_t item = rule.item; item >= 0;
                 item = book_.items[static_cast<std::size_t>(item)].parent)
                ++rules_[static_cast<std::size_t>(item)];
        }
    }

    std::optional<Question> question() const {
        const Place work{0, 0, 0};
        if (!given(subject_.job, work).known() && !among(skip_.skipped_facts, work))
            return fact_question(subject_, work);
        return below(0, 0);
    }

  private:
    // First the choices of the item; then list by list, and what stands in one before the next one.
    std::optional<Question> below(std::int32_t item, std::int32_t row) const { // NOLINT
        const std::vector<Place> lists = lists_of(item, row);
        std::vector<Place> open;
        std::copy_if(lists.begin(), lists.end(), std::back_inserter(open),
                     [&](const Place &list) { return is_open(list); });
        if (!open.empty()) {
            Supposed supposed(subject_, open);
            if (auto choice = choice_of(item, row, supposed))
                return choice;
            const std::vector<bool> binding = supposed.may_bind();
            for (std::size_t i = open.size(); i-- > 0;) {
                if (!binding[i])
                    open.erase(open.begin() + static_cast<std::ptrdiff_t>(i));
            }
        }
        for (const Place &list : lists) {
            if (among(open, list))
                return list_question(subject_, list);
            const std::int32_t child = item_of(book_, list);
            const facts::Rows &rows = subject_.job.rows(child);
            for (std::size_t r = 0; r < rows.size(); ++r) {
                if (rows.parent[r] != row)
                    continue;
                if (auto inside = below(child, static_cast<std::int32_t>(r)))
                    return inside;
            }
        }
        return std::nullopt;
    }

    // Those first of whose items most rules speak.
    std::vector<Place> lists_of(std::int32_t item, std::int32_t row) const {
        std::vector<Place> out;
        const std::size_t count = book_.items[static_cast<std::size_t>(item)].children.size();
        for (std::size_t child = 0; child < count; ++child) {
            out.push_back({item, row, static_cast<std::int32_t>(child)});
        }
        std::stable_sort(out.begin(), out.end(), [&](const Place &a, const Place &b) {
            return rules_[static_cast<std::size_t>(item_of(book_, a))] >
                   rules_[static_cast<std::size_t>(item_of(book_, b))];
        });
        return out;
    }

    bool is_open(const Place &list) const {
        const facts::Rows &rows = subject_.job.rows(list.item);
        const auto child = static_cast<std::size_t>(list.field);
        const auto row = static_cast<std::size_t>(list.row);
        return rows.whole[child][row] == 0 && rows.counts[child][row] == 0 &&
               !among(skip_.skipped_lists, list) &&
               rules_[static_cast<std::size_t>(item_of(book_, list))] != 0;
    }

    std::optional<Question> choice_of(std::int32_t item, std::int32_t row,
                                      Supposed &supposed) const {
        const std::vector<book::Field> &fields = book_.items[static_cast<std::size_t>(item)].fields;
        for (std::size_t f = 1; f < fields.size(); ++f) {
            const Place at{item, row, static_cast<std::int32_t>(f)};
            if (fields[f].kind == book::FieldKind::choice &&
                fields[f].type.kind == ValueKind::choice && !given(subject_.job, at).known() &&
                !among(skip_.skipped_facts, at) && supposed.turns_on(at))
                return fact_question(subject_, at);
        }
        return std::nullopt;
    }

    const Subject &subject_;
    const book::Book &book_;
    const NextOptions &skip_;
    std::vector<std::size_t> rules_; // of each item, and of what stands in it
};

} // namespace

std::optional<Question> outline_question(const Subject &subject, const NextOptions &skip) {
    return Outline(subject, skip).question();
}

} // namespace groundrule::answers
