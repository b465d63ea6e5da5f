// Lays the instructions out, row by row.
#include "evaluate/plan.h"

#include "evaluate/operate.h"
#include "text/limits.h"

#include <array>
#include <limits>

namespace groundrule::evaluate {

namespace {

using program::Instruction;
using program::Op;
using program::Program;
using program::Register;

constexpr std::size_t most_steps = 1u << 18u;

constexpr std::array truth_ops = {
#define OP(name, arguments, result) std::string_view(#result) == "truth",
#include "program/opcodes.def"
#undef OP
};

bool is_truth(const Instruction &in) {
    return truth_ops.at(static_cast<std::size_t>(in.op));
}

// The least number that is on grid point `point` or above it once rounded.
double threshold_of(double point, double scale) {
    constexpr double infinity = std::numeric_limits<double>::infinity();
    double x = (point - 0.5) / scale;
    while (on_grid(x, scale) >= point)
        x = std::nextafter(x, -infinity);
    while (on_grid(x, scale) < point)
        x = std::nextafter(x, infinity);
    return x;
}

class Planner {
  public:
    Planner(const Program &program, const facts::Job &job) : program_(program), job_(job) {}

    std::optional<Plan> run() {
        mark_needed();
        if (!lay_out())
            return std::nullopt;
        for (Register reg = 0; reg < program_.code.size(); ++reg) {
            const Instruction &in = program_.code[reg];
            if (!needed_[reg] || in.op == Op::gather)
                continue;
            for (std::uint32_t row = 0; row < rows_[in.space]; ++row)
                place(reg, in, row);
        }
        for (const program::RuleCode &rule : program_.rules) {
            plan_.first_verdict.push_back(verdicts_);
            for (std::uint32_t row = 0; row < rows_[rule.space]; ++row)
                verdict(rule, row);
        }
        plan_.first_verdict.push_back(verdicts_);
        schedule(plan_, program_);
        return std::move(plan_);
    }

  private:
    // --- what is laid out

    // What verdicts depend on, and every join: a contradiction is told wherever it is.
    void mark_needed() {
        needed_.assign(program_.code.size(), false);
        for (const program::RuleCode &rule : program_.rules) {
            needed_[rule.applies] = true;
            if (rule.met != program::no_register)
                needed_[rule.met] = true;
        }
        for (std::size_t reg = program_.code.size(); reg-- > 0;) {
            const Instruction &in = program_.code[reg];
            if (in.op == Op::join)
                needed_[reg] = true;
            for (std::uint32_t k = 0; needed_[reg] && k < in.count; ++k)
                needed_[program_.arguments[in.first + k]] = true;
        }
    }

    bool lay_out() {
        std::size_t total = 0;
        offsets_.resize(program_.code.size());
        for (std::size_t item = 0; item < program_.spaces.size(); ++item) {
            const facts::Rows &rows = job_.rows(static_cast<std::int32_t>(item));
            rows_.push_back(static_cast<std::uint32_t>(rows.size()));
            plan_.facts.emplace_back(rows.given.fields(),
                                     std::vector<std::uint32_t>(rows.size(), Plan::none));
            for (const Register reg : program_.spaces[item].registers) {
                offsets_[reg] = total;
                total += needed_[reg] ? rows.size() : 0;
            }
            if (total > most_steps)
                return false;
        }
        values_at_.assign(total, Plan::none);
        truths_at_.assign(total, Plan::none);
        below_.resize(rows_.size());
        return true;
    }

    const std::vector<std::uint32_t> &below(std::uint16_t child, std::uint32_t row) {
        std::vector<std::vector<std::uint32_t>> &lists = below_[child];
        if (lists.empty()) {
            const std::vector<std::int32_t> &parents = job_.rows(child).parent;
            lists.resize(rows_[static_cast<std::size_t>(program_.spaces[child].parent)]);
            for (std::uint32_t i = 0; i < parents.size(); ++i)
                lists[static_cast<std::size_t>(parents[i])].push_back(i);
        }
        return lists[row];
    }

    // --- places

    std::uint32_t new_value(Cell cell, bool fixed) {
        plan_.values.push_back(cell.value);
        plan_.bounds.push_back(cell.bound);
        value_fixed_.push_back(fixed);
        return static_cast<std::uint32_t>(plan_.values.size() - 1);
    }
    std::uint32_t new_truth(Truth truth, bool fixed) {
        plan_.truths.push_back(truth);
        truth_fixed_.push_back(fixed);
        return static_cast<std::uint32_t>(plan_.truths.size() - 1);
    }
    std::uint32_t emit(Step step) {
        step.out = gives_truth(step.kind) ? new_truth(Truth::unknown, false) : new_value({}, false);
        plan_.steps.push_back(step);
        return step.out;
    }
    Step step(StepKind kind, std::uint32_t a = 0, std::uint32_t b = 0) const {
        Step s;
        s.kind = kind;
        s.a = a;
        s.b = b;
        return s;
    }

    Cell fixed_at(std::uint32_t place) const { return {plan_.values[place], plan_.bounds[place]}; }

    // A gathered register is read where it stands.
    std::size_t cell(Register reg, std::uint32_t row) const {
        while (program_.code[reg].op == Op::gather) {
            row = static_cast<std::uint32_t>(job_.rows(program_.code[reg].space).parent[row]);
            reg = program_.arguments[program_.code[reg].first];
        }
        return offsets_[reg] + row;
    }
    std::uint32_t value(Register reg, std::uint32_t row) {
        const std::size_t at = cell(reg, row);
        if (values_at_[at] == Plan::none) {
            const std::uint32_t truth = truths_at_[at];
            values_at_[at] = truth_fixed_[truth] ? new_value(cell_of(plan_.truths[truth]), true)
                                                 : emit(step(StepKind::value_of_truth, truth));
        }
        return values_at_[at];
    }
    std::uint32_t truth(Register reg, std::uint32_t row) {
        const std::size_t at = cell(reg, row);
        if (truths_at_[at] == Plan::none) {
            const std::uint32_t value = values_at_[at];
            truths_at_[at] = value_fixed_[value] ? new_truth(truth_in(fixed_at(value)), true)
                                                 : emit(step(StepKind::truth_of_value, value));
        }
        return truths_at_[at];
    }
    Register argument(const Instruction &in, std::uint32_t k) const {
        return program_.arguments[in.first + k];
    }
    bool fixed(Register reg, std::uint32_t row) const {
        const std::size_t at = cell(reg, row);
        return values_at_[at] != Plan::none ? value_fixed_[values_at_[at]]
                                            : truth_fixed_[truths_at_[at]];
    }
    Cell fixed_cell(Register reg, std::uint32_t row) const {
        const std::size_t at = cell(reg, row);
        return values_at_[at] != Plan::none ? fixed_at(values_at_[at])
                                            : cell_of(plan_.truths[truths_at_[at]]);
    }

    // --- instructions

    void place(Register reg, const Instruction &in, std::uint32_t row) {
        const std::size_t at = offsets_[reg] + row;
        if (in.op < Op::load) { // constant, unknown, not encoded: one place for all rows
            values_at_[at] =
                row > 0 ? values_at_[at - row]
                        : new_value(in.op == Op::constant ? exactly(in.value) : Cell{}, true);
            return;
        }
        if (foldable(in, row)) {
            const Cell result = operate(program_, in, [&](std::size_t k) {
                return fixed_cell(argument(in, static_cast<std::uint32_t>(k)), row);
            });
            values_at_[at] = new_value(result, true);
            return;
        }
        const std::uint32_t out = result_of(reg, in, row);
        (is_truth(in) ? truths_at_ : values_at_)[at] = out;
    }

    bool foldable(const Instruction &in, std::uint32_t row) const {
        if (in.count == 0 || in.op == Op::join || in.op >= Op::open_list)
            return false;
        for (std::uint32_t k = 0; k < in.count; ++k) {
            if (!fixed(argument(in, k), row))
                return false;
        }
        return true;
    }

    std::uint32_t result_of(Register reg, const Instruction &in, std::uint32_t row) {
        switch (in.op) {
        case Op::load:
            ++plan_.fact_count;
            return fact(reg, in, row);
        case Op::open_list:
            return of_job(StepKind::complete, reg, row);
        case Op::at_least:
        case Op::more_than:
            return ordered(in, row);
        case Op::equal:
            return equality(reg, in, row);
        case Op::in_set:
            return membership(reg, in, row);
        case Op::conjunction:
            return logic(in, row, StepKind::conjunction, Truth::yes);
        case Op::disjunction:
            return logic(in, row, StepKind::disjunction, Truth::no);
        case Op::negation:
            return emit(step(StepKind::negation, truth(argument(in, 0), row)));
        case Op::choose_truth:
            return emit(listed(StepKind::choose_truth, reg,
                               {truth(argument(in, 0), row), truth(argument(in, 1), row),
                                truth(argument(in, 2), row)}));
        case Op::choose_value:
            return emit(listed(StepKind::choose_value, reg,
                               {truth(argument(in, 0), row), value(argument(in, 1), row),
                                value(argument(in, 2), row)}));
        case Op::add:
        case Op::multiply:
            return emit(step(in.op == Op::add ? StepKind::add : StepKind::multiply,
                             value(argument(in, 0), row), value(argument(in, 1), row)));
        case Op::next: {
            Step s = step(StepKind::next, value(argument(in, 0), row));
            s.instruction = reg;
            return emit(s);
        }
        case Op::lookup:
            return lookup(reg, in, row);
        case Op::join: {
            Step s = listed(StepKind::join, reg, values(in, row));
            s.row = row;
            s.set = plan_.join_count++;
            return emit(s);
        }
        case Op::any_of:
        case Op::all_of:
        case Op::count_of:
        case Op::sum_of:
        case Op::max_of:
        case Op::min_of:
            return reduction(reg, in, row);
        default:
            return emit(listed(StepKind::general_value, reg, values(in, row)));
        }
    }

    std::vector<std::uint32_t> values(const Instruction &in, std::uint32_t row) {
        std::vector<std::uint32_t> out;
        for (std::uint32_t k = 0; k < in.count; ++k)
            out.push_back(value(argument(in, k), row));
        return out;
    }

    Step listed(StepKind kind, Register reg, const std::vector<std::uint32_t> &operands) {
        Step s = step(kind, static_cast<std::uint32_t>(plan_.operands.size()),
                      static_cast<std::uint32_t>(operands.size()));
        s.instruction = reg;
        plan_.operands.insert(plan_.operands.end(), operands.begin(), operands.end());
        return s;
    }

    std::uint32_t of_job(StepKind kind, Register reg, std::uint32_t row) {
        Step s = step(kind);
        s.instruction = reg;
        s.row = row;
        return emit(s);
    }

    // An item's work is that of the item above, unless it says otherwise: a fact that is looked
    // for.
    std::uint32_t fact(Register reg, const Instruction &in, std::uint32_t row) {
        const program::Slot &slot = program_.slots[in.index];
        Step s = step(slot.field == 0 ? StepKind::work : StepKind::fact, slot.item, slot.field);
        s.set = job_.rows(slot.item).given.place(slot.field, row);
        s.instruction = reg;
        s.row = row;
        s.flip = slot.value == reg;
        return emit(s);
    }

    // a at least b, or a more than b, which is "b at least a" turned round. Beside a known number
    // one comparison with the first double that rounds to it, or to the point above it, is enough.
    std::uint32_t ordered(const Instruction &in, std::uint32_t row) {
        const bool strict = in.op == Op::more_than;
        const Register left = argument(in, 0);
        const Register right = argument(in, 1);
        const auto known = [&](Register reg) {
            return fixed(reg, row) && fixed_cell(reg, row).exact();
        };
        if (known(left) || known(right)) {
            const bool is_left = known(left);
            const double point = on_grid(fixed_cell(is_left ? left : right, row).value, in.scale);
            Step s = step(StepKind::threshold, value(is_left ? right : left, row));
            s.flip = is_left;
            s.x = threshold_of(is_left == strict ? point : point + 1, in.scale);
            return emit(s);
        }
        Step s = step(StepKind::compare, value(strict ? right : left, row),
                      value(strict ? left : right, row));
        s.flip = strict;
        s.x = in.scale;
        return emit(s);
    }

    std::uint32_t equality(Register reg, const Instruction &in, std::uint32_t row) {
        for (std::uint32_t k = 0; k < 2; ++k) {
            const Register other = argument(in, k);
            if (!fixed(other, row) || !fixed_cell(other, row).exact())
                continue;
            const double point = on_grid(fixed_cell(other, row).value, in.scale);
            Step s = step(StepKind::within, value(argument(in, 1 - k), row));
            s.x = threshold_of(point, in.scale);
            s.y = threshold_of(point + 1, in.scale);
            return emit(s);
        }
        return emit(listed(StepKind::general_truth, reg, values(in, row)));
    }

    std::uint32_t membership(Register reg, const Instruction &in, std::uint32_t row) {
        const std::vector<std::uint8_t> &set = program_.sets[in.index];
        if (set.size() > 64)
            return emit(listed(StepKind::general_truth, reg, values(in, row)));
        Step s = step(StepKind::member, value(argument(in, 0), row));
        for (std::size_t i = 0; i < set.size(); ++i)
            s.set |= static_cast<std::uint64_t>(set[i] != 0) << i;
        return emit(s);
    }

    // `neutral` operands say nothing; the opposite decides alone.
    std::uint32_t logic(const Instruction &in, std::uint32_t row, StepKind kind, Truth neutral) {
        std::vector<std::uint32_t> open;
        for (std::uint32_t k = 0; k < in.count; ++k) {
            const std::uint32_t t = truth(argument(in, k), row);
            if (truth_fixed_[t] && plan_.truths[t] == negation(neutral))
                return t;
            if (!truth_fixed_[t] || plan_.truths[t] != neutral)
                open.push_back(t);
        }
        return open.size() == 1 ? open.front() : emit(listed(kind, 0, open));
    }

    std::uint32_t lookup(Register reg, const Instruction &in, std::uint32_t row) {
        Step s = listed(StepKind::lookup, reg, values(in, row));
        s.row = in.index;
        s.set = in.column;
        return emit(s);
    }

    // Completeness, then of each row below: the filter and what is reduced.
    std::uint32_t reduction(Register reg, const Instruction &in, std::uint32_t row) {
        std::vector<std::uint32_t> operands = {truth(argument(in, 0), row)};
        for (const std::uint32_t child : below(in.child, row)) {
            operands.push_back(truth(argument(in, 1), child));
            if (in.count > 2)
                operands.push_back(is_truth(in) ? truth(argument(in, 2), child)
                                                : value(argument(in, 2), child));
        }
        Step s =
            listed(is_truth(in) ? StepKind::reduce_truth : StepKind::reduce_value, reg, operands);
        s.non_negative = in.count > 2 && program_.code[argument(in, 2)].non_negative;
        return emit(s);
    }

    void verdict(const program::RuleCode &rule, std::uint32_t row) {
        Step s = step(StepKind::verdict, truth(rule.applies, row),
                      rule.met == program::no_register ? always() : truth(rule.met, row));
        s.out = verdicts_++;
        plan_.steps.push_back(s);
    }

    std::uint32_t always() {
        if (always_ == Plan::none)
            always_ = new_truth(Truth::yes, true);
        return always_;
    }

    const Program &program_;
    const facts::Job &job_;
    Plan plan_;
    std::vector<bool> needed_;
    std::vector<std::uint32_t> rows_; // of each item type
    std::vector<std::size_t> offsets_;
    std::vector<std::uint32_t> values_at_; // [register's offset + row]: place, or none yet
    std::vector<std::uint32_t> truths_at_;
    std::vector<bool> value_fixed_; // does not depend on facts
    std::vector<bool> truth_fixed_;
    std::vector<std::vector<std::vector<std::uint32_t>>> below_; // [child][row above]: its rows
    std::uint32_t verdicts_ = 0;
    std::uint32_t always_ = Plan::none;
};

} // namespace

bool gives_truth(StepKind kind) {
    switch (kind) {
    case StepKind::complete:
    case StepKind::threshold:
    case StepKind::within:
    case StepKind::compare:
    case StepKind::member:
    case StepKind::truth_of_value:
    case StepKind::conjunction:
    case StepKind::disjunction:
    case StepKind::negation:
    case StepKind::choose_truth:
    case StepKind::general_truth:
    case StepKind::reduce_truth:
        return true;
    default:
        return false;
    }
}

std::optional<Plan> plan(const Program &program, const facts::Job &job) {
    return Planner(program, job).run();
}

} // namespace groundrule::evaluate
