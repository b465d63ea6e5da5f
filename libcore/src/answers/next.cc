// Candidates are what a trace of the open verdicts names; trials then tell what each decides, and
// whether it can decide anything.
#include "answers/next.h"

#include "answers/need.h"
#include "evaluate/scalar.h"
#include "evaluate/trace.h"

#include <algorithm>
#include <map>

namespace groundrule::answers {

namespace {

using evaluate::Lack;

constexpr std::size_t scored_values = 6; // of a quantity, for the mean

class Asker {
  public:
    Asker(const Subject &subject, const NextOptions &options)
        : subject_(subject), book_(subject.book), options_(options), trial_(subject),
          samples_(subject.book), need_(subject, trial_, samples_, options.skipped_lists),
          before_(trial_.verdicts().begin(), trial_.verdicts().end()) {}

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
            q.proven = q.decides > 0 || need_.walk(q, found_, options_.tries);
        if (std::any_of(found_.begin(), found_.end(), [](const Question &q) { return q.proven; }))
            std::erase_if(found_, [](const Question &q) { return !q.proven; });
        else
            look_longer();
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
            if (asked)
                other_reasons_[v] = std::move(rest.reasons);
            else
                out_.remaining.push_back(std::move(rest));
        }
    }

    // At the end, since nothing is to be left out: what remains is proven, or idle, or marked as
    // neither.
    void look_longer() {
        std::vector<Question> idle;
        for (Question &q : found_) {
            const Need::Outcome outcome = need_.exhaust(q, options_.combinations);
            q.proven =
                outcome == Need::Outcome::decides ||
                (outcome == Need::Outcome::too_many && need_.walk(q, found_, options_.tries * 16));
            if (outcome == Need::Outcome::idle)
                idle.push_back(q);
        }
        std::erase_if(found_, [&](const Question &q) {
            return std::any_of(idle.begin(), idle.end(), [&](const Question &other) {
                return !q.list && same_place(other.at, q.at); // no list is found idle
            });
        });
        for (const std::size_t v : open_)
            name_idle(v, idle);
    }

    // A verdict that waits for nothing but what was found idle stays open for that reason.
    void name_idle(std::size_t verdict, const std::vector<Question> &idle) {
        const auto waits = [&](const Question &q) {
            return std::find(q.waiting.begin(), q.waiting.end(), verdict) != q.waiting.end();
        };
        if (std::any_of(found_.begin(), found_.end(), waits))
            return;
        Remaining rest{verdict, {}};
        for (const Question &q : idle) {
            if (waits(q))
                reason(rest, "no answer to " + q.missing.fact + " was found that decides it");
        }
        if (rest.reasons.empty())
            return; // it is told already
        for (const std::string &other : other_reasons_[verdict])
            reason(rest, other);
        out_.remaining.push_back(std::move(rest));
    }

    // False if there is nothing to ask for.
    bool take(const Lack &l, std::size_t verdict, Remaining &rest) {
        switch (l.kind) {
        case Lack::Kind::fact: {
            bool asked = take_fact(l.slot, l.row, verdict, rest);
            for (const auto &[slot, row] : l.instead) {
                if (!take_fact(slot, row, verdict, rest))
                    continue;
                asked = true;
                Question &source = *find(false, place_of(slot, row));
                if (!among(source.implies, place_of(l.slot, l.row)))
                    source.implies.push_back(place_of(l.slot, l.row));
            }
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

    Place place_of(std::uint32_t slot, std::uint32_t row) const {
        const program::Slot &s = subject_.program.slots[slot];
        return where_told({s.item, static_cast<std::int32_t>(row), s.field});
    }

    std::vector<Question>::iterator find(bool list, const Place &at) {
        return std::find_if(found_.begin(), found_.end(), [&](const Question &q) {
            return q.list == list && same_place(q.at, at);
        });
    }

    bool take_fact(std::uint32_t slot, std::uint32_t row, std::size_t verdict, Remaining &rest) {
        const Place at = place_of(slot, row);
        if (among(options_.skipped_facts, at)) {
            reason(rest, fact_name(book_, at) + " was left open");
            return false;
        }
        note(false, at, verdict);
        return true;
    }

    bool take_list(const Lack &l, std::size_t verdict, Remaining &rest) {
        const Place at = list_place(book_, l.space, static_cast<std::int32_t>(l.row), l.child);
        if (among(options_.skipped_lists, at)) {
            reason(rest,
                   book_.items[l.space].name + "." + book_.items[l.child].list + " was left open");
            return false;
        }
        note(true, at, verdict);
        return true;
    }

    void note(bool list, const Place &at, std::size_t verdict) {
        const auto there = find(list, at);
        if (there != found_.end()) {
            if (there->waiting.back() != verdict)
                there->waiting.push_back(verdict);
            return;
        }
        Question q = list ? list_question(subject_, at) : fact_question(subject_, at);
        q.waiting.push_back(verdict);
        found_.push_back(std::move(q));
    }

    // --- trials

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
        for (const double value : samples_.of(field_of(book_, q.at).type, scored_values)) {
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

    // --- order

    void sort() {
        std::stable_sort(found_.begin(), found_.end(), [](const Question &a, const Question &b) {
            if (a.proven != b.proven)
                return a.proven;
            if (worth(a) != worth(b))
                return worth(a) > worth(b);
            // What says several things at once, such as the words on a cable's sheath.
            if (a.implies.size() != b.implies.size())
                return a.implies.size() > b.implies.size();
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
    Need need_;
    std::vector<Verdict> before_;
    std::vector<std::size_t> open_;
    std::vector<Question> found_;
    std::map<std::size_t, std::vector<std::string>> other_reasons_; // of what waits for facts too
    evaluate::Workspace workspace_;
    Next out_;
};

} // namespace

Next next_questions(const Subject &subject, const NextOptions &options) {
    return Asker(subject, options).ask();
}

} // namespace groundrule::answers
