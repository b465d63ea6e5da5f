// One instruction after the other, each over the rows of its space.
#include "evaluate/scalar.h"

#include "evaluate/lookup.h"
#include "evaluate/operators.h"
#include "evaluate/reduce.h"

namespace groundrule::evaluate {

namespace {

using program::Instruction;
using program::Op;
using program::Program;
using program::Register;

class Run {
  public:
    Run(const Program &program, const facts::Job &job, Workspace &workspace)
        : program_(program), job_(job), workspace_(workspace) {}

    void all() {
        for (Register reg = 0; reg < program_.code.size(); ++reg) {
            const Instruction &in = program_.code[reg];
            const std::size_t rows = workspace_.rows_in(in.space);
            if (rows == 0)
                continue;
            Cell *out = workspace_.row_cells(reg);
            if (in.op >= Op::any_of) {
                reduce(program_, in, job_, workspace_, out);
                continue;
            }
            for (std::size_t row = 0; row < rows; ++row)
                out[row] = one(in, row);
        }
    }

  private:
    const Cell &argument(const Instruction &in, std::size_t k, std::size_t row) const {
        return workspace_.cell(program_.arguments[in.first + k], row);
    }

    Truth truth(const Instruction &in, std::size_t k, std::size_t row) const {
        return truth_in(argument(in, k, row));
    }

    Cell load(const Instruction &in, std::size_t row) const {
        const program::Slot &slot = program_.slots[in.index];
        const facts::Rows &rows = job_.rows(slot.item);
        const Cell &given = rows.given[slot.field][row];
        // A fact that others imply is assumed only after the join.
        const bool assumes = slot.value == static_cast<Register>(&in - program_.code.data());
        return given.known() || !assumes ? given : rows.assumed[slot.field][row];
    }

    Cell join(const Instruction &in, std::size_t row) {
        Cell value = argument(in, 0, row);
        for (std::size_t k = 1; k < in.count; ++k) {
            bool apart = false;
            const Cell &implied = argument(in, k, row);
            const Cell joined_value = joined(value, implied, in.scale, apart);
            if (apart)
                workspace_.contradictions.push_back({in.index, static_cast<std::uint32_t>(row),
                                                     value, implied,
                                                     static_cast<std::uint32_t>(k - 1)});
            value = joined_value;
        }
        if (value.known())
            return value;
        const program::Slot &slot = program_.slots[in.index];
        return job_.rows(slot.item).assumed[slot.field][row];
    }

    Cell logic(const Instruction &in, std::size_t row, bool conjunction) const {
        Truth t = truth_of(conjunction);
        for (std::size_t k = 0; k < in.count; ++k)
            t = conjunction ? both(t, truth(in, k, row)) : either(t, truth(in, k, row));
        return cell_of(t);
    }

    template <typename Operator>
    Cell folded(const Instruction &in, std::size_t row, Operator op) const {
        Cell value = argument(in, 0, row);
        for (std::size_t k = 1; k < in.count; ++k)
            value = op(value, argument(in, k, row));
        return value;
    }

    Cell in_set(const Instruction &in, std::size_t row) const {
        const Cell &a = argument(in, 0, row);
        return a.exact() ? cell_of(truth_of(
                               program_.sets[in.index][static_cast<std::size_t>(a.value)] != 0))
                         : Cell{};
    }

    Cell first_where(const Instruction &in, std::size_t row) const {
        const std::vector<double> &values = program_.lists[in.index].values;
        for (std::size_t k = 0; k < in.count; ++k) {
            const Truth t = truth(in, k, row);
            if (t == Truth::unknown)
                return {};
            if (t == Truth::yes)
                return exactly(values[in.column == 1 ? values.size() - 1 - k : k]);
        }
        return {};
    }

    Cell gather(const Instruction &in, std::size_t row) const {
        const auto above = static_cast<std::size_t>(job_.rows(in.space).parent[row]);
        return argument(in, 0, above);
    }

    Cell open_list(const Instruction &in, std::size_t row) const {
        return job_.is_complete(in.space, in.child, row) ? exactly(1) : Cell{};
    }

    Cell one(const Instruction &in, std::size_t row) {
        switch (in.op) {
        case Op::constant:
            return exactly(in.value);
        case Op::unknown:
        case Op::not_encoded:
            return {};
        case Op::load:
            return load(in, row);
        case Op::join:
            return join(in, row);
        case Op::gather:
            return gather(in, row);
        case Op::conjunction:
            return logic(in, row, true);
        case Op::disjunction:
            return logic(in, row, false);
        case Op::negation:
            return cell_of(negation(truth(in, 0, row)));
        case Op::equal:
            return cell_of(equal(argument(in, 0, row), argument(in, 1, row), in.scale));
        case Op::at_least:
            return cell_of(at_least(argument(in, 0, row), argument(in, 1, row), in.scale));
        case Op::more_than:
            return cell_of(more_than(argument(in, 0, row), argument(in, 1, row), in.scale));
        case Op::in_set:
            return in_set(in, row);
        case Op::add:
            return add(argument(in, 0, row), argument(in, 1, row));
        case Op::subtract:
            return subtract(argument(in, 0, row), argument(in, 1, row));
        case Op::multiply:
            return multiply(argument(in, 0, row), argument(in, 1, row));
        case Op::divide:
            return divide(argument(in, 0, row), argument(in, 1, row));
        case Op::larger:
            return folded(in, row, larger);
        case Op::smaller:
            return folded(in, row, smaller);
        case Op::round_down:
            return rounded(argument(in, 0, row), argument(in, 1, row), Rounding::down);
        case Op::round_up:
            return rounded(argument(in, 0, row), argument(in, 1, row), Rounding::up);
        case Op::round_nearest:
            return rounded(argument(in, 0, row), argument(in, 1, row), Rounding::nearest);
        case Op::choose_truth:
            return cell_of(choose(truth(in, 0, row), truth(in, 1, row), truth(in, 2, row)));
        case Op::choose_value:
            return choose_value(truth(in, 0, row), argument(in, 1, row), argument(in, 2, row));
        case Op::lookup:
            return looked_up(program_, in, row, workspace_);
        case Op::next:
            return next_in(program_.lists[in.index], argument(in, 0, row));
        case Op::first_where:
            return first_where(in, row);
        case Op::open_list:
            return open_list(in, row);
        case Op::any_of:
        case Op::all_of:
        case Op::count_of:
        case Op::sum_of:
        case Op::max_of:
        case Op::min_of:
            break; // reduce() has them
        }
        return {};
    }

    const Program &program_;
    const facts::Job &job_;
    Workspace &workspace_;
};

} // namespace

void run(const Program &program, const facts::Job &job, Workspace &workspace) {
    workspace.prepare(program, job);
    Run(program, job, workspace).all();
}

Verdict verdict(const program::RuleCode &rule, std::size_t row, const Workspace &workspace) {
    const Truth applies = truth_in(workspace.cell(rule.applies, row));
    const Truth met =
        rule.met == program::no_register ? Truth::yes : truth_in(workspace.cell(rule.met, row));
    return verdict_of(applies, met);
}

} // namespace groundrule::evaluate
