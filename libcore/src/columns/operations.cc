// In order of preference: a constant; a table of bytes; a loop over narrow or plain numbers; cell
// by cell with the scalar operators.
#include "columns/operations.h"

#include "columns/op_traits.h"
#include "columns/thresholds.h"
#include "evaluate/operate.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace groundrule::columns {

namespace {

using program::Instruction;
using program::Op;

constexpr std::size_t most_combinations = 2048;
constexpr std::size_t most_cells = 65536;
constexpr double huge = 1e300;

class Operation {
  public:
    Operation(Emitter &emit, program::Register reg, std::vector<Value> arguments,
              std::uint16_t tier)
        : emit_(emit), reg_(reg), in_(emit.program().code[reg]), arguments_(std::move(arguments)),
          tier_(tier) {}

    Value value() {
        if (is_strict(in_.op) &&
            std::any_of(arguments_.begin(), arguments_.end(),
                        [](const Value &v) { return v.constant && !v.cell.known(); }))
            return Emitter::constant({});
        if (std::all_of(arguments_.begin(), arguments_.end(),
                        [](const Value &v) { return v.constant; }))
            return Emitter::constant(
                operate([&](std::size_t k) -> const Cell & { return arguments_[k].cell; }));
        switch (in_.op) {
        case Op::conjunction:
        case Op::disjunction:
            return logic(emit_, in_.op == Op::conjunction, arguments_, tier_);
        case Op::negation:
            return emit_.kernel(&Kernels::negate, Form::truth, tier_, {truth(0)});
        case Op::choose_truth:
            return choose_truth();
        default:
            break;
        }
        if (in_.op == Op::choose_value && arguments_[0].constant)
            return chosen(arguments_[0].cell);
        if (finite(most_combinations)) {
            const auto made = tabulated();
            if (made)
                return *made;
        }
        switch (in_.op) {
        case Op::equal:
        case Op::at_least:
        case Op::more_than:
            return comparison();
        case Op::add:
        case Op::subtract:
        case Op::multiply:
        case Op::divide:
            return arithmetic();
        case Op::choose_value:
            return choose_value();
        case Op::lookup:
            return lookup();
        case Op::next:
            return next();
        default:
            return cells();
        }
    }

  private:
    template <typename Argument>
    Cell operate(Argument argument) const {
        return evaluate::operate(emit_.program(), in_, argument);
    }

    Value truth(std::size_t k) { return emit_.as_truth(arguments_[k], tier_); }
    Value real(std::size_t k) { return emit_.as_real(arguments_[k], tier_); }

    bool finite(std::size_t most) const {
        const auto open = std::count_if(arguments_.begin(), arguments_.end(),
                                        [](const Value &v) { return !v.constant; });
        return open <= 4 &&
               std::all_of(arguments_.begin(), arguments_.end(),
                           [&](const Value &v) { return emit_.is_finite(v); }) &&
               emit_.combinations(arguments_) <= most;
    }

    std::optional<Value> tabulated() {
        return emit_.tabulated(
            arguments_, tier_, gives_truth(in_.op), [&](std::span<const Cell> cells) {
                return operate([&](std::size_t k) -> const Cell & { return cells[k]; });
            });
    }

    // Cell by cell, with the scalar operators.
    Value cells() {
        Step step;
        step.act = Act::cells;
        step.instruction = reg_;
        for (const Value &v : arguments_) {
            if (!v.constant)
                step.in.push_back(v.buffer);
        }
        step.arguments = arguments_;
        const Form form =
            gives_truth(in_.op) ? Form::truth : (never_bounded(in_.op) ? Form::real : Form::cell);
        Value out = emit_.emit(std::move(step), form, tier_);
        out.magnitude = std::numeric_limits<double>::infinity();
        return out;
    }

    Value choose_truth() {
        if (arguments_[0].constant && arguments_[0].cell.known())
            return chosen(arguments_[0].cell);
        return emit_.kernel(&Kernels::choose_truth, Form::truth, tier_,
                            {truth(0), truth(1), truth(2)});
    }

    Value chosen(const Cell &condition) const {
        switch (truth_in(condition)) {
        case Truth::yes:
            return arguments_[1];
        case Truth::no:
            return arguments_[2];
        case Truth::unknown:
            break;
        }
        return Emitter::constant({});
    }

    Value choose_value() {
        if (!emit_.can_be_real(arguments_[1]) || !emit_.can_be_real(arguments_[2]))
            return cells();
        const Value a = real(1);
        const Value b = real(2);
        Value out = emit_.kernel(&Kernels::choose_real, Form::real, tier_, {truth(0), a, b});
        out.grids = static_cast<std::uint8_t>(a.grids & b.grids);
        out.magnitude = std::max(a.magnitude, b.magnitude);
        return out;
    }

    // --- comparisons

    Value comparison() {
        const Value &a = arguments_[0];
        const Value &b = arguments_[1];
        if (!emit_.can_be_real(a) || !emit_.can_be_real(b))
            return cells();
        if (b.constant)
            return against(a, in_.op, on_grid(b.cell.value, in_.scale));
        if (a.constant) {
            // K ≥ x is not x > K, and K > x is not x ≥ K.
            const double step = on_grid(a.cell.value, in_.scale);
            if (in_.op == Op::equal)
                return against(b, Op::equal, step);
            return below(b, in_.op == Op::at_least ? step + 1 : step);
        }
        if (emit_.can_be_whole(a) && emit_.can_be_whole(b) && a.unit == b.unit)
            return emit_.kernel(in_.op == Op::equal      ? &Kernels::whole_equal
                                : in_.op == Op::at_least ? &Kernels::whole_at_least
                                                         : &Kernels::whole_more,
                                Form::truth, tier_,
                                {emit_.as_whole(a, tier_), emit_.as_whole(b, tier_)});
        const Value x = real(0);
        const Value y = real(1);
        Call call;
        call.x = in_.scale;
        const bool plain = (x.grids & y.grids & grid_bit(in_.scale)) != 0;
        if (in_.op == Op::equal)
            return emit_.kernel(plain ? &Kernels::real_equal : &Kernels::grid_equal, Form::truth,
                                tier_, {x, y}, call);
        if (in_.op == Op::at_least)
            return emit_.kernel(plain ? &Kernels::real_at_least : &Kernels::grid_at_least,
                                Form::truth, tier_, {x, y}, call);
        return emit_.kernel(plain ? &Kernels::real_more : &Kernels::grid_more, Form::truth, tier_,
                            {x, y}, call);
    }

    // Against a constant of so many grid steps.
    Value against(const Value &v, Op op, double step) {
        Call call;
        if (v.form == Form::whole) {
            const auto reaching = [&](double s) { return std::ceil(s / (v.unit * in_.scale)); };
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
            call.x = least_reaching(step, in_.scale);
            call.y = least_reaching(step + 1, in_.scale);
            return emit_.kernel(&Kernels::real_within, Form::truth, tier_, {x}, call);
        }
        call.x = least_reaching(op == Op::more_than ? step + 1 : step, in_.scale);
        return emit_.kernel(&Kernels::real_from, Form::truth, tier_, {x}, call);
    }

    // Less than so many grid steps.
    Value below(const Value &v, double step) {
        Call call;
        if (v.form == Form::whole) {
            const double bound = std::ceil(step / (v.unit * in_.scale));
            call.a = static_cast<std::int32_t>(std::clamp(bound, -32767.0, 32767.0));
            // The largest number of all is below a bound beyond it.
            if (bound <= 32767)
                return emit_.kernel(&Kernels::whole_below, Form::truth, tier_, {v}, call);
        }
        call.x = least_reaching(step, in_.scale);
        return emit_.kernel(&Kernels::real_below, Form::truth, tier_, {emit_.as_real(v, tier_)},
                            call);
    }

    // --- numbers

    Value arithmetic() {
        const Value &a = arguments_[0];
        const Value &b = arguments_[1];
        if (!emit_.can_be_real(a) || !emit_.can_be_real(b))
            return cells();
        if (in_.op == Op::divide && b.constant && b.cell.value == 0)
            return Emitter::constant({});
        Call call;
        Value out;
        double magnitude = 0;
        const double x = std::fabs(a.constant ? a.cell.value : real(0).magnitude);
        const double y = std::fabs(b.constant ? b.cell.value : real(1).magnitude);
        if (a.constant || b.constant)
            call.x = a.constant ? a.cell.value : b.cell.value;
        switch (in_.op) {
        case Op::add:
            magnitude = x + y;
            out =
                a.constant || b.constant ? one(&Kernels::add_constant, call) : both(&Kernels::add);
            break;
        case Op::subtract:
            magnitude = x + y;
            if (b.constant)
                call.x = -b.cell.value;
            out = a.constant   ? one(&Kernels::subtract_from, call)
                  : b.constant ? one(&Kernels::add_constant, call)
                               : both(&Kernels::subtract);
            break;
        case Op::multiply:
            magnitude = x * y;
            out = a.constant || b.constant ? one(&Kernels::multiply_constant, call)
                                           : both(&Kernels::multiply);
            break;
        default:
            magnitude = b.constant ? x / y : std::numeric_limits<double>::infinity();
            out = a.constant   ? one(&Kernels::divide_into, call)
                  : b.constant ? one(&Kernels::divide_constant, call)
                               : both(&Kernels::divide);
        }
        if (!(magnitude < huge)) {
            out = emit_.kernel(&Kernels::finite, Form::real, tier_, {out});
            magnitude = std::numeric_limits<double>::max();
        }
        out.magnitude = magnitude;
        return out;
    }

    // A step on the argument that is not constant; on both.
    Value one(Kernel Kernels::*kernel, const Call &call) {
        return emit_.kernel(kernel, Form::real, tier_, {real(arguments_[0].constant ? 1 : 0)},
                            call);
    }
    Value both(Kernel Kernels::*kernel) {
        return emit_.kernel(kernel, Form::real, tier_, {real(0), real(1)});
    }

    // --- tables and lists

    Value next() {
        if (!emit_.can_be_real(arguments_[0]))
            return cells();
        const program::List &list = emit_.program().lists[in_.index];
        if (list.values.size() > longest_domain)
            return cells();
        std::vector<double> thresholds;
        std::vector<std::uint8_t> meaning;
        Domain domain;
        for (std::size_t k = 0; k < list.steps.size(); ++k) {
            thresholds.push_back(least_reaching(list.steps[k] + 1, list.scale));
            meaning.push_back(static_cast<std::uint8_t>(k));
            domain.cells.push_back(exactly(list.values[k]));
        }
        domain.identity = false;
        meaning.push_back(no_code);
        return emit_.searched(arguments_[0], tier_, thresholds, meaning, std::move(domain));
    }

    // Each key to the place among its values, then the places to the cell.
    Value lookup() {
        const program::Table &table = emit_.program().tables[in_.index];
        std::vector<Value> places;
        for (std::size_t k = 0; k < arguments_.size(); ++k) {
            const auto place = placed(arguments_[k], table.keys[k]);
            if (!place)
                return cells();
            if (place->constant && !place->cell.known())
                return Emitter::constant({});
            places.push_back(*place);
        }
        const auto open =
            std::count_if(places.begin(), places.end(), [](const Value &v) { return !v.constant; });
        if (open > 4 || emit_.combinations(places) > most_cells)
            return cells();
        const auto made = emit_.tabulated(places, tier_, false, [&](std::span<const Cell> at) {
            std::size_t cell = 0;
            for (std::size_t k = 0; k < at.size(); ++k) {
                if (!at[k].known())
                    return Cell{};
                cell = cell * table.keys[k].steps.size() + static_cast<std::size_t>(at[k].value);
            }
            const double value = table.cells[cell * table.columns + in_.column];
            return std::isnan(value) ? Cell{} : exactly(value);
        });
        return made ? *made : cells();
    }

    std::optional<Value> placed(const Value &v, const program::TableKey &key) {
        if (key.steps.size() > longest_domain)
            return std::nullopt;
        const auto place = [&](const Cell &c) {
            const auto at = c.exact() ? evaluate::position(key, c.value) : std::nullopt;
            return at ? exactly(static_cast<double>(*at)) : Cell{};
        };
        if (v.constant)
            return Emitter::constant(place(v.cell));
        if (emit_.is_finite(v))
            return emit_.tabulated(std::span(&v, 1), tier_, false,
                                   [&](std::span<const Cell> c) { return place(c[0]); });
        if (!emit_.can_be_real(v))
            return std::nullopt;
        // Thresholds at and behind each step, so that an odd count is a value met exactly.
        std::vector<double> thresholds;
        std::vector<std::uint8_t> meaning;
        const auto code = [](std::size_t k) { return static_cast<std::uint8_t>(k); };
        const bool exact = key.match == program::TableKey::Match::exact;
        const bool up = key.match == program::TableKey::Match::at_most;
        for (std::size_t k = 0; k < key.steps.size(); ++k) {
            if (!up)
                thresholds.push_back(least_reaching(key.steps[k], key.scale));
            if (exact || up)
                thresholds.push_back(least_reaching(key.steps[k] + 1, key.scale));
            if (up) {
                meaning.push_back(code(k));
            } else {
                meaning.push_back(exact || k == 0 ? no_code : code(k - 1));
                if (exact)
                    meaning.push_back(code(k));
            }
        }
        meaning.push_back(exact || up ? no_code : code(key.steps.size() - 1));
        return emit_.searched(v, tier_, thresholds, meaning, Emitter::identity(key.steps.size()));
    }

    Emitter &emit_;
    program::Register reg_;
    const Instruction &in_;
    std::vector<Value> arguments_;
    std::uint16_t tier_;
};

} // namespace

Value logic(Emitter &emit, bool conjunction, const std::vector<Value> &arguments,
            std::uint16_t tier) {
    const Truth deciding = truth_of(!conjunction);
    std::vector<Value> open;
    for (const Value &v : arguments) {
        const Truth t = v.constant ? truth_in(v.cell) : Truth::unknown;
        if (t == deciding)
            return Emitter::constant(cell_of(deciding));
        if (!v.constant || t == Truth::unknown)
            open.push_back(v);
    }
    if (open.empty())
        return Emitter::constant(cell_of(negation(deciding)));
    if (std::all_of(open.begin(), open.end(), [](const Value &v) { return v.constant; }))
        return Emitter::constant({});
    static constexpr Kernel Kernels::*both[] = {&Kernels::and2, &Kernels::and3, &Kernels::and4};
    static constexpr Kernel Kernels::*either[] = {&Kernels::or2, &Kernels::or3, &Kernels::or4};
    Value so_far = emit.as_truth(open[0], tier);
    for (std::size_t k = 1; k < open.size();) {
        const std::size_t more = std::min<std::size_t>(open.size() - k, 3);
        Step step;
        step.kernel = (conjunction ? both : either)[more - 1];
        step.in.push_back(so_far.buffer);
        for (std::size_t i = 0; i < more; ++i)
            step.in.push_back(emit.as_truth(open[k + i], tier).buffer);
        so_far = emit.emit(std::move(step), Form::truth, tier);
        k += more;
    }
    return so_far;
}

Value operation(Emitter &emit, program::Register reg, std::vector<Value> arguments,
                std::uint16_t tier) {
    return Operation(emit, reg, std::move(arguments), tier).value();
}

} // namespace groundrule::columns
