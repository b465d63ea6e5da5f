// What an operation gives for the cells of its arguments: every operation whose result depends on
// nothing else. All evaluators that go cell by cell share it.
#pragma once

#include "evaluate/lookup.h"
#include "evaluate/operators.h"

namespace groundrule::evaluate {

template <typename Argument>
Cell first_where(const program::List &list, const program::Instruction &in, Argument argument) {
    for (std::size_t k = 0; k < in.count; ++k) {
        const Truth t = truth_in(argument(k));
        if (t == Truth::unknown)
            return {};
        if (t == Truth::yes)
            return exactly(list.values[in.column == 1 ? list.values.size() - 1 - k : k]);
    }
    return {};
}

// `argument(k)` gives the k-th cell. Loads, joins, gathers and reductions need more than cells:
// they are unknown here.
template <typename Argument>
Cell operate(const program::Program &program, const program::Instruction &in, Argument argument) {
    using program::Op;
    const auto truth = [&](std::size_t k) { return truth_in(argument(k)); };
    const auto folded = [&](auto op) {
        Cell value = argument(0);
        for (std::size_t k = 1; k < in.count; ++k)
            value = op(value, argument(k));
        return value;
    };
    const auto logic = [&](Truth t, auto op) {
        for (std::size_t k = 0; k < in.count; ++k)
            t = op(t, truth(k));
        return cell_of(t);
    };
    switch (in.op) {
    case Op::constant:
        return exactly(in.value);
    case Op::conjunction:
        return logic(Truth::yes, both);
    case Op::disjunction:
        return logic(Truth::no, either);
    case Op::negation:
        return cell_of(negation(truth(0)));
    case Op::equal:
        return cell_of(equal(argument(0), argument(1), in.scale));
    case Op::at_least:
        return cell_of(at_least(argument(0), argument(1), in.scale));
    case Op::more_than:
        return cell_of(more_than(argument(0), argument(1), in.scale));
    case Op::in_set:
        return argument(0).exact()
                   ? cell_of(truth_of(
                         program.sets[in.index][static_cast<std::size_t>(argument(0).value)] != 0))
                   : Cell{};
    case Op::add:
        return add(argument(0), argument(1));
    case Op::subtract:
        return subtract(argument(0), argument(1));
    case Op::multiply:
        return multiply(argument(0), argument(1));
    case Op::divide:
        return divide(argument(0), argument(1));
    case Op::larger:
        return folded(larger);
    case Op::smaller:
        return folded(smaller);
    case Op::round_down:
        return rounded(argument(0), argument(1), Rounding::down);
    case Op::round_up:
        return rounded(argument(0), argument(1), Rounding::up);
    case Op::round_nearest:
        return rounded(argument(0), argument(1), Rounding::nearest);
    case Op::choose_truth:
        return cell_of(choose(truth(0), truth(1), truth(2)));
    case Op::choose_value:
        return choose_value(truth(0), argument(1), argument(2));
    case Op::lookup:
        return looked_up(program, in, argument);
    case Op::next:
        return next_in(program.lists[in.index], argument(0));
    case Op::first_where:
        return first_where(program.lists[in.index], in, argument);
    case Op::unknown:
    case Op::not_encoded:
    case Op::load:
    case Op::join:
    case Op::gather:
    case Op::open_list:
    case Op::any_of:
    case Op::all_of:
    case Op::count_of:
    case Op::sum_of:
    case Op::max_of:
    case Op::min_of:
        break;
    }
    return {};
}

} // namespace groundrule::evaluate
