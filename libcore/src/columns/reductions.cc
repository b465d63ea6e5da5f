// What is finite is tabulated by the scalar reductions themselves; truths are "and" and "or";
// numbers are chosen by the filter.
#include "columns/reductions.h"

#include "columns/numbers.h"
#include "columns/operations.h"
#include "evaluate/reduce.h"

#include <algorithm>

namespace groundrule::columns {

namespace {

using program::Instruction;
using program::Op;

class Alone {
  public:
    Alone(Emitter &emit, const Instruction &in, const std::vector<Value> &arguments,
          std::uint16_t tier)
        : emit_(emit), in_(in), complete_(arguments[0]), filter_(arguments[1]),
          body_(arguments.back()), arguments_(arguments), tier_(tier),
          non_negative_(evaluate::sums_up(in, emit.program())) {}

    Value value() {
        // Completeness is known to be so or unknown, never known not to be.
        if (in_.op == Op::any_of)
            return logic(emit_, false,
                         {logic(emit_, true, {filter_, body_}, tier_), opposite(complete_)}, tier_);
        if (in_.op == Op::all_of)
            return logic(emit_, true,
                         {logic(emit_, false, {opposite(filter_), body_}, tier_), complete_},
                         tier_);
        const auto finite = [&](const Value &v) { return emit_.is_finite(v); };
        if (std::all_of(arguments_.begin(), arguments_.end(), finite)) {
            const auto made =
                emit_.tabulated(arguments_, tier_, false, [&](std::span<const Cell> c) {
                    evaluate::Reduction seen = evaluate::start(in_.op);
                    evaluate::see(seen, in_.op, truth_in(c[1]), c.back());
                    return evaluate::finish(seen, in_.op, c[0].exact(), non_negative_);
                });
            if (made)
                return *made;
        }
        switch (in_.op) {
        case Op::max_of: {
            const Value high = chosen(sure(), emit_.exact(body_, tier_), Emitter::constant({}));
            return emit_.between(chosen(filter_, emit_.lower(body_, tier_), Emitter::constant({})),
                                 high, tier_);
        }
        case Op::min_of: {
            const Value low = chosen(sure(), emit_.exact(body_, tier_), Emitter::constant({}));
            return emit_.between(
                low, chosen(filter_, emit_.upper(body_, tier_), Emitter::constant({})), tier_);
        }
        default:
            return sum();
        }
    }

  private:
    Value opposite(const Value &truth) {
        if (truth.constant)
            return Emitter::constant(cell_of(negation(truth_in(truth.cell))));
        return emit_.kernel(&Kernels::negate, Form::truth, tier_, {emit_.as_truth(truth, tier_)});
    }

    // The one row counts, and is known to be the only one.
    Value sure() { return logic(emit_, true, {filter_, complete_}, tier_); }

    Value chosen(const Value &condition, const Value &a, const Value &b) {
        if (!condition.constant)
            return chosen_number(emit_, emit_.as_truth(condition, tier_), a, b, tier_);
        const Truth t = truth_in(condition.cell);
        return t == Truth::unknown ? Emitter::constant({}) : (t == Truth::yes ? a : b);
    }

    // A row that does not count adds nothing; one that may count, and a list that may go on, leave
    // a least if nothing is below zero.
    Value sum() {
        const Value nothing = Emitter::constant(exactly(0));
        const std::array<Value, 2> both = {complete_, filter_};
        const Value counts = *emit_.tabulated(both, tier_, true, [](std::span<const Cell> c) {
            return c[0].exact() ? c[1] : Cell{};
        });
        const Value high = chosen(counts, emit_.exact(body_, tier_), nothing);
        if (!non_negative_)
            return emit_.between(high, high, tier_);
        const Value told =
            emit_.as_real(chosen(filter_, emit_.lower(body_, tier_), nothing), tier_);
        Value low = emit_.kernel(&Kernels::real_or, Form::real, tier_, {told});
        low.grids = told.grids;
        low.magnitude = told.magnitude;
        return emit_.between(low, high, tier_);
    }

    Emitter &emit_;
    const Instruction &in_;
    const Value &complete_;
    const Value &filter_;
    const Value &body_;
    const std::vector<Value> &arguments_;
    std::uint16_t tier_;
    bool non_negative_;
};

} // namespace

Value reduced_alone(Emitter &emit, const Instruction &in, const std::vector<Value> &arguments,
                    std::uint16_t tier) {
    return Alone(emit, in, arguments, tier).value();
}

} // namespace groundrule::columns
