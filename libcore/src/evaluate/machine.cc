// One loop a kind of step. What a comparison gives for every state of its operands is written down
// in small tables made of the operators' own definitions, so that nothing jumps on what a job says.
#include "evaluate/machine.h"

#include "evaluate/operate.h"
#include "evaluate/reduce.h"

#include <array>
#include <bit>

namespace groundrule::evaluate {

namespace {

constexpr std::size_t index_of(Bound b) {
    return static_cast<std::size_t>(b);
}
constexpr std::size_t index_of(Truth t) {
    return static_cast<std::size_t>(t);
}
using ByBounds = std::array<Truth, 64>; // flip, holds, left, right

// What "left is at least right" is if the numbers told are so (`holds`), and how far they bind.
constexpr ByBounds compared = [] {
    ByBounds out = {};
    for (std::size_t i = 0; i < out.size(); ++i) {
        const bool holds = (i >> 4u & 1u) != 0;
        const Cell left{0, static_cast<Bound>(i >> 2u & 3u)};
        const Cell right{0, static_cast<Bound>(i & 3u)};
        const bool sure =
            holds ? has_low(left) && has_high(right) : has_high(left) && has_low(right);
        const Truth t = sure ? truth_of(holds) : Truth::unknown;
        out[i] = (i >> 5u & 1u) != 0 ? negation(t) : t;
    }
    return out;
}();

std::size_t at(bool flip, bool holds, Bound left, Bound right) {
    return static_cast<std::size_t>(flip) << 5u | static_cast<std::size_t>(holds) << 4u |
           index_of(left) << 2u | index_of(right);
}

Truth over(bool flip, const Cell &value, double threshold) {
    return compared[at(flip, value.value >= threshold, value.bound, Bound::exact)];
}

constexpr std::array<Truth, 9> both_of = [] {
    std::array<Truth, 9> out = {};
    for (std::size_t i = 0; i < 9; ++i)
        out[i] = both(static_cast<Truth>(i / 3), static_cast<Truth>(i % 3));
    return out;
}();

constexpr std::array<Verdict, 9> verdict_by = [] {
    std::array<Verdict, 9> out = {};
    for (std::size_t i = 0; i < 9; ++i)
        out[i] = verdict_of(static_cast<Truth>(i / 3), static_cast<Truth>(i % 3));
    return out;
}();

// A truth of a bit, known of an exact cell only.
constexpr std::array<Truth, 8> exact_truth = [] {
    std::array<Truth, 8> out = {};
    out[index_of(Bound::exact)] = Truth::no;
    out[4 + index_of(Bound::exact)] = Truth::yes;
    return out;
}();

// One of two cells. Both are at hand, and nothing jumps: which one counts can't be foreseen.
Cell picked(bool first, const Cell &a, const Cell &b) {
    const auto mask = -static_cast<std::uint64_t>(first);
    const std::uint64_t value = (std::bit_cast<std::uint64_t>(a.value) & mask) |
                                (std::bit_cast<std::uint64_t>(b.value) & ~mask);
    const std::uint64_t bound = (static_cast<std::uint64_t>(a.bound) & mask) |
                                (static_cast<std::uint64_t>(b.bound) & ~mask);
    return {std::bit_cast<double>(value), static_cast<Bound>(bound)};
}

constexpr std::array<Bound, 64> product_bounds = [] { // both positive, both bounds
    std::array<Bound, 64> out = {};
    for (std::size_t i = 0; i < out.size(); ++i)
        out[i] = product_bound(static_cast<Bound>(i >> 2u & 3u), (i >> 5u & 1u) != 0,
                               static_cast<Bound>(i & 3u), (i >> 4u & 1u) != 0);
    return out;
}();

Cell product(const Cell &a, const Cell &b) {
    const double value = a.value * b.value;
    const Bound bound = product_bounds[at(a.value >= 0, b.value >= 0, a.bound, b.bound)];
    return picked((bound != Bound::unknown) & std::isfinite(value), {value, bound}, Cell{});
}

// Truths as two bits: bit 0 "yes", bit 1 "no".
static_assert(static_cast<int>(Truth::yes) == 1 && static_cast<int>(Truth::no) == 2);

struct Seen {
    unsigned all = 3;
    unsigned any = 0;
};

Seen seen(const Truth *truths, const std::uint32_t *places, std::uint32_t count) {
    Seen s;
    for (std::uint32_t k = 0; k < count; ++k) {
        const auto t = static_cast<unsigned>(truths[places[k]]);
        s.all &= t;
        s.any |= t;
    }
    return s;
}

} // namespace

Cell Machine::fact_or_assumed(const Step &step) const {
    const facts::Rows &rows = job_.rows(static_cast<std::int32_t>(step.a));
    const Cell *given = rows.given.cells().data() + step.set;
    const Cell *assumed = rows.assumed.cells().data() + step.set;
    return picked(given->known() | !step.flip, *given, *assumed);
}

Cell Machine::work(const Step &step) const {
    auto item = static_cast<std::int32_t>(step.a);
    std::size_t row = step.row;
    Cell given = job_.rows(item).given.at(0, row);
    while (!given.known() && item > 0) {
        row = static_cast<std::size_t>(job_.rows(item).parent[row]);
        item = program_.spaces[static_cast<std::size_t>(item)].parent;
        given = job_.rows(item).given.at(0, row);
    }
    return given.known() || !step.flip
               ? given
               : job_.rows(static_cast<std::int32_t>(step.a)).assumed.at(0, step.row);
}

Cell Machine::joined_facts(const Step &step) {
    const program::Instruction &in = program_.code[step.instruction];
    const std::uint32_t *places = plan_.operands.data() + step.a;
    Cell value = this->value(places[0]);
    bool ever = false;
    for (std::uint32_t k = 1; k < step.b; ++k) {
        bool apart = false;
        value = joined(value, this->value(places[k]), in.scale, apart);
        ever = ever || apart;
    }
    apart_[step.set] = ever ? 1 : 0;
    if (value.known())
        return value;
    const program::Slot &slot = program_.slots[in.index];
    return job_.rows(slot.item).assumed.at(slot.field, step.row);
}

void Machine::look_up(const Step *begin, const Step *end) {
    const std::uint32_t *operands = plan_.operands.data();
    const DenseTable *tables = dense_.tables.data();
    for (const Step *s = begin; s != end; ++s) {
        const DenseTable &table = tables[s->row];
        const DenseKey *key = table.keys.data();
        std::int64_t at = 0;
        std::int64_t found = 0; // below zero as soon as one key is not found
        for (std::uint32_t k = 0; k < s->b; ++k, ++key) {
            const std::int64_t position = key->position(value(operands[s->a + k]));
            found |= position;
            at = at * key->size() + position;
        }
        const auto cell = static_cast<std::size_t>(found < 0 ? 0 : at) * table.columns + s->set;
        const double value = table.cells[cell]; // NaN: the table has none
        put(s->out, picked((found >= 0) & (value == value), exactly(value), Cell{}));
    }
}

Cell Machine::next(const Step &step) const {
    const std::uint32_t list = program_.code[step.instruction].index;
    const Cell limit = value(step.a);
    if (!limit.exact())
        return next_in(program_.lists[list], limit);
    const std::int32_t at = dense_.lists[list].position(limit);
    return at < 0 ? Cell{} : exactly(program_.lists[list].values[static_cast<std::size_t>(at)]);
}

Cell Machine::general(const Step &step) const {
    const std::uint32_t *places = plan_.operands.data() + step.a;
    return operate(program_, program_.code[step.instruction],
                   [&](std::size_t k) { return value(places[k]); });
}

Cell Machine::reduced(const Step &step) const {
    const program::Instruction &in = program_.code[step.instruction];
    const std::uint32_t *places = plan_.operands.data() + step.a;
    const bool truths = step.kind == StepKind::reduce_truth;
    const std::uint32_t width = in.count > 2 ? 2 : 1;
    Reduction so_far = start(in.op);
    for (std::uint32_t k = 1; k < step.b; k += width) {
        const Truth counts = truths_[places[k]];
        if (width == 1)
            see(so_far, in.op, counts, cell_of(counts));
        else
            see(so_far, in.op, counts,
                truths ? cell_of(truths_[places[k + 1]]) : value(places[k + 1]));
    }
    return finish(so_far, in.op, truths_[places[0]] == Truth::yes, step.non_negative);
}

void Machine::run(StepKind kind, const Step *begin, const Step *end) {
    const std::uint32_t *operands = plan_.operands.data();
    switch (kind) {
    case StepKind::fact:
        if (job_.assumes()) {
            for (const Step *s = begin; s != end; ++s)
                put(s->out, fact_or_assumed(*s));
            return;
        }
        for (const Step *s = begin; s != end; ++s)
            put(s->out, job_.rows(static_cast<std::int32_t>(s->a)).given.cells()[s->set]);
        return;
    case StepKind::work:
        for (const Step *s = begin; s != end; ++s)
            put(s->out, work(*s));
        return;
    case StepKind::complete:
        for (const Step *s = begin; s != end; ++s) {
            const program::Instruction &in = program_.code[s->instruction];
            truths_[s->out] =
                job_.is_complete(in.space, in.child, s->row) ? Truth::yes : Truth::unknown;
        }
        return;
    case StepKind::threshold:
        for (const Step *s = begin; s != end; ++s)
            truths_[s->out] = over(s->flip, value(s->a), s->x);
        return;
    case StepKind::within:
        for (const Step *s = begin; s != end; ++s) {
            const Cell left = value(s->a);
            truths_[s->out] =
                both_of[index_of(over(false, left, s->x)) * 3 + index_of(over(true, left, s->y))];
        }
        return;
    case StepKind::compare:
        for (const Step *s = begin; s != end; ++s) {
            const Cell left = value(s->a);
            const Cell right = value(s->b);
            const bool holds = on_grid(left.value, s->x) >= on_grid(right.value, s->x);
            truths_[s->out] = compared[at(s->flip, holds, left.bound, right.bound)];
        }
        return;
    case StepKind::member:
        for (const Step *s = begin; s != end; ++s) {
            const Cell left = value(s->a);
            const auto bit = s->set >> (static_cast<std::uint64_t>(left.value) & 63u) & 1u;
            truths_[s->out] = exact_truth[bit << 2u | index_of(left.bound)];
        }
        return;
    case StepKind::truth_of_value:
        for (const Step *s = begin; s != end; ++s)
            truths_[s->out] = truth_in(value(s->a));
        return;
    case StepKind::value_of_truth:
        for (const Step *s = begin; s != end; ++s)
            put(s->out, cell_of(truths_[s->a]));
        return;
    case StepKind::conjunction:
        for (const Step *s = begin; s != end; ++s) {
            const Seen t = seen(truths_, operands + s->a, s->b);
            truths_[s->out] = static_cast<Truth>((t.all & 1u) | (t.any & 2u));
        }
        return;
    case StepKind::disjunction:
        for (const Step *s = begin; s != end; ++s) {
            const Seen t = seen(truths_, operands + s->a, s->b);
            truths_[s->out] = static_cast<Truth>((t.any & 1u) | (t.all & 2u));
        }
        return;
    case StepKind::negation:
        for (const Step *s = begin; s != end; ++s) {
            const auto t = static_cast<unsigned>(truths_[s->a]);
            truths_[s->out] = static_cast<Truth>(t >> 1u | (t << 1u & 2u));
        }
        return;
    case StepKind::choose_truth:
        for (const Step *s = begin; s != end; ++s) {
            const std::uint32_t *p = operands + s->a;
            truths_[s->out] = choose(truths_[p[0]], truths_[p[1]], truths_[p[2]]);
        }
        return;
    case StepKind::choose_value:
        for (const Step *s = begin; s != end; ++s) {
            const std::uint32_t *p = operands + s->a;
            const Truth t = truths_[p[0]];
            put(s->out, picked(t != Truth::unknown,
                               picked(t == Truth::yes, value(p[1]), value(p[2])), Cell{}));
        }
        return;
    case StepKind::add:
        for (const Step *s = begin; s != end; ++s)
            put(s->out, add(value(s->a), value(s->b)));
        return;
    case StepKind::multiply:
        for (const Step *s = begin; s != end; ++s)
            put(s->out, product(value(s->a), value(s->b)));
        return;
    case StepKind::lookup:
        look_up(begin, end);
        return;
    case StepKind::next:
        for (const Step *s = begin; s != end; ++s)
            put(s->out, next(*s));
        return;
    case StepKind::join:
        for (const Step *s = begin; s != end; ++s)
            put(s->out, joined_facts(*s));
        return;
    case StepKind::general_value:
        for (const Step *s = begin; s != end; ++s)
            put(s->out, general(*s));
        return;
    case StepKind::general_truth:
        for (const Step *s = begin; s != end; ++s)
            truths_[s->out] = truth_in(general(*s));
        return;
    case StepKind::reduce_value:
        for (const Step *s = begin; s != end; ++s)
            put(s->out, reduced(*s));
        return;
    case StepKind::reduce_truth:
        for (const Step *s = begin; s != end; ++s)
            truths_[s->out] = truth_in(reduced(*s));
        return;
    case StepKind::verdict:
        for (const Step *s = begin; s != end; ++s)
            verdicts_[s->out] = verdict_by[index_of(truths_[s->a]) * 3 + index_of(truths_[s->b])];
        return;
    }
}

bool Machine::changes(const Step &step) {
    if (step.kind == StepKind::verdict) {
        run(step.kind, &step, &step + 1);
        return false; // nothing reads it
    }
    if (gives_truth(step.kind)) {
        const Truth before = truths_[step.out];
        run(step.kind, &step, &step + 1);
        return truths_[step.out] != before;
    }
    const Cell before = value(step.out);
    run(step.kind, &step, &step + 1);
    const Cell now = value(step.out);
    return now.bound != before.bound || now.value != before.value;
}

} // namespace groundrule::evaluate
