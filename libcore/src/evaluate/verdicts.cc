// Decides how much to run again.
#include "evaluate/verdicts.h"

#include "evaluate/machine.h"
#include "evaluate/scalar.h"

#include <algorithm>
#include <bit>

namespace groundrule::evaluate {

namespace {

// A step that is run for itself costs several times one of a stretch, and a fact has many steps
// behind it: beyond this share of the facts it is quicker to run all.
constexpr std::size_t facts_per_change = 8;

} // namespace

bool Verdicts::same_shape(const facts::Job &job) const {
    if (shape_.size() != job.item_count())
        return false;
    for (std::size_t item = 0; item < shape_.size(); ++item) {
        if (shape_[item] != job.rows(static_cast<std::int32_t>(item)).parent)
            return false;
    }
    return true;
}

void Verdicts::lay_out(const program::Program &program, const facts::Job &job) {
    shape_.clear();
    for (std::size_t item = 0; item < job.item_count(); ++item)
        shape_.push_back(job.rows(static_cast<std::int32_t>(item)).parent);
    plan_ = plan(program, job);
    first_.assign(1, 0);
    for (const program::RuleCode &rule : program.rules)
        first_.push_back(first_.back() + static_cast<std::uint32_t>(job.rows(rule.space).size()));
    verdicts_.assign(first_.back(), Verdict::undetermined);
    dirty_.assign(plan_ ? plan_->steps.size() / 64 + 1 : 0, 0);
    apart_.assign(plan_ ? plan_->join_count : 0, 0);
}

void Verdicts::by_rows(const program::Program &program, const facts::Job &job) {
    facts::Job whole = job;
    whole.inherit_work();
    run(program, whole, workspace_);
    auto out = verdicts_.begin();
    for (const program::RuleCode &rule : program.rules) {
        for (std::size_t row = 0; row < job.rows(rule.space).size(); ++row)
            *out++ = verdict(rule, row, workspace_);
    }
}

// Marks the steps of changed facts; false if all are to be run.
bool Verdicts::mark(const facts::Job &job) {
    if (!job.few_changes() || job.changes().size() * facts_per_change > plan_->fact_count)
        return false;
    for (const facts::Change &p : job.changes()) {
        if (p.field == 0) // the items below inherit it
            return false;
    }
    for (const facts::Change &p : job.changes()) {
        const std::uint32_t step =
            plan_->facts[static_cast<std::size_t>(p.item)][static_cast<std::size_t>(p.field)]
                        [static_cast<std::size_t>(p.row)];
        if (step != Plan::none)
            dirty_[step / 64] |= std::uint64_t{1} << (step % 64);
    }
    return true;
}

Verdicts::Outcome Verdicts::update(const program::Program &program, const Dense &dense,
                                   facts::Job &job) {
    const bool fresh = shape_.empty() || (!job.few_changes() && !same_shape(job));
    if (fresh)
        lay_out(program, job);
    if (!plan_) {
        by_rows(program, job);
        job.settle();
        return workspace_.contradictions.empty() ? Outcome::told : Outcome::contradicted;
    }
    Machine machine(program, dense, job, *plan_, verdicts_.data(), apart_.data());
    const Step *steps = plan_->steps.data();
    if (fresh || !mark(job)) {
        std::uint32_t begin = 0;
        for (const Stretch &s : plan_->stretches) {
            machine.run(s.kind, steps + begin, steps + s.end);
            begin = s.end;
        }
        steps_run_ = plan_->steps.size();
    } else {
        steps_run_ = 0;
        for (std::size_t word = 0; word < dirty_.size(); ++word) {
            while (dirty_[word] != 0) {
                const auto i = word * 64 + static_cast<std::size_t>(std::countr_zero(dirty_[word]));
                dirty_[word] &= dirty_[word] - 1;
                ++steps_run_;
                if (!machine.changes(steps[i]))
                    continue;
                for (std::uint32_t u = plan_->first_user[i]; u < plan_->first_user[i + 1]; ++u)
                    dirty_[plan_->users[u] / 64] |= std::uint64_t{1} << (plan_->users[u] % 64);
            }
        }
    }
    job.settle();
    const bool apart = std::any_of(apart_.begin(), apart_.end(), [](auto a) { return a != 0; });
    return apart ? Outcome::contradicted : Outcome::told;
}

} // namespace groundrule::evaluate
