// Buffers, and the steps that are no kernels.
#include "columns/worker.h"

#include "evaluate/operate.h"
#include "evaluate/operators.h"
#include "evaluate/reduce.h"

#include <algorithm>
#include <atomic>
#include <cstring>
#include <limits>
#include <new>

namespace groundrule::columns {

namespace {

constexpr std::size_t line = 64;
constexpr double nan = std::numeric_limits<double>::quiet_NaN();

std::size_t in_lines(std::size_t bytes) {
    return (bytes + line - 1) / line * line;
}

bool any_set(const std::uint8_t *marks, std::size_t count) {
    std::uint8_t all = 0;
    for (std::size_t i = 0; i < count; ++i)
        all |= marks[i];
    return all != 0;
}

double real_of(const Cell &c) {
    return c.exact() ? c.value : nan;
}

} // namespace

void Worker::Free::operator()(std::uint8_t *p) const {
    ::operator delete[](p, std::align_val_t{line});
}

Worker::Worker(const book::Book &book, const program::Program &program, const Plan &plan,
               const Kernels &kernels)
    : book_(book), program_(program), plan_(plan), kernels_(kernels),
      room_(plan.layout.tiers.size(), 0), ranges_(plan.layout.tiers.size()),
      texts_(plan.layout.sources.size()), lack_counter_(plan) {}

// Every buffer gets room for the rows of its tier; constants are written once.
void Worker::lay_out() {
    laid_out_ = false;
    std::size_t size = 0;
    const auto place = [&](std::size_t bytes) {
        const std::size_t at = size;
        size += in_lines(bytes) + line;
        return at;
    };
    offsets_.clear();
    for (const Buffer &b : plan_.buffers)
        offsets_.push_back(place(room_[b.tier] * width_of(b.form)));
    marks_.clear();
    for (const std::size_t rows : room_)
        marks_.push_back(place(rows));
    const std::size_t longest = *std::max_element(room_.begin(), room_.end());
    told_ = place(longest);
    bits_ = place(longest);
    all_told_ = place(longest);
    memory_.reset(new (std::align_val_t{line}) std::uint8_t[size]());
    std::memset(memory_.get() + all_told_, 0xff, longest);
    for (std::uint32_t i = 0; i < plan_.buffers.size(); ++i) {
        const Buffer &b = plan_.buffers[i];
        if (!b.constant)
            continue;
        if (b.form == Form::truth)
            std::fill_n(at<std::uint8_t>(i), room_[b.tier], byte_of(b.cell));
        else
            std::fill_n(at<double>(i), room_[b.tier], real_of(b.cell));
    }
    work_.assign(plan_.steps.size(), {});
    entries_.assign(plan_.steps.size(), {});
    for (std::size_t s = 0; s < plan_.steps.size(); ++s) {
        const Step &step = plan_.steps[s];
        Call &call = work_[s].call;
        call = step.call;
        work_[s].act = step.act;
        work_[s].tier = step.tier;
        if (step.kernel != nullptr)
            call.run = kernels_.*step.kernel;
        for (std::size_t k = 0; k < step.in.size() && k < 4; ++k)
            call.in[k] = at<std::uint8_t>(step.in[k]);
        if (step.act == Act::kernel)
            call.out = at<std::uint8_t>(step.out);
        if (step.act == Act::load)
            entries_[s] = entry_of(step);
        if (step.joins)
            call.apart = memory_.get() + marks_[step.tier];
    }
    laid_out_ = true;
}

void Worker::start_table() {
    for (Texts &t : texts_)
        t.dictionary = nullptr;
}

void Worker::run(const Table &table, std::size_t first, std::size_t count, const Verdicts &out,
                 std::vector<std::size_t> &alone) {
    ranges_[0] = {first, count};
    bool grown = false;
    for (std::size_t t = 0; t < ranges_.size(); ++t) {
        if (t > 0) {
            const Range &above = ranges_[static_cast<std::size_t>(plan_.layout.tiers[t].parent)];
            const Lists &lists = table.lists[t];
            const std::size_t begin = above.count == 0 ? 0 : lists.begin(above.first);
            const std::size_t end = above.count == 0 ? 0 : lists.end(above.first + above.count - 1);
            ranges_[t] = {begin, end - begin};
        }
        if (ranges_[t].count > room_[t]) {
            room_[t] = in_lines(ranges_[t].count);
            grown = true;
        }
    }
    if (grown || !laid_out_) // it may have run out of memory the last time
        lay_out();
    for (std::size_t t = 0; t < ranges_.size(); ++t)
        std::memset(memory_.get() + marks_[t], 0, ranges_[t].count);
    for (std::size_t s = 0; s < work_.size(); ++s) {
        const Work &work = work_[s];
        if (work.act == Act::kernel)
            work.call.run(work.call, ranges_[work.tier].count);
        else
            step(s, table, out);
    }
    collect_marks(table, alone);
    // What was written past the cache is there for other threads too.
    std::atomic_thread_fence(std::memory_order_seq_cst);
    if (!plan_.lacks.empty())
        count_lacks(table, out);
}

void Worker::step(std::size_t index, const Table &table, const Verdicts &out) {
    const Step &step = plan_.steps[index];
    switch (step.act) {
    case Act::kernel:
        return;
    case Act::load:
        return load(index, table);
    case Act::load_whole:
        return load_whole(step, table);
    case Act::gather:
        return gather(step, table);
    case Act::reduce:
        return reduce(step, table);
    case Act::open:
        return open(step);
    case Act::any_below:
        return any_below(step, table);
    case Act::cells:
        return cells(step);
    case Act::join_cells:
        return join_cells(step);
    case Act::verdict: {
        const Range &range = ranges_[step.tier];
        Call call = work_[index].call;
        call.out = out.columns[step.index] + (range.first - out.first[step.tier]);
        call.a = out.past_cache ? 1 : 0;
        call.run(call, range.count);
        return;
    }
    }
}

void Worker::load_whole(const Step &step, const Table &table) {
    const Range &range = ranges_[step.tier];
    const Lists &lists = table.lists[step.index];
    auto *out = at<std::uint8_t>(step.out);
    for (std::size_t row = 0; row < range.count; ++row) {
        const bool told = std::all_of(lists.validity.begin(), lists.validity.end(),
                                      [&](const Validity &v) { return v.at(range.first + row); });
        out[row] = told ? yes : unknown;
    }
}

void Worker::gather(const Step &step, const Table &table) {
    const Tier &tier = plan_.layout.tiers[step.tier];
    const Range &above = ranges_[static_cast<std::size_t>(tier.parent)];
    const Range &here = ranges_[step.tier];
    const Lists &lists = table.lists[step.tier];
    const auto spread = [&](auto *out, const auto *in) {
        for (std::size_t row = 0; row < above.count; ++row)
            std::fill(out + (lists.begin(above.first + row) - here.first),
                      out + (lists.end(above.first + row) - here.first), in[row]);
    };
    switch (width_of(step.form)) {
    case 1:
        return spread(at<std::uint8_t>(step.out), at<std::uint8_t>(step.in[0]));
    case 2:
        return spread(at<std::int16_t>(step.out), at<std::int16_t>(step.in[0]));
    default:
        return spread(at<double>(step.out), at<double>(step.in[0]));
    }
}

Cell Worker::cell_at(const Value &v, std::size_t row) const {
    if (v.constant)
        return v.cell;
    switch (v.form) {
    case Form::truth:
        return cell_of_byte(at<std::uint8_t>(v.buffer)[row]);
    case Form::code: {
        const std::vector<Cell> &cells = plan_.domains[static_cast<std::size_t>(v.domain)].cells;
        const std::uint8_t code = at<std::uint8_t>(v.buffer)[row];
        return code < cells.size() ? cells[code] : Cell{};
    }
    case Form::whole: {
        const std::int16_t count = at<std::int16_t>(v.buffer)[row];
        return count == no_whole ? Cell{} : exactly(count * v.unit);
    }
    case Form::real: {
        const double value = at<double>(v.buffer)[row];
        return std::isnan(value) ? Cell{} : exactly(value);
    }
    case Form::bounds:
        break;
    }
    const double low = at<double>(v.buffer)[row];
    const double high = at<double>(v.upper)[row];
    if (std::isnan(low))
        return std::isnan(high) ? Cell{} : Cell{high, Bound::at_most};
    return {low, std::isnan(high) ? Bound::at_least : Bound::exact};
}

void Worker::put(const Step &step, std::size_t row, const Cell &cell) {
    if (step.form == Form::truth) {
        at<std::uint8_t>(step.out)[row] = byte_of(cell);
    } else if (step.form == Form::real) {
        at<double>(step.out)[row] = real_of(cell);
    } else {
        at<double>(step.out)[row] = evaluate::has_low(cell) ? cell.value : nan;
        at<double>(step.upper)[row] = evaluate::has_high(cell) ? cell.value : nan;
    }
}

void Worker::open(const Step &step) {
    const std::size_t rows = ranges_[step.tier].count;
    const Value &v = step.arguments[0];
    auto *out = at<std::uint8_t>(step.out);
    if (v.form == Form::real) {
        const auto *in = at<double>(v.buffer);
        for (std::size_t row = 0; row < rows; ++row)
            out[row] = std::isnan(in[row]) ? yes : no;
    } else {
        const auto *in = at<std::int16_t>(v.buffer);
        for (std::size_t row = 0; row < rows; ++row)
            out[row] = in[row] == no_whole ? yes : no;
    }
}

void Worker::any_below(const Step &step, const Table &table) {
    const Range &range = ranges_[step.tier];
    const Lists &lists = table.lists[step.child];
    const auto *in = at<std::uint8_t>(step.in[0]);
    auto *out = at<std::uint8_t>(step.out);
    for (std::size_t row = 0; row < range.count; ++row) {
        const auto *begin = in + (lists.begin(range.first + row) - ranges_[step.child].first);
        const auto *end = in + (lists.end(range.first + row) - ranges_[step.child].first);
        out[row] = std::find(begin, end, yes) == end ? no : yes;
    }
}

void Worker::cells(const Step &step) {
    const program::Instruction &in = program_.code[step.instruction];
    arguments_.resize(step.arguments.size());
    for (std::size_t row = 0; row < ranges_[step.tier].count; ++row) {
        for (std::size_t k = 0; k < arguments_.size(); ++k)
            arguments_[k] = cell_at(step.arguments[k], row);
        put(step, row, evaluate::operate(program_, in, [&](std::size_t k) -> const Cell & {
                return arguments_[k];
            }));
    }
}

void Worker::join_cells(const Step &step) {
    const double scale = program_.code[step.instruction].scale;
    std::uint8_t *marks = memory_.get() + marks_[step.tier];
    for (std::size_t row = 0; row < ranges_[step.tier].count; ++row) {
        Cell value = cell_at(step.arguments[0], row);
        for (std::size_t k = 1; k < step.arguments.size(); ++k) {
            bool apart = false;
            value = evaluate::joined(value, cell_at(step.arguments[k], row), scale, apart);
            marks[row] = static_cast<std::uint8_t>(marks[row] | (apart ? apart_mark : 0));
        }
        put(step, row, value.known() ? value : step.fill);
    }
}

void Worker::reduce(const Step &step, const Table &table) {
    const program::Instruction &in = program_.code[step.instruction];
    const Range &range = ranges_[step.tier];
    const bool non_negative = evaluate::sums_up(in, program_);
    for (std::size_t row = 0; row < range.count; ++row) {
        const std::size_t first = ranges_[step.child].first;
        const std::size_t begin = table.lists[step.child].begin(range.first + row) - first;
        const std::size_t end = table.lists[step.child].end(range.first + row) - first;
        evaluate::Reduction seen = evaluate::start(in.op);
        for (std::size_t child = begin; child < end; ++child)
            evaluate::see(seen, in.op, truth_in(cell_at(step.arguments[1], child)),
                          step.arguments.size() > 2 ? cell_at(step.arguments[2], child) : Cell{});
        put(step, row,
            evaluate::finish(seen, in.op, cell_at(step.arguments[0], row).exact(), non_negative));
    }
}

// A mark in a list is a mark on the row of the table that the list stands in.
void Worker::collect_marks(const Table &table, std::vector<std::size_t> &alone) {
    for (std::size_t t = ranges_.size(); t-- > 1;) {
        const auto parent = static_cast<std::size_t>(plan_.layout.tiers[t].parent);
        const std::uint8_t *marks = memory_.get() + marks_[t];
        if (!any_set(marks, ranges_[t].count))
            continue;
        std::uint8_t *above = memory_.get() + marks_[parent];
        for (std::size_t row = 0; row < ranges_[parent].count; ++row) {
            const std::size_t at = ranges_[parent].first + row;
            for (std::size_t i = table.lists[t].begin(at); i < table.lists[t].end(at); ++i)
                above[row] = static_cast<std::uint8_t>(above[row] | marks[i - ranges_[t].first]);
        }
    }
    const std::uint8_t *marks = memory_.get() + marks_[0];
    if (!any_set(marks, ranges_[0].count))
        return;
    for (std::size_t row = 0; row < ranges_[0].count; ++row) {
        if (marks[row] != 0)
            alone.push_back(ranges_[0].first + row);
    }
}

// Marks of rows of the table go down to their lists first.
void Worker::count_lacks(const Table &table, const Verdicts &out) {
    for (std::size_t t = 1; t < ranges_.size(); ++t) {
        const auto parent = static_cast<std::size_t>(plan_.layout.tiers[t].parent);
        const std::uint8_t *above = memory_.get() + marks_[parent];
        std::uint8_t *marks = memory_.get() + marks_[t];
        for (std::size_t row = 0; row < ranges_[parent].count; ++row) {
            const std::size_t at = ranges_[parent].first + row;
            std::fill(marks + (table.lists[t].begin(at) - ranges_[t].first),
                      marks + (table.lists[t].end(at) - ranges_[t].first), above[row]);
        }
    }
    for (std::uint32_t rule = 0; rule < plan_.lacks.size(); ++rule) {
        const auto tier =
            static_cast<std::size_t>(plan_.layout.tier_of[program_.rules[plan_.rules[rule]].space]);
        const Range &range = ranges_[tier];
        lack_counter_.count(rule, out.columns[rule] + (range.first - out.first[tier]),
                            memory_.get() + marks_[tier], range.count,
                            [&](std::uint32_t buffer) { return at<std::uint8_t>(buffer); });
    }
}

} // namespace groundrule::columns
