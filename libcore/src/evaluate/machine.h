// Runs steps of a plan.
#pragma once

#include "evaluate/dense.h"
#include "evaluate/plan.h"
#include "facts/job.h"
#include "program/program.h"

namespace groundrule::evaluate {

class Machine {
  public:
    Machine(const program::Program &program, const Dense &dense, const facts::Job &job, Plan &plan,
            Verdict *verdicts, std::uint8_t *apart)
        : program_(program), dense_(dense), job_(job), plan_(plan), values_(plan.values.data()),
          bounds_(plan.bounds.data()), truths_(plan.truths.data()), verdicts_(verdicts),
          apart_(apart) {}

    // Steps of one kind that do not read each other, or stand in order.
    void run(StepKind kind, const Step *begin, const Step *end);

    // Whether the step gave something else than before.
    bool changes(const Step &step);

  private:
    Cell value(std::uint32_t place) const { return {values_[place], bounds_[place]}; }
    void put(std::uint32_t place, const Cell &cell) {
        values_[place] = cell.value;
        bounds_[place] = cell.bound;
    }

    Cell fact_or_assumed(const Step &step) const;
    Cell work(const Step &step) const;
    Cell joined_facts(const Step &step);
    void look_up(const Step *begin, const Step *end);
    Cell next(const Step &step) const;
    Cell general(const Step &step) const;
    Cell reduced(const Step &step) const;

    const program::Program &program_;
    const Dense &dense_;
    const facts::Job &job_;
    Plan &plan_;
    double *values_;
    Bound *bounds_;
    Truth *truths_;
    Verdict *verdicts_;
    std::uint8_t *apart_;
};

} // namespace groundrule::evaluate
