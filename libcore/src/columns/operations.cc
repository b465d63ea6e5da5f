// In order of preference: a constant; a table of bytes; a loop over narrow or plain numbers; cell
// by cell with the scalar operators.
#include "columns/operations.h"

#include "columns/numbers.h"
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

class Operation {
  public:
    Operation(Emitter &emit, program::Register reg, std::vector<Value> arguments,
              std::uint16_t tier)
        : emit_(emit), reg_(reg), in_(emit.program().code[reg]), arguments_(std::move(arguments)),
          tier_(tier) {
        for (Value &v : arguments_) {
            if (needs_exact(in_.op) && !v.constant && v.form == Form::bounds)
                v = emit_.exact(v, tier_);
        }
    }

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
            return compared(emit_, in_.op, in_.scale, arguments_[0], arguments_[1], tier_);
        case Op::add:
        case Op::subtract:
        case Op::multiply:
        case Op::divide:
            return computed(emit_, in_.op, arguments_[0], arguments_[1], tier_);
        case Op::larger:
        case Op::smaller:
            return extreme(emit_, in_.op == Op::larger, arguments_, tier_);
        case Op::choose_value:
            return chosen_number(emit_, truth(0), arguments_[1], arguments_[2], tier_);
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
        for (const Value &v : arguments_)
            Emitter::reads(step, v);
        step.arguments = arguments_;
        Value out =
            emit_.emit(std::move(step), gives_truth(in_.op) ? Form::truth : Form::real, tier_);
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

    // --- tables and lists

    Value next() {
        const program::List &list = emit_.program().lists[in_.index];
        Value limit = arguments_[0];
        if (limit.form == Form::bounds)
            limit = reaching_the_first(limit, list);
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
        return emit_.searched(limit, tier_, thresholds, meaning, std::move(domain));
    }

    // The first element reaches a limit of which only the most is known; the others need it
    // exactly.
    Value reaching_the_first(const Value &limit, const program::List &list) {
        const Value most = emit_.upper(limit, tier_);
        const Value reached =
            compared(emit_, Op::at_least, list.scale,
                     Emitter::constant(exactly(list.values.front())), most, tier_);
        return chosen_number(emit_, reached, most, emit_.exact(limit, tier_), tier_);
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
