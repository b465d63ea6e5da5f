// The walk of evaluate/trace.cc, for all rows at once: from arguments to results, so that what
// several rules share is worked out once. Every truth here is known.
#include "columns/lacks.h"

#include <algorithm>

namespace groundrule::columns {

using evaluate::Lack;
using program::Instruction;
using program::Op;
using program::Register;

namespace {

constexpr LackedFact not_encoded{Lack::Kind::not_encoded, 0};
constexpr LackedFact no_value{Lack::Kind::no_value, 0};

Value always(bool truth) {
    return Emitter::constant(exactly(truth ? 1 : 0));
}

bool always_is(const Value &v, double truth) {
    return v.constant && v.cell.value == truth;
}

} // namespace

std::vector<LackedFacts> Lacks::of(const program::RuleCode &code) {
    const std::uint16_t here = tier(code.space);
    Rows rows;
    for (const Register reg : {code.applies, code.met}) {
        if (reg != program::no_register)
            add(rows, lacks(reg), here);
    }
    std::map<std::uint32_t, std::vector<LackedFact>> by_buffer;
    for (const auto &[fact, v] : rows)
        by_buffer[emit_.buffer_of(v, Form::truth, here)].push_back(fact);
    std::vector<LackedFacts> out;
    out.reserve(by_buffer.size());
    for (auto &[buffer, facts] : by_buffer)
        out.push_back({std::move(facts), buffer});
    return out;
}

const Lacks::Rows &Lacks::lacks(Register reg) { // NOLINT(misc-no-recursion)
    if (const auto at = known_.find(reg); at != known_.end())
        return at->second;
    const Value still = open(reg);
    Rows rows;
    if (!always_is(still, 0))
        rows = where(found(reg), still, tier(program_.code[reg].space));
    return known_[reg] = std::move(rows);
}

// Of rows in which the register is open.
Lacks::Rows Lacks::found(Register reg) { // NOLINT(misc-no-recursion)
    const Instruction &in = program_.code[reg];
    const std::uint16_t here = tier(in.space);
    switch (in.op) {
    case Op::unknown:
        return {};
    case Op::not_encoded:
        return {{not_encoded, always(true)}};
    case Op::load:
    case Op::join:
        return of_fact(in);
    case Op::gather: {
        Rows rows;
        for (const auto &[fact, v] : lacks(argument(in, 0)))
            rows[fact] = moved(Act::gather, v, here, here);
        return rows;
    }
    case Op::open_list:
        return {{{Lack::Kind::list, in.child}, always(true)}};
    case Op::choose_truth:
    case Op::choose_value:
        return of_choice(in);
    case Op::next:
    case Op::first_where:
        return of_first_open(in);
    default:
        break;
    }
    if (in.op >= Op::any_of)
        return of_reduction(in);
    Rows rows = of_arguments(in);
    if (in.op == Op::lookup || in.op == Op::divide) {
        Value unsettled = always(false);
        for (std::size_t k = 0; k < in.count; ++k)
            unsettled = either(unsettled, open(argument(in, k)), here);
        add(rows, {{no_value, not_in(unsettled, here)}}, here);
    }
    return rows;
}

Lacks::Rows Lacks::of_arguments(const Instruction &in) { // NOLINT(misc-no-recursion)
    Rows rows;
    for (std::size_t k = 0; k < in.count; ++k)
        add(rows, lacks(argument(in, k)), tier(in.space));
    return rows;
}

// What the sources of an implied fact lack is not lacking itself, but for their lists.
Lacks::Rows Lacks::of_fact(const Instruction &in) { // NOLINT(misc-no-recursion)
    Rows rows{{{Lack::Kind::fact, in.index}, always(true)}};
    for (std::size_t k = 1; in.op == Op::join && k < in.count; ++k) {
        Rows lists = lacks(argument(in, k));
        std::erase_if(lists, [](const auto &r) { return r.first.kind != Lack::Kind::list; });
        add(rows, lists, tier(in.space));
    }
    return rows;
}

Lacks::Rows Lacks::of_choice(const Instruction &in) { // NOLINT(misc-no-recursion)
    const std::uint16_t here = tier(in.space);
    const Register condition = argument(in, 0);
    Rows rows = where(lacks(condition), is(condition, Truth::unknown), here);
    const std::pair<Truth, std::size_t> branches[] = {{Truth::yes, 1}, {Truth::no, 2}};
    for (const auto &[truth, k] : branches) {
        const Value taken = is(condition, truth);
        if (!always_is(taken, 0))
            add(rows, where(lacks(argument(in, k)), taken, here), here);
    }
    return rows;
}

// A list is scanned up to the first element that is open.
Lacks::Rows Lacks::of_first_open(const Instruction &in) { // NOLINT(misc-no-recursion)
    const std::uint16_t here = tier(in.space);
    Rows rows;
    Value before = always(false);
    for (std::size_t k = 0; k < in.count && !always_is(before, 1); ++k) {
        add(rows, where(lacks(argument(in, k)), not_in(before, here), here), here);
        before = either(before, open(argument(in, k)), here);
    }
    add(rows, {{no_value, not_in(before, here)}}, here);
    return rows;
}

Lacks::Rows Lacks::of_reduction(const Instruction &in) { // NOLINT(misc-no-recursion)
    const std::uint16_t here = tier(in.space);
    Rows rows = lacks(argument(in, 0));
    if (layout_.tier_of[in.child] >= 0) {
        const std::uint16_t child = tier(in.child);
        const Register filter = argument(in, 1);
        Rows below = where(lacks(filter), is(filter, Truth::unknown), child);
        const Value counted = not_in(is(filter, Truth::no), child);
        if (in.count > 2 && !always_is(counted, 0))
            add(below, where(lacks(argument(in, 2)), counted, child), child);
        for (auto &[fact, v] : below)
            v = moved(Act::any_below, v, here, child);
        add(rows, below, here);
    }
    if (in.op == Op::max_of || in.op == Op::min_of)
        add(rows, {{no_value, not_in(any(rows, here), here)}}, here);
    return rows;
}

// --- truths

void Lacks::add(Rows &to, const Rows &more, std::uint16_t here) {
    for (const auto &[fact, v] : more) {
        const auto [at, fresh] = to.try_emplace(fact, v);
        if (!fresh)
            at->second = either(at->second, v, here);
        if (always_is(at->second, 0))
            to.erase(at);
    }
}

Lacks::Rows Lacks::where(const Rows &rows, const Value &condition, std::uint16_t here) {
    Rows out;
    for (const auto &[fact, v] : rows) {
        const Value both_hold = both(v, condition, here);
        if (!always_is(both_hold, 0))
            out[fact] = both_hold;
    }
    return out;
}

Value Lacks::any(const Rows &rows, std::uint16_t here) {
    Value out = always(false);
    for (const auto &[fact, v] : rows)
        out = either(out, v, here);
    return out;
}

Value Lacks::open(Register reg) {
    const Value v = value_(reg);
    if (v.constant)
        return always(!v.cell.exact());
    const std::uint16_t here = tier(program_.code[reg].space);
    if (emit_.is_finite(v))
        return *emit_.tabulated(std::span(&v, 1), here, true, [](std::span<const Cell> c) {
            return exactly(c[0].exact() ? 0 : 1);
        });
    const Value number = emit_.exact(v, here);
    return once({Made::open, number.buffer, 0}, [&] {
        Step step;
        step.act = Act::open;
        step.in = {number.buffer};
        step.arguments = {number};
        return emit_.emit(std::move(step), Form::truth, here);
    });
}

Value Lacks::is(Register reg, Truth truth) {
    const Value v = value_(reg);
    if (v.constant)
        return always(truth_in(v.cell) == truth);
    const std::uint16_t here = tier(program_.code[reg].space);
    const Value asked = emit_.as_truth(v, here);
    return *emit_.tabulated(std::span(&asked, 1), here, true, [&](std::span<const Cell> c) {
        return exactly(truth_in(c[0]) == truth ? 1 : 0);
    });
}

Value Lacks::both(const Value &a, const Value &b, std::uint16_t here) {
    return logic(a, b, here, true);
}

Value Lacks::either(const Value &a, const Value &b, std::uint16_t here) {
    return logic(a, b, here, false);
}

Value Lacks::logic(const Value &a, const Value &b, std::uint16_t here, bool conjunction) {
    if (a.constant || b.constant) {
        const double deciding = conjunction ? 0 : 1;
        const bool first = always_is(a, deciding) || always_is(b, 1 - deciding);
        return first ? a : b;
    }
    if (a.buffer == b.buffer)
        return a;
    const Key key{conjunction ? Made::both : Made::either, std::min(a.buffer, b.buffer),
                  std::max(a.buffer, b.buffer)};
    return once(key, [&] {
        return emit_.kernel(conjunction ? &Kernels::and2 : &Kernels::or2, Form::truth, here,
                            {a, b});
    });
}

Value Lacks::not_in(const Value &a, std::uint16_t here) {
    if (a.constant)
        return always(always_is(a, 0));
    return once({Made::negation, a.buffer, 0},
                [&] { return emit_.kernel(&Kernels::negate, Form::truth, here, {a}); });
}

// Down to the rows of a list, or up from them: does it hold in any?
Value Lacks::moved(Act act, const Value &v, std::uint16_t here, std::uint16_t child) {
    if (v.constant && act == Act::gather)
        return v;
    if (!v.constant && (act == Act::gather ? v.tier : child) == here)
        return v;
    if (v.constant && child == here)
        return v;
    const Value below = emit_.as_truth(v, child);
    const Made kind = act == Act::gather ? Made::gathered : Made::any_below;
    return once({kind, below.buffer, here}, [&] {
        Step step;
        step.act = act;
        step.in = {below.buffer};
        step.child = child;
        return emit_.emit(std::move(step), Form::truth, here);
    });
}

} // namespace groundrule::columns
