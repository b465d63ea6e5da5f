// Comparison with a constant folds the grid into it; a magnitude that can't grow beyond what a
// double holds saves a look at each result.
#include "columns/numbers.h"

#include "columns/operations.h"
#include "columns/thresholds.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace groundrule::columns {

namespace {

using program::Op;

constexpr double huge = 1e300;

bool is_unknown(const Value &v) {
    return v.constant && !v.cell.known();
}

class Comparison {
  public:
    Comparison(Emitter &emit, double scale, std::uint16_t tier)
        : emit_(emit), scale_(scale), tier_(tier) {}

    Value of(Op op, const Value &a, const Value &b) { // NOLINT(misc-no-recursion)
        if (is_unknown(a) || is_unknown(b))
            return Emitter::constant({});
        if (!emit_.can_be_real(a) || !emit_.can_be_real(b))
            return of_bounds(op, a, b);
        if (b.constant)
            return against(a, op, on_grid(b.cell.value, scale_));
        if (a.constant) {
            // K ≥ x is not x > K, and K > x is not x ≥ K.
            const double step = on_grid(a.cell.value, scale_);
            if (op == Op::equal)
                return against(b, Op::equal, step);
            return below(b, op == Op::at_least ? step + 1 : step);
        }
        return of_two(op, a, b);
    }

  private:
    // It holds if it does for the least that a can be and the most that b can be, and fails if it
    // does for the most and the least. Equal is at least and at most.
    Value of_bounds(Op op, const Value &a, const Value &b) { // NOLINT(misc-no-recursion)
        if (op == Op::equal)
            return logic(emit_, true, {of(Op::at_least, a, b), of(Op::at_least, b, a)}, tier_);
        const Value sure = of(op, emit_.lower(a, tier_), emit_.upper(b, tier_));
        const Value possible = of(op, emit_.upper(a, tier_), emit_.lower(b, tier_));
        return emit_.kernel(&Kernels::decide, Form::truth, tier_,
                            {emit_.as_truth(sure, tier_), emit_.as_truth(possible, tier_)});
    }

    Value of_two(Op op, const Value &a, const Value &b) {
        if (emit_.can_be_whole(a) && emit_.can_be_whole(b) && a.unit == b.unit)
            return emit_.kernel(op == Op::equal      ? &Kernels::whole_equal
                                : op == Op::at_least ? &Kernels::whole_at_least
                                                     : &Kernels::whole_more,
                                Form::truth, tier_,
                                {emit_.as_whole(a, tier_), emit_.as_whole(b, tier_)});
        const Value x = emit_.as_real(a, tier_);
        const Value y = emit_.as_real(b, tier_);
        Call call;
        call.x = scale_;
        const bool plain = (x.grids & y.grids & grid_bit(scale_)) != 0;
        if (op == Op::equal)
            return emit_.kernel(plain ? &Kernels::real_equal : &Kernels::grid_equal, Form::truth,
                                tier_, {x, y}, call);
        if (op == Op::at_least)
            return emit_.kernel(plain ? &Kernels::real_at_least : &Kernels::grid_at_least,
                                Form::truth, tier_, {x, y}, call);
        return emit_.kernel(plain ? &Kernels::real_more : &Kernels::grid_more, Form::truth, tier_,
                            {x, y}, call);
    }

    // Against a constant of so many grid steps.
    Value against(const Value &v, Op op, double step) {
        Call call;
        if (v.form == Form::whole) {
            const auto reaching = [&](double s) { return std::ceil(s / (v.unit * scale_)); };
            const auto clamped = [](double x) {
                return static_cast<std::int32_t>(std::clamp(x, -32767.0, 32767.0));
            };
            const double low = reaching(op == Op::more_than ? step + 1 : step);
            const double last = op == Op::equal ? reaching(step + 1) - 1 : 32767;
            call.a = clamped(low);
            call.b = clamped(last);
            if (low > 32767 || last < low || last < -32767) { // none of them
                call.a = 1;
                call.b = 0;
            }
            return emit_.kernel(call.b == 32767 ? &Kernels::whole_from : &Kernels::whole_within,
                                Form::truth, tier_, {v}, call);
        }
        const Value x = emit_.as_real(v, tier_);
        if (op == Op::equal) {
            call.x = least_reaching(step, scale_);
            call.y = least_reaching(step + 1, scale_);
            return emit_.kernel(&Kernels::real_within, Form::truth, tier_, {x}, call);
        }
        call.x = least_reaching(op == Op::more_than ? step + 1 : step, scale_);
        return emit_.kernel(&Kernels::real_from, Form::truth, tier_, {x}, call);
    }

    // Less than so many grid steps.
    Value below(const Value &v, double step) {
        Call call;
        if (v.form == Form::whole) {
            const double bound = std::ceil(step / (v.unit * scale_));
            call.a = static_cast<std::int32_t>(std::clamp(bound, -32767.0, 32767.0));
            // The largest number of all is below a bound beyond it.
            if (bound <= 32767)
                return emit_.kernel(&Kernels::whole_below, Form::truth, tier_, {v}, call);
        }
        call.x = least_reaching(step, scale_);
        return emit_.kernel(&Kernels::real_below, Form::truth, tier_, {emit_.as_real(v, tier_)},
                            call);
    }

    Emitter &emit_;
    double scale_;
    std::uint16_t tier_;
};

class Computation {
  public:
    Computation(Emitter &emit, Op op, std::uint16_t tier) : emit_(emit), op_(op), tier_(tier) {}

    Value of(const Value &a, const Value &b) { // NOLINT(misc-no-recursion)
        if (is_unknown(a) || is_unknown(b) ||
            (op_ == Op::divide && b.constant && b.cell.exact() && b.cell.value == 0))
            return Emitter::constant({});
        if (!emit_.can_be_real(a) || !emit_.can_be_real(b))
            return of_bounds(a, b);
        const double x = magnitude_of(a);
        const double y = magnitude_of(b);
        Call call;
        if (a.constant || b.constant)
            call.x = a.constant ? a.cell.value : b.cell.value;
        switch (op_) {
        case Op::add:
            return held(a.constant || b.constant ? one(&Kernels::add_constant, a, b, call)
                                                 : both(&Kernels::add, a, b),
                        x + y);
        case Op::subtract:
            if (b.constant)
                call.x = -b.cell.value;
            return held(a.constant   ? one(&Kernels::subtract_from, a, b, call)
                        : b.constant ? one(&Kernels::add_constant, a, b, call)
                                     : both(&Kernels::subtract, a, b),
                        x + y);
        case Op::multiply:
            return held(a.constant || b.constant ? one(&Kernels::multiply_constant, a, b, call)
                                                 : both(&Kernels::multiply, a, b),
                        x * y);
        default:
            return held(a.constant   ? one(&Kernels::divide_into, a, b, call)
                        : b.constant ? one(&Kernels::divide_constant, a, b, call)
                                     : both(&Kernels::divide, a, b),
                        b.constant ? x / y : std::numeric_limits<double>::infinity());
        }
    }

  private:
    // A bound passes through × and ÷ by what is exact and not negative; of two bounds that face
    // each other nothing is left. NaN sees to both.
    Value of_bounds(const Value &a, const Value &b) { // NOLINT(misc-no-recursion)
        const Value a_low = emit_.lower(a, tier_);
        const Value a_high = emit_.upper(a, tier_);
        const Value b_low = emit_.lower(b, tier_);
        const Value b_high = emit_.upper(b, tier_);
        switch (op_) {
        case Op::add:
            return emit_.between(of(a_low, b_low), of(a_high, b_high), tier_);
        case Op::subtract:
            return emit_.between(of(a_low, b_high), of(a_high, b_low), tier_);
        default:
            break;
        }
        const Value &by = b.constant || op_ == Op::divide ? b : a;
        if (by.constant && by.cell.exact()) {
            if (by.cell.value >= 0)
                return emit_.between(of(a_low, b_low), of(a_high, b_high), tier_);
            return of(emit_.exact(a, tier_), emit_.exact(b, tier_));
        }
        Kernel Kernels::*const kernel =
            op_ == Op::multiply ? &Kernels::multiply_bound : &Kernels::divide_bound;
        const double magnitude = op_ == Op::multiply ? magnitude_of(a) * magnitude_of(b)
                                                     : std::numeric_limits<double>::infinity();
        const auto plane = [&](const Value &x, const Value &other_x, const Value &y,
                               const Value &other_y) {
            return held(emit_.kernel(kernel, Form::real, tier_,
                                     {emit_.as_real(x, tier_), emit_.as_real(other_x, tier_),
                                      emit_.as_real(y, tier_), emit_.as_real(other_y, tier_)}),
                        magnitude);
        };
        return emit_.between(plane(a_low, a_high, b_low, b_high),
                             plane(a_high, a_low, b_high, b_low), tier_);
    }

    double magnitude_of(const Value &v) {
        if (v.constant)
            return std::fabs(v.cell.value);
        return std::max(emit_.as_real(emit_.lower(v, tier_), tier_).magnitude,
                        emit_.as_real(emit_.upper(v, tier_), tier_).magnitude);
    }

    // What no double holds is unknown.
    Value held(Value out, double magnitude) {
        if (!(magnitude < huge)) {
            out = emit_.kernel(&Kernels::finite, Form::real, tier_, {out});
            magnitude = std::numeric_limits<double>::max();
        }
        out.magnitude = magnitude;
        return out;
    }

    // A step on the argument that is not constant; on both.
    Value one(Kernel Kernels::*kernel, const Value &a, const Value &b, const Call &call) {
        return emit_.kernel(kernel, Form::real, tier_, {emit_.as_real(a.constant ? b : a, tier_)},
                            call);
    }
    Value both(Kernel Kernels::*kernel, const Value &a, const Value &b) {
        return emit_.kernel(kernel, Form::real, tier_,
                            {emit_.as_real(a, tier_), emit_.as_real(b, tier_)});
    }

    Emitter &emit_;
    Op op_;
    std::uint16_t tier_;
};

// What holds for all values that are one or the other.
Value either_of(Value made, const Value &a, const Value &b) {
    made.grids = static_cast<std::uint8_t>(a.grids & b.grids);
    made.magnitude = std::max(a.magnitude, b.magnitude);
    return made;
}

} // namespace

Value compared(Emitter &emit, Op op, double scale, const Value &a, const Value &b,
               std::uint16_t tier) {
    return Comparison(emit, scale, tier).of(op, a, b);
}

Value computed(Emitter &emit, Op op, const Value &a, const Value &b, std::uint16_t tier) {
    return Computation(emit, op, tier).of(a, b);
}

Value extreme(Emitter &emit, bool larger, const std::vector<Value> &arguments, std::uint16_t tier) {
    Value low = emit.as_real(emit.lower(arguments[0], tier), tier);
    Value high = emit.as_real(emit.upper(arguments[0], tier), tier);
    for (std::size_t k = 1; k < arguments.size(); ++k) {
        const Value l = emit.as_real(emit.lower(arguments[k], tier), tier);
        const Value h = emit.as_real(emit.upper(arguments[k], tier), tier);
        // The larger one is at least what any of them is at least; what it is at most is known only
        // where that is an exact one.
        const auto kernel = [&](Kernel Kernels::*loop, std::initializer_list<Value> in) {
            return emit.kernel(loop, Form::real, tier, in);
        };
        const Value bound = larger ? kernel(&Kernels::most_known, {low, l})
                                   : kernel(&Kernels::least_known, {high, h});
        const Value sure = larger ? kernel(&Kernels::larger_exact, {high, low, h, l})
                                  : kernel(&Kernels::smaller_exact, {low, high, l, h});
        low = either_of(larger ? bound : sure, low, l);
        high = either_of(larger ? sure : bound, high, h);
    }
    return emit.between(low, high, tier);
}

Value chosen_number(Emitter &emit, const Value &condition, const Value &a, const Value &b,
                    std::uint16_t tier) {
    const auto choice = [&](const Value &first, const Value &second) {
        const Value x = emit.as_real(first, tier);
        const Value y = emit.as_real(second, tier);
        return either_of(emit.kernel(&Kernels::choose_real, Form::real, tier, {condition, x, y}), x,
                         y);
    };
    if (emit.can_be_real(a) && emit.can_be_real(b))
        return choice(a, b);
    return emit.between(choice(emit.lower(a, tier), emit.lower(b, tier)),
                        choice(emit.upper(a, tier), emit.upper(b, tier)), tier);
}

} // namespace groundrule::columns
