// Ranges of rows, in parallel; then the rows that have to be checked on their own.
#include "columns/audit.h"

#include "columns/row_job.h"
#include "evaluate/scalar.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <thread>

namespace groundrule::columns {

namespace {

constexpr std::size_t rows_at_once = 1024;
constexpr std::size_t most_faults_told = 100;

// More verdicts than this are not read from a cache; to write them there would read them first.
constexpr std::size_t cached_bytes = 8u << 20u;

// For each row of the table the first row of a tier that belongs to it; one more at the end.
std::vector<std::int64_t> offsets_of(const Plan &plan, const Table &table, std::size_t tier) {
    std::vector<std::size_t> chain;
    for (std::size_t t = tier; t != 0; t = static_cast<std::size_t>(plan.layout.tiers[t].parent))
        chain.insert(chain.begin(), t);
    std::vector<std::int64_t> out(table.rows + 1, 0);
    for (std::size_t row = 0; row <= table.rows; ++row) {
        std::size_t at = row;
        for (const std::size_t t : chain)
            at = table.lists[t].begin(at);
        out[row] = static_cast<std::int64_t>(at);
    }
    return out;
}

} // namespace

Blocks::Block Blocks::take(std::size_t size) {
    {
        const std::lock_guard lock(mutex_);
        if (free_ && size_ >= size && size_ / 4 <= size)
            return std::move(free_);
    }
    return Block(new (std::align_val_t{line}) std::uint8_t[size]);
}

void Blocks::give_back(Block block, std::size_t size) {
    const std::lock_guard lock(mutex_);
    free_ = std::move(block);
    size_ = size;
}

std::optional<Audit> Audit::open(const book::Book &book, const program::Program &program,
                                 const ArrowSchema &schema, const AuditOptions &options,
                                 Diagnostics &diagnostics) {
    auto layout = layout_of(book, schema, options.layout, diagnostics);
    if (!layout)
        return std::nullopt;
    Audit audit;
    audit.book_ = &book;
    audit.program_ = &program;
    audit.assumptions_ = options.plan.assumptions;
    audit.plan_ = std::make_unique<Plan>(plan_for(book, program, std::move(*layout), options.plan));
    for (std::size_t i = 0; i < std::max<std::size_t>(options.threads, 1); ++i)
        audit.workers_.push_back(
            std::make_unique<Worker>(book, program, *audit.plan_,
                                     options.kernels == nullptr ? kernels() : *options.kernels));
    return audit;
}

std::optional<Outcome> Audit::batch(const ArrowArray &array, std::string &fault,
                                    const GoOn &go_on) {
    const auto table = table_of(plan_->layout, array, fault);
    if (!table)
        return std::nullopt;
    if (told_to_stop(go_on, 0, table->rows))
        return std::nullopt;
    Outcome outcome;
    outcome.rows = table->rows;
    Verdicts out;
    out.first.assign(plan_->layout.tiers.size(), 0);
    outcome.offsets.resize(plan_->layout.tiers.size());
    std::size_t widest = table->rows;
    for (std::size_t t = 1; t < outcome.offsets.size(); ++t) {
        outcome.offsets[t] = offsets_of(*plan_, *table, t);
        out.first[t] = static_cast<std::size_t>(outcome.offsets[t].front());
        widest =
            std::max(widest, static_cast<std::size_t>(outcome.offsets[t].back()) - out.first[t]);
    }
    std::vector<std::size_t> starts;
    for (const std::uint32_t r : plan_->rules) {
        const auto tier = static_cast<std::size_t>(plan_->layout.tier_of[program_->rules[r].space]);
        starts.push_back(outcome.size);
        outcome.tiers.push_back(tier);
        const std::size_t rows =
            tier == 0 ? table->rows
                      : static_cast<std::size_t>(outcome.offsets[tier].back()) - out.first[tier];
        outcome.size += (rows + Blocks::line - 1) / Blocks::line * Blocks::line;
    }
    out.past_cache = outcome.size > cached_bytes && plan_->lacks.empty(); // lacks read them
    outcome.blocks = blocks_;
    outcome.block = blocks_->take(outcome.size);
    for (const std::size_t start : starts)
        outcome.verdicts.push_back(outcome.block.get() + start);
    out.columns = outcome.verdicts;
    // Lists make ranges shorter, so that all tiers stay in cache. Ranges begin at multiples of
    // eight rows, the bits of one byte.
    const std::size_t shrink = table->rows == 0 ? 1 : (widest + table->rows - 1) / table->rows;
    const std::size_t at_once = std::max<std::size_t>(rows_at_once / shrink / 8 * 8, 8);

    LackCounts unfinished; // of a batch that did not come to its end
    for (const auto &w : workers_)
        w->take_lacks(unfinished);
    std::atomic<std::size_t> next{0};
    std::atomic<std::size_t> done{0};
    bool stopped = false;
    std::vector<std::vector<std::size_t>> alone(workers_.size());
    std::vector<std::exception_ptr> thrown(workers_.size());
    const auto work = [&](std::size_t w) {
        try {
            workers_[w]->start_table();
            for (;;) {
                const std::size_t first = next.fetch_add(at_once);
                if (first >= table->rows)
                    return;
                const std::size_t count = std::min(at_once, table->rows - first);
                const std::size_t before = alone[w].size();
                workers_[w]->run(*table, first, count, out, alone[w]);
                done += count - (alone[w].size() - before);
                if (w == 0 && told_to_stop(go_on, done, table->rows)) {
                    stopped = true;
                    next = table->rows; // for the others
                }
            }
        } catch (...) {
            thrown[w] = std::current_exception();
            next = table->rows;
        }
    };
    {
        std::vector<std::jthread> threads;
        for (std::size_t w = 1; w < workers_.size() && table->rows > at_once; ++w)
            threads.emplace_back(work, w);
        work(0);
    }
    for (const std::exception_ptr &e : thrown) {
        if (e)
            std::rethrow_exception(e);
    }
    std::vector<std::size_t> rows;
    for (const auto &list : alone)
        rows.insert(rows.end(), list.begin(), list.end());
    std::sort(rows.begin(), rows.end());
    for (const auto &w : workers_)
        w->take_lacks(outcome.lacks);
    if (stopped || !check_alone(*table, rows, out, outcome, go_on))
        return std::nullopt;
    for (auto &offsets : outcome.offsets) {
        const std::int64_t first = offsets.empty() ? 0 : offsets.front();
        for (std::int64_t &o : offsets)
            o -= first;
    }
    return outcome;
}

// False: ended.
bool Audit::check_alone(const Table &table, const std::vector<std::size_t> &rows,
                        const Verdicts &out, Outcome &outcome, const GoOn &go_on) const {
    evaluate::Workspace workspace;
    std::size_t done = table.rows - rows.size();
    for (const std::size_t row : rows) {
        if (told_to_stop(go_on, done++, table.rows))
            return false;
        std::vector<std::string> faults;
        facts::Job job = job_of(*book_, table, plan_->layout, row, faults);
        if (faults.empty()) {
            job.inherit_work();
            facts::apply_assumptions(job, assumptions_);
            evaluate::run(*program_, job, workspace);
            if (!workspace.contradictions.empty()) {
                const program::Slot &slot = program_->slots[workspace.contradictions[0].slot];
                const book::Item &item = book_->items[slot.item];
                faults.push_back(item.name + "." + item.fields[slot.field].name +
                                 ": two sources tell it differently");
            }
        }
        const bool faulty = !faults.empty();
        if (faulty && outcome.faulty++ < most_faults_told)
            outcome.faults.push_back({row, faults.front()});
        for (std::size_t k = 0; k < plan_->rules.size(); ++k) {
            const program::RuleCode &code = program_->rules[plan_->rules[k]];
            const auto tier = static_cast<std::size_t>(plan_->layout.tier_of[code.space]);
            const std::size_t first =
                tier == 0 ? row
                          : static_cast<std::size_t>(outcome.offsets[tier][row]) - out.first[tier];
            for (std::size_t i = 0; i < job.rows(code.space).size(); ++i)
                out.columns[k][first + i] =
                    faulty ? no_verdict
                           : static_cast<std::uint8_t>(evaluate::verdict(code, i, workspace));
        }
        if (!faulty && !plan_->lacks.empty())
            count_lacks(*book_, *program_, *plan_, job, workspace, outcome.lacks);
    }
    return true;
}

std::optional<facts::Job> Audit::job(const ArrowArray &array, std::size_t row,
                                     std::string &fault) const {
    const auto table = table_of(plan_->layout, array, fault);
    if (!table)
        return std::nullopt;
    if (row >= table->rows) {
        fault = "the table has fewer rows";
        return std::nullopt;
    }
    std::vector<std::string> faults;
    facts::Job job = job_of(*book_, *table, plan_->layout, row, faults);
    if (!faults.empty()) {
        fault = faults.front();
        return std::nullopt;
    }
    return job;
}

} // namespace groundrule::columns
