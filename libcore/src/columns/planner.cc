// Registers to values, in the order in which the rules need them.
#include "columns/lacks.h"
#include "columns/operations.h"
#include "columns/plan_buffers.h"
#include "columns/reductions.h"
#include "columns/thresholds.h"
#include "evaluate/operators.h"
#include "evaluate/reduce.h"
#include "quantity/conductor_size.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace groundrule::columns {

namespace {

using book::Field;
using program::Instruction;
using program::Op;
using program::Register;

bool is_integer(Storage s) {
    return s >= Storage::int8 && s <= Storage::uint64;
}

class Planner {
  public:
    Planner(const book::Book &book, const program::Program &program, Plan &plan)
        : book_(book), program_(program), plan_(plan), emit_(plan, program),
          lacks_(program, plan.layout, emit_,
                 [this](Register reg) -> const Value & { return value(reg); }) {}

    void run(const PlanOptions &options) {
        plan_.assumed.assign(book_.slot_count, {});
        for (const facts::Assumption &a : options.assumptions)
            plan_.assumed[field(a.item, a.field).slot] = exactly(a.value);
        known_.assign(program_.code.size(), std::nullopt);
        for (std::uint32_t r = 0; r < book_.rules.size(); ++r) {
            const book::Rule &rule = book_.rules[r];
            const bool now = options.stage.empty() ||
                             std::find(rule.stages.begin(), rule.stages.end(), options.stage) !=
                                 rule.stages.end();
            if (now && tier_of(static_cast<std::uint16_t>(rule.item)) >= 0)
                verdict(r, options.lacks);
        }
        plan_.read_all = options.read_all;
        // Sources that differ make a row faulty, whether or not a rule reads the fact.
        for (std::size_t i = 0; i < program_.slots.size(); ++i) {
            const program::Slot &slot = program_.slots[i];
            if (tier_of(slot.item) >= 0 && (program_.code[slot.value].op == Op::join ||
                                            (options.read_all && plan_.layout.source_of[i] >= 0)))
                value(slot.value);
        }
    }

  private:
    const Field &field(std::int32_t item, std::int32_t index) const {
        return book_.items[static_cast<std::size_t>(item)].fields[static_cast<std::size_t>(index)];
    }
    std::int32_t tier_of(std::uint16_t space) const { return plan_.layout.tier_of[space]; }
    std::uint16_t tier(const Instruction &in) const {
        return static_cast<std::uint16_t>(tier_of(in.space));
    }
    Register argument(const Instruction &in, std::size_t k) const {
        return program_.arguments[in.first + k];
    }

    void verdict(std::uint32_t index, bool count_lacks) {
        const program::RuleCode &code = program_.rules[index];
        const auto here = static_cast<std::uint16_t>(tier_of(code.space));
        const Value applies = value(code.applies);
        const bool never = applies.constant && truth_in(applies.cell) == Truth::no;
        const Value met = code.met == program::no_register || never ? Emitter::constant(exactly(1))
                                                                    : value(code.met);
        Step step;
        step.act = Act::verdict;
        step.tier = here;
        step.kernel = &Kernels::verdict;
        step.in = {emit_.as_truth(applies, here).buffer, emit_.as_truth(met, here).buffer};
        step.index = static_cast<std::uint32_t>(plan_.rules.size());
        plan_.rules.push_back(index);
        plan_.steps.push_back(std::move(step));
        if (count_lacks)
            plan_.lacks.push_back(never ? std::vector<LackedFacts>() : lacks_.of(code));
    }

    const Value &value(Register reg) { // NOLINT(misc-no-recursion)
        if (!known_[reg]) {
            Value made = plan(reg);
            known_[reg] = made;
        }
        return *known_[reg];
    }

    Value plan(Register reg) { // NOLINT(misc-no-recursion)
        const Instruction &in = program_.code[reg];
        switch (in.op) {
        case Op::constant:
            return Emitter::constant(exactly(in.value));
        case Op::unknown:
        case Op::not_encoded:
            return Emitter::constant({});
        case Op::load:
            return load(in, reg);
        case Op::join:
            return join(in, reg);
        case Op::gather:
            return gather(value(argument(in, 0)), tier(in));
        case Op::open_list:
            return completeness(in);
        case Op::any_of:
        case Op::all_of:
        case Op::count_of:
        case Op::sum_of:
        case Op::max_of:
        case Op::min_of:
            return reduction(in, reg);
        default: {
            std::vector<Value> arguments;
            for (std::size_t k = 0; k < in.count; ++k)
                arguments.push_back(value(argument(in, k)));
            return operation(emit_, reg, std::move(arguments), tier(in));
        }
        }
    }

    // --- facts

    Value load(const Instruction &in, Register reg) { // NOLINT(misc-no-recursion)
        const program::Slot &slot = program_.slots[in.index];
        // A fact that others imply is assumed only after the join.
        const Cell fill = slot.value == reg ? plan_.assumed[in.index] : Cell{};
        const bool inherits = slot.field == 0 && book_.items[slot.item].parent >= 0;
        const Value own = column(in.index, inherits ? Cell{} : fill);
        return inherits ? inherited(own, slot, fill, tier(in)) : own;
    }

    // An item without a kind of work of its own has that of the item above.
    Value inherited(const Value &own, const program::Slot &slot, const Cell &fill,
                    std::uint16_t here) { // NOLINT(misc-no-recursion)
        const auto above = static_cast<std::uint16_t>(book_.items[slot.item].parent);
        const Value parent = gather(given_work(above), here);
        const std::array<Value, 2> both = {own, parent};
        const auto first = [&](std::span<const Cell> c) {
            return c[0].known() ? c[0] : (c[1].known() ? c[1] : fill);
        };
        if (own.constant && parent.constant) {
            const std::array<Cell, 2> cells = {own.cell, parent.cell};
            return Emitter::constant(first(cells));
        }
        return *emit_.tabulated(both, here, false, first);
    }

    // As told, without what is assumed: assumptions are made for each item alone.
    Value given_work(std::uint16_t item) { // NOLINT(misc-no-recursion)
        const Value own = column(field(item, 0).slot, {});
        if (book_.items[item].parent < 0)
            return own;
        return inherited(own, {item, 0, program::no_register}, {},
                         static_cast<std::uint16_t>(tier_of(item)));
    }

    Value column(std::uint32_t slot, const Cell &fill) {
        const std::int32_t index = plan_.layout.source_of[slot];
        if (index < 0 ||
            plan_.layout.sources[static_cast<std::size_t>(index)].storage == Storage::null)
            return Emitter::constant(fill);
        const Source &s = plan_.layout.sources[static_cast<std::size_t>(index)];
        const Field &f = field(s.item, s.field);
        Step step;
        step.act = Act::load;
        step.index = static_cast<std::uint32_t>(index);
        step.fill = fill;
        const Form form = form_of(f, s, fill);
        Value v = emit_.emit(std::move(step), form, s.tier);
        const double scale = book::scale_of(f.type);
        if (form == Form::code)
            v = emit_.code(
                v, Emitter::identity(f.type.kind == ValueKind::choice
                                         ? choices(f)
                                         : static_cast<std::size_t>(conductor_size_count())));
        v.unit = s.factor;
        v.grids = grid_bit(scale);
        v.magnitude = 0x1p53 / scale;
        return v;
    }

    std::size_t choices(const Field &f) const {
        return book_.choice_types[static_cast<std::size_t>(f.type.choices)].choices.size();
    }

    // 16 bits hold what the trade counts in whole amperes, volts and degrees; a row beyond them is
    // checked on its own. What is assumed where a row tells nothing has to be held too.
    Form form_of(const Field &f, const Source &s, const Cell &fill) const {
        switch (f.type.kind) {
        case ValueKind::truth:
            return Form::truth;
        case ValueKind::choice:
            return choices(f) <= longest_domain ? Form::code : Form::real;
        case ValueKind::conductor_size:
            return Form::code;
        case ValueKind::date:
            return Form::real;
        case ValueKind::quantity:
            break;
        }
        const Dimension &d = f.type.dimension;
        const bool counted = d == dimension::current || d == dimension::voltage ||
                             d == dimension::number || d.kelvin != 0;
        const bool whole = is_integer(s.storage) && s.offset == 0 && counted &&
                           s.factor == std::floor(s.factor) && s.factor <= 1000;
        const double assumed = fill.value / s.factor; // nothing is assumed: 0
        return whole && assumed == std::floor(assumed) && std::fabs(assumed) <= 32767 ? Form::whole
                                                                                      : Form::real;
    }

    Value gather(const Value &v, std::uint16_t here) { // NOLINT(misc-no-recursion)
        if (v.constant || v.tier == here)
            return v;
        if (v.form == Form::bounds)
            return emit_.between(gather(emit_.lower(v, v.tier), here),
                                 gather(emit_.upper(v, v.tier), here), here);
        Step step;
        step.act = Act::gather;
        step.in = {v.buffer};
        const Value out = emit_.emit(std::move(step), v.form, here);
        Value made = v;
        made.buffer = out.buffer;
        made.tier = here;
        return made;
    }

    // --- what is given and what other facts imply

    Value join(const Instruction &in, Register reg) { // NOLINT(misc-no-recursion)
        std::vector<Value> sources;
        for (std::size_t k = 0; k < in.count; ++k) {
            const Value &v = value(argument(in, k));
            if (!v.constant || v.cell.known())
                sources.push_back(v);
        }
        const Cell fill = plan_.assumed[in.index];
        if (sources.empty())
            return Emitter::constant(fill);
        if (sources.size() == 1)
            return filled(sources[0], fill, in, reg);
        const auto all = [&](auto test) {
            return std::all_of(sources.begin(), sources.end(), test);
        };
        if (all([](const Value &v) { return v.constant; }))
            return join_cells(in, reg, sources, fill);
        const auto is_truth = [](const Value &v) { return !v.constant && v.form == Form::truth; };
        if (std::any_of(sources.begin(), sources.end(), is_truth)) {
            for (Value &v : sources)
                v = emit_.as_truth(v, tier(in));
            return filled(joined(&Kernels::join_truth, Form::truth, sources, in), fill, in, reg);
        }
        if (all([&](const Value &v) { return v.form == Form::code && emit_.domain(v).identity; })) {
            std::size_t size = 0;
            for (const Value &v : sources)
                size = std::max(size, emit_.domain(v).cells.size());
            return filled(emit_.code(joined(&Kernels::join_code, Form::code, sources, in),
                                     Emitter::identity(size)),
                          fill, in, reg);
        }
        if (!all([&](const Value &v) { return emit_.can_be_real(v); }))
            return join_cells(in, reg, sources, fill);
        Value out;
        out.grids = 0xff;
        for (Value &v : sources) {
            v = emit_.as_real(v, tier(in));
            out.grids = static_cast<std::uint8_t>(out.grids & v.grids);
            out.magnitude = std::max(out.magnitude, v.magnitude);
        }
        Value made = joined(&Kernels::join_real, Form::real, sources, in);
        made.grids = out.grids;
        made.magnitude = out.magnitude;
        return filled(made, fill, in, reg);
    }

    Value joined(Kernel Kernels::*kernel, Form form, const std::vector<Value> &sources,
                 const Instruction &in) {
        Value so_far = sources[0];
        for (std::size_t k = 1; k < sources.size(); ++k) {
            Step step;
            step.kernel = kernel;
            step.in = {so_far.buffer, sources[k].buffer};
            step.call.x = in.scale;
            step.joins = true;
            so_far = emit_.emit(std::move(step), form, tier(in));
        }
        return so_far;
    }

    Value join_cells(const Instruction &in, Register reg, const std::vector<Value> &sources,
                     const Cell &fill) {
        Step step;
        step.act = Act::join_cells;
        step.instruction = reg;
        step.arguments = sources;
        for (const Value &v : sources)
            Emitter::reads(step, v);
        step.fill = fill;
        step.joins = true;
        return emit_.emit_bounds(std::move(step), tier(in));
    }

    Value filled(const Value &v, const Cell &fill, const Instruction &in, Register reg) {
        if (!fill.known() || v.constant)
            return v;
        const auto first = [&](std::span<const Cell> c) { return c[0].known() ? c[0] : fill; };
        if (emit_.is_finite(v)) {
            const auto made =
                emit_.tabulated(std::span(&v, 1), tier(in), v.form == Form::truth, first);
            if (made)
                return *made;
        }
        if (!emit_.can_be_real(v))
            return join_cells(in, reg, {v}, fill);
        const Value real = emit_.as_real(v, tier(in));
        Call call;
        call.x = fill.value;
        Value out = emit_.kernel(&Kernels::real_or, Form::real, tier(in), {real}, call);
        out.grids = static_cast<std::uint8_t>(real.grids & grids_of(fill.value));
        out.magnitude = std::max(real.magnitude, std::fabs(fill.value));
        return out;
    }

    // --- lists

    Value completeness(const Instruction &in) {
        if (plan_.layout.whole_children[in.child] == 0)
            return Emitter::constant({});
        const std::int32_t child = plan_.layout.tier_of[in.child];
        if (child < 0 || child == tier(in))
            return Emitter::constant(exactly(1));
        // A list that is null in a row is not told there.
        Step step;
        step.act = Act::load_whole;
        step.index = static_cast<std::uint32_t>(child);
        return emit_.emit(std::move(step), Form::truth, tier(in));
    }

    Value reduction(const Instruction &in, Register reg) { // NOLINT(misc-no-recursion)
        const Value complete = value(argument(in, 0));
        const std::int32_t child = tier_of(in.child);
        if (child < 0)
            return Emitter::constant(evaluate::of_nothing(in, program_, complete.cell.exact()));
        std::vector<Value> arguments = {complete, value(argument(in, 1))};
        if (in.count > 2)
            arguments.push_back(value(argument(in, 2)));
        if (child == tier(in))
            return reduced_alone(emit_, in, arguments, tier(in));
        const bool truth = in.op == Op::any_of || in.op == Op::all_of;
        Step step;
        step.act = Act::reduce;
        step.instruction = reg;
        step.child = static_cast<std::uint16_t>(child);
        for (const Value &v : arguments)
            Emitter::reads(step, v);
        step.arguments = std::move(arguments);
        return truth ? emit_.emit(std::move(step), Form::truth, tier(in))
                     : emit_.emit_bounds(std::move(step), tier(in));
    }

    const book::Book &book_;
    const program::Program &program_;
    Plan &plan_;
    Emitter emit_;
    Lacks lacks_;
    std::vector<std::optional<Value>> known_;
};

} // namespace

Plan plan_for(const book::Book &book, const program::Program &program, Layout layout,
              const PlanOptions &options) {
    Plan plan;
    plan.layout = std::move(layout);
    Planner(book, program, plan).run(options);
    drop_dead_steps(plan);
    share_buffers(plan);
    return plan;
}

} // namespace groundrule::columns
