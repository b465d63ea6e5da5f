// One book over many rows: a table layout, the plan made for it, and a worker for each thread.
#pragma once

#include "columns/plan.h"
#include "columns/worker.h"
#include "text/progress.h"

#include <memory>
#include <mutex>
#include <new>
#include <string>
#include <vector>

namespace groundrule::columns {

// A verdict for rows whose sources differ or whose values can't be: none.
inline constexpr std::uint8_t no_verdict = 4;

struct RowFault {
    std::size_t row = 0; // of the batch
    std::string message;
};

// Memory for verdicts, used again once an outcome is gone: fresh pages cost more than the verdicts.
class Blocks {
  public:
    // Columns of verdicts begin at multiples of this.
    static constexpr std::size_t line = 64;
    struct Free {
        void operator()(std::uint8_t *p) const { ::operator delete[](p, std::align_val_t{line}); }
    };
    using Block = std::unique_ptr<std::uint8_t[], Free>;
    Block take(std::size_t size);
    void give_back(Block block, std::size_t size);

  private:
    std::mutex mutex_;
    Block free_;
    std::size_t size_ = 0;
};

struct Outcome {
    Outcome() = default;
    Outcome(Outcome &&) = default;
    Outcome &operator=(Outcome &&) = default;
    Outcome(const Outcome &) = delete;
    Outcome &operator=(const Outcome &) = delete;
    ~Outcome() {
        if (blocks && block)
            blocks->give_back(std::move(block), size);
    }

    std::size_t rows = 0;
    std::vector<std::uint8_t *> verdicts; // of each rule of the plan, one a row of its tier
    std::vector<std::size_t> tiers;       // of each rule
    std::shared_ptr<Blocks> blocks;
    Blocks::Block block; // holds the verdicts
    std::size_t size = 0;
    std::vector<std::vector<std::int64_t>>
        offsets;                  // of each tier but the first: by row of the table
    std::vector<RowFault> faults; // the first ones
    std::size_t faulty = 0;       // how many rows are
    LackCounts lacks;             // if asked for
};

struct AuditOptions {
    LayoutOptions layout;
    PlanOptions plan;
    std::size_t threads = 1;
    const Kernels *kernels = nullptr; // null: those for this machine
};

class Audit {
  public:
    // Nothing if the schema does not fit the book.
    static std::optional<Audit> open(const book::Book &book, const program::Program &program,
                                     const ArrowSchema &schema, const AuditOptions &options,
                                     Diagnostics &diagnostics);

    // Nothing, and `fault`, if the arrays are not what the schema promised. Verdicts don't depend
    // on the number of threads. One call at a time. `go_on` is told of rows; once it ends the batch
    // there is nothing, and no fault.
    std::optional<Outcome> batch(const ArrowArray &array, std::string &fault,
                                 const GoOn &go_on = {});

    // One row as a job, with the assumptions made; for explanations.
    std::optional<facts::Job> job(const ArrowArray &array, std::size_t row,
                                  std::string &fault) const;

    const Plan &plan() const { return *plan_; }

  private:
    Audit() = default;
    bool check_alone(const Table &table, const std::vector<std::size_t> &rows, const Verdicts &out,
                     Outcome &outcome, const GoOn &go_on) const;

    const book::Book *book_ = nullptr;
    const program::Program *program_ = nullptr;
    std::vector<facts::Assumption> assumptions_;
    std::unique_ptr<Plan> plan_;
    std::shared_ptr<Blocks> blocks_ = std::make_shared<Blocks>();
    std::vector<std::unique_ptr<Worker>> workers_;
};

} // namespace groundrule::columns
