// Verdicts of one job and nothing else: laid out once for a shape of job, and computed again only
// as far as facts changed. They are those of the scalar evaluator.
#pragma once

#include "evaluate/dense.h"
#include "evaluate/plan.h"
#include "evaluate/workspace.h"

#include <span>

namespace groundrule::evaluate {

class Verdicts {
  public:
    enum class Outcome : std::uint8_t { told, contradicted };

    // Settles the changes of the job. Once warm it allocates nothing, until the shape of the job
    // changes. The program and its dense tables are the same at every call.
    Outcome update(const program::Program &program, const Dense &dense, facts::Job &job);

    // Rule by rule; of each rule a verdict a row of its item.
    std::span<const Verdict> all() const { return verdicts_; }
    // Where those of a rule begin; of the number of rules: the number of all.
    std::size_t first(std::size_t rule) const { return first_[rule]; }
    // What was laid out for the job's shape, for who asks what depends on what; none of a job that
    // is too large.
    const std::optional<Plan> &laid_out() const { return plan_; }
    // How many steps the last update ran.
    std::size_t steps_run() const { return steps_run_; }

  private:
    bool same_shape(const facts::Job &job) const;
    void lay_out(const program::Program &program, const facts::Job &job);
    void by_rows(const program::Program &program, const facts::Job &job);
    bool mark(const facts::Job &job);

    std::optional<Plan> plan_; // none: the job is too large, or nothing was laid out yet
    std::vector<std::vector<std::int32_t>> shape_; // parents, by item type
    std::vector<Verdict> verdicts_;
    std::vector<std::uint32_t> first_;
    std::vector<std::uint64_t> dirty_; // a bit a step
    std::vector<std::uint8_t> apart_;  // of each join
    std::size_t steps_run_ = 0;
    Workspace workspace_; // of a job that is too large
};

} // namespace groundrule::evaluate
