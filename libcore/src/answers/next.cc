// Candidates are what a trace of the open verdicts names; trials then tell what each decides, and
// whether it can decide anything.
#include "answers/next.h"

#include "answers/samples.h"
#include "evaluate/scalar.h"
#include "evaluate/trace.h"
#include "facts/value_reader.h"
#include "quantity/literal.h"

#include <algorithm>

namespace groundrule::answers {

namespace {

using evaluate::Lack;

constexpr std::size_t scored_values = 6; // of a quantity, for the mean
constexpr std::size_t walked_values = 24;

bool among(const std::vector<Place> &places, const Place &at) {
    return std::any_of(places.begin(), places.end(),
                       [&](const Place &p) { return same_place(p, at); });
}

class Asker {
  public:
    Asker(const Subject &subject, const NextOptions &options)
        : subject_(subject), book_(subject.book), options_(options), trial_(subject),
          samples_(subject.book), before_(trial_.verdicts().begin(), trial_.verdicts().end()) {}

    Next ask() {
        for (std::size_t v = 0; v < before_.size(); ++v) {
            if (trial_.counts(v) && before_[v] == Verdict::undetermined)
                open_.push_back(v);
        }
        out_.open = open_.size();
        collect();
        for (Question &q : found_)
            score(q);
        for (Question &q : found_)
            q.proven = q.decides > 0 || walk(q, options_.tries);
        // At the end a longer look costs little, and nothing is to be left out.
        const bool end =
            std::none_of(found_.begin(), found_.end(), [](const Question &q) { return q.proven; });
        for (std::size_t i = 0; end && i < found_.size(); ++i)
            found_[i].proven = walk(found_[i], options_.tries * 16);
        drop_idle();
        sort();
        out_.tried = trial_.updates();
        return std::move(out_);
    }

  private:
    // --- candidates

    void collect() {
        evaluate::Workspace cells;
        evaluate::run(subject_.program, subject_.job, cells);
        evaluate::Trace trace(book_, subject_.program, subject_.job, cells);
        for (const std::size_t v : open_) {
            const program::RuleCode &code = subject_.program.rules[trial_.rule_of(v)];
            const std::size_t row = trial_.row_of(v);
            std::vector<Lack> lacks = trace.lacks(code.applies, row);
            for (Lack &l : trace.lacks(code.met, row))
                lacks.push_back(std::move(l));
            Remaining rest{v, {}};
            bool asked = false;
            for (const Lack &l : lacks)
                asked = take(l, v, rest) || asked;
            if (!asked && rest.reasons.empty())
                reason(rest, "the rule has no value here");
            if (!asked)
                out_.remaining.push_back(std::move(rest));
        }
    }

    // While something is proven, nothing else is asked.
    void drop_idle() {
        const bool some =
            std::any_of(found_.begin(), found_.end(), [](const Question &q) { return q.proven; });
        std::erase_if(found_, [&](const Question &q) { return some && !q.proven; });
    }

    // False if there is nothing to ask for.
    bool take(const Lack &l, std::size_t verdict, Remaining &rest) {
        switch (l.kind) {
        case Lack::Kind::fact: {
            bool asked = take_fact(l.slot, l.row, verdict, rest);
            for (const auto &[slot, row] : l.instead)
                asked = take_fact(slot, row, verdict, rest) || asked;
            return asked;
        }
        case Lack::Kind::list:
            return take_list(l, verdict, rest);
        case Lack::Kind::not_encoded:
            reason(rest, "an exception or alternative that the code has here is not written out");
            return false;
        default:
            reason(rest, l.text);
            return false;
        }
    }

    static void reason(Remaining &rest, const std::string &text) {
        if (std::find(rest.reasons.begin(), rest.reasons.end(), text) == rest.reasons.end())
            rest.reasons.push_back(text);
    }

    bool take_fact(std::uint32_t slot, std::uint32_t row, std::size_t verdict, Remaining &rest) {
        const program::Slot &s = subject_.program.slots[slot];
        const Place at{s.item, static_cast<std::int32_t>(row), s.field};
        if (given(subject_.job, at).known())
            return false;
        if (among(options_.skipped_facts, at)) {
            reason(rest, fact_name(book_, at) + " was left open");
            return false;
        }
        note(false, at, verdict);
        return true;
    }

    bool take_list(const Lack &l, std::size_t verdict, Remaining &rest) {
        const std::vector<std::int32_t> &children = book_.items[l.space].children;
        const auto place = static_cast<std::int32_t>(
            std::find(children.begin(), children.end(), static_cast<std::int32_t>(l.child)) -
            children.begin());
        const Place at{l.space, static_cast<std::int32_t>(l.row), place};
        if (among(options_.skipped_lists, at)) {
            reason(rest,
                   book_.items[l.space].name + "." + book_.items[l.child].list + " was left open");
            return false;
        }
        note(true, at, verdict);
        return true;
    }

    void note(bool list, const Place &at, std::size_t verdict) {
        const auto there = std::find_if(found_.begin(), found_.end(), [&](const Question &q) {
            return q.list == list && same_place(q.at, at);
        });
        if (there != found_.end()) {
            if (there->waiting.back() != verdict)
                there->waiting.push_back(verdict);
            return;
        }
        Question q;
        q.list = list;
        q.at = at;
        q.waiting.push_back(verdict);
        describe(q);
        found_.push_back(std::move(q));
    }

    void describe(Question &q) const {
        const book::Item &item = book_.items[static_cast<std::size_t>(q.at.item)];
        q.missing.item =
            report::path_of(subject_.job, q.at.item, static_cast<std::size_t>(q.at.row));
        if (q.list) {
            const book::Item &child = book_.items[static_cast<std::size_t>(
                item.children[static_cast<std::size_t>(q.at.field)])];
            q.missing.fact = item.name + "." + child.list;
            q.missing.kind = "list";
            const std::size_t told =
                subject_.job.rows(q.at.item).counts[static_cast<std::size_t>(q.at.field)]
                                                   [static_cast<std::size_t>(q.at.row)];
            q.missing.question = "How many" + std::string(told == 0 ? "" : " more") + " " +
                                 child.list + " has this " + item.name +
                                 (told == 0 ? "" : ", besides those told") + "? (" + child.title +
                                 ")";
            return;
        }
        const book::Field &field = field_of(book_, q.at);
        q.missing.fact = item.name + "." + field.name;
        q.missing.kind = report::field_kind_name(field.kind);
        q.missing.question = field.question;
        if (field.type.kind == ValueKind::choice)
            q.missing.choices =
                &book_.choice_types[static_cast<std::size_t>(field.type.choices)].choices;
        if (field.type.is_quantity() && !field.type.dimension.is_number())
            q.unit = units_of(field.type.dimension);
    }

    // --- trials

    std::vector<double> values(const Question &q, std::size_t most) const {
        return samples_.of(field_of(book_, q.at).type, most);
    }

    void score(Question &q) {
        if (q.list) {
            facts::Job whole = subject_.job;
            whole.mark_complete(q.at.item, q.at.row, q.at.field, true);
            evaluate::run(subject_.program, whole, workspace_);
            for (const std::size_t v : q.waiting)
                q.decides += decided(v) ? 1 : 0;
            return;
        }
        std::size_t tried = 0;
        std::size_t sum = 0;
        for (const double value : values(q, scored_values)) {
            const Setting setting{q.at, exactly(value)};
            if (!trial_.set(std::span(&setting, 1)))
                continue; // it contradicts what is told
            ++tried;
            for (const std::size_t v : q.waiting)
                sum += trial_.verdicts()[v] != Verdict::undetermined ? 1 : 0;
        }
        q.decides = tried == 0 ? 0 : static_cast<double>(sum) / static_cast<double>(tried);
    }

    bool decided(std::size_t v) const {
        return evaluate::verdict(subject_.program.rules[trial_.rule_of(v)], trial_.row_of(v),
                                 workspace_) != Verdict::undetermined;
    }

    // Tells other things that the same findings lack, one after the other, as long as the finding
    // stays open; then the fact in question, with each of its values.
    bool walk(const Question &q, std::size_t tries) {
        if (q.list)
            return walk_list(q, tries);
        const std::vector<double> own = values(q, walked_values);
        for (std::size_t t = 0; t < tries; ++t) {
            const std::size_t verdict = q.waiting[t % q.waiting.size()];
            if (!tell_others(q, verdict))
                continue;
            for (const double value : own) {
                trial_.set_more({q.at, exactly(value)});
                if (trial_.update() && trial_.verdicts()[verdict] != Verdict::undetermined)
                    return true;
            }
        }
        return false;
    }

    // False if the job no longer leaves the verdict open.
    bool tell_others(const Question &q, std::size_t verdict) {
        trial_.set({});
        std::vector<const Question *> others;
        for (const Question &other : found_) {
            if (&other != &q && !other.list &&
                std::find(other.waiting.begin(), other.waiting.end(), verdict) !=
                    other.waiting.end())
                others.push_back(&other);
        }
        for (std::size_t i = others.size(); i > 1; --i)
            std::swap(others[i - 1], others[below(i)]);
        for (const Question *other : others) {
            if (below(4) == 0)
                continue; // it stays unknown
            const std::vector<double> pool = values(*other, walked_values);
            for (std::size_t attempt = 0; attempt < 3; ++attempt) {
                trial_.set_more({other->at, exactly(pool[below(pool.size())])});
                if (trial_.update() && trial_.verdicts()[verdict] == Verdict::undetermined)
                    break;
                trial_.set_more({other->at, {}});
            }
        }
        return trial_.update() && trial_.verdicts()[verdict] == Verdict::undetermined;
    }

    bool walk_list(const Question &q, std::size_t tries) {
        for (std::size_t t = 0; t < tries; ++t) {
            const std::size_t verdict = q.waiting[t % q.waiting.size()];
            if (!tell_others(q, verdict))
                continue;
            facts::Job whole = trial_.job();
            whole.mark_complete(q.at.item, q.at.row, q.at.field, true);
            evaluate::run(subject_.program, whole, workspace_);
            if (workspace_.contradictions.empty() && decided(verdict))
                return true;
        }
        return false;
    }

    // The same numbers on every machine.
    std::size_t below(std::size_t n) {
        state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
        return static_cast<std::size_t>(state_ >> 33U) % n;
    }

    // --- order

    void sort() {
        std::stable_sort(found_.begin(), found_.end(), [](const Question &a, const Question &b) {
            if (a.proven != b.proven)
                return a.proven;
            if (a.decides != b.decides)
                return a.decides > b.decides;
            return a.waiting.size() > b.waiting.size();
        });
        for (Question &q : found_) {
            const bool apart = q.missing.kind == "judgement" || q.missing.kind == "authority";
            (apart ? out_.apart : out_.questions).push_back(std::move(q));
        }
        std::stable_partition(out_.apart.begin(), out_.apart.end(),
                              [](const Question &q) { return q.missing.kind == "judgement"; });
    }

    const Subject &subject_;
    const book::Book &book_;
    const NextOptions &options_;
    Trial trial_;
    Samples samples_;
    std::vector<Verdict> before_;
    std::vector<std::size_t> open_;
    std::vector<Question> found_;
    evaluate::Workspace workspace_;
    std::uint64_t state_ = 1;
    Next out_;
};

} // namespace

Next next_questions(const Subject &subject, const NextOptions &options) {
    return Asker(subject, options).ask();
}

} // namespace groundrule::answers
