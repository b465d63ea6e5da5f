// An open list, or one with elements whose filter is unknown, gives bounds: count and sum at least,
// max at least, min at most.
#include "evaluate/reduce.h"

#include "evaluate/operators.h"

namespace groundrule::evaluate {

using program::Op;

Reduction start(Op op) {
    Reduction s;
    s.truth = truth_of(op == Op::all_of);
    return s;
}

void see(Reduction &s, Op op, Truth counts, const Cell &body) {
    if (counts == Truth::no)
        return;
    const bool sure = counts == Truth::yes;
    switch (op) {
    case Op::any_of:
        s.truth = either(s.truth, both(counts, truth_in(body)));
        return;
    case Op::all_of:
        s.truth = both(s.truth, either(negation(counts), truth_in(body)));
        return;
    case Op::count_of:
        s.value += sure ? 1 : 0;
        s.whole = s.whole && sure;
        return;
    case Op::sum_of:
        s.value += sure && has_low(body) ? body.value : 0;
        s.whole = s.whole && sure && body.exact();
        return;
    default:
        break;
    }
    const bool usable = op == Op::max_of ? has_low(body) : has_high(body);
    if (sure && usable) {
        s.value = !s.some ? body.value
                          : (op == Op::max_of ? std::max(s.value, body.value)
                                              : std::min(s.value, body.value));
        s.some = true;
    }
    s.whole = s.whole && sure && body.exact();
}

Cell finish(const Reduction &s, Op op, bool complete, bool non_negative) {
    const bool exact = complete && s.whole;
    switch (op) {
    case Op::any_of:
        return cell_of(complete ? s.truth : either(s.truth, Truth::unknown));
    case Op::all_of:
        return cell_of(complete ? s.truth : both(s.truth, Truth::unknown));
    case Op::count_of:
        return {s.value, exact ? Bound::exact : Bound::at_least};
    case Op::sum_of:
        if (exact)
            return exactly(s.value);
        return non_negative ? Cell{s.value, Bound::at_least} : Cell{};
    default:
        break;
    }
    if (!s.some)
        return {};
    return {s.value, exact ? Bound::exact : (op == Op::max_of ? Bound::at_least : Bound::at_most)};
}

Cell of_nothing(const program::Instruction &in, const program::Program &program, bool complete) {
    return finish(start(in.op), in.op, complete, sums_up(in, program));
}

void reduce(const program::Program &program, const program::Instruction &in, const facts::Job &job,
            Workspace &workspace, Cell *out) {
    const auto *arguments = program.arguments.data() + in.first;
    const Cell *filter = workspace.row_cells(arguments[1]);
    const Cell *body = in.count > 2 ? workspace.row_cells(arguments[2]) : filter;
    const bool non_negative = sums_up(in, program);
    const std::vector<std::int32_t> &parent = job.rows(in.child).parent;
    std::vector<Reduction> &seen = workspace.reductions;
    seen.assign(workspace.rows_in(in.space), start(in.op));
    for (std::size_t child = 0; child < parent.size(); ++child)
        see(seen[static_cast<std::size_t>(parent[child])], in.op, truth_in(filter[child]),
            body[child]);
    for (std::size_t row = 0; row < seen.size(); ++row)
        out[row] =
            finish(seen[row], in.op, workspace.cell(arguments[0], row).exact(), non_negative);
}

} // namespace groundrule::evaluate
