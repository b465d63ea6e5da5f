// The arithmetic of an explanation, done again from what it shows: facts as told, cells of tables,
// values of lists, constants. No register of a run is read here.
#include "answers/explain.h"
#include "evaluate/operators.h"
#include "evaluate/reduce.h"
#include "program/program.h"

#include <algorithm>
#include <optional>

namespace groundrule::answers {

using book::NodeOp;

namespace {

using Steps = std::vector<Step>;

Cell part(const Steps &steps, const Step &s, std::size_t k) {
    return steps[s.parts[k]].value;
}
Truth truth(const Steps &steps, const Step &s, std::size_t k) {
    return truth_in(part(steps, s, k));
}

// Facts: what is told, joined with what each known source of an implication says.
Cell fact(const Steps &steps, const Step &s) {
    const double scale = scale_of(s.type);
    Cell value = s.source == Source::assumed ? Cell{} : s.told;
    bool apart = false;
    for (std::size_t k = 0; k < s.parts.size(); ++k)
        value = evaluate::joined(value, part(steps, s, k), scale, apart);
    value = value.known() ? value : s.told;
    // Two sources may bound a fact from both sides; its readers then see "at least" alone.
    return s.facing_bounds ? evaluate::larger(value, value) : value;
}

std::optional<std::size_t> place_in(const book::Key &key, const Cell &value) {
    if (!value.exact())
        return std::nullopt;
    const double scale = scale_of(key.type);
    const double at = on_grid(value.value, scale);
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < key.values.size(); ++i) {
        const double row = on_grid(key.values[i], scale);
        if (row == at || (key.match == ast::KeyMatch::at_most && row > at))
            return i;
        if (key.match == ast::KeyMatch::at_least && row < at)
            found = i;
    }
    return found;
}

Cell looked_up(const book::Book &book, const Steps &steps, const Step &s) {
    const book::Table &table = book.tables[static_cast<std::size_t>(s.index)];
    std::size_t at = 0;
    for (std::size_t k = 0; k < s.parts.size(); ++k) {
        const auto found = place_in(table.keys[k], part(steps, s, k));
        if (!found)
            return {};
        at = at * table.keys[k].values.size() + *found;
    }
    const double value = table.cells[at * table.types.size() + s.cell % table.types.size()];
    return std::isnan(value) ? Cell{} : exactly(value);
}

Cell searched(const book::Book &book, const Steps &steps, const Step &s) {
    const book::List &list = book.lists[static_cast<std::size_t>(s.index)];
    if (s.parts.empty())
        return exactly(s.largest ? list.values.back() : list.values.front());
    if (s.words == "at_least") {
        const Cell limit = part(steps, s, 0);
        const double scale = scale_of(list.type);
        // The first value may reach a limit of which only the most is known.
        if (limit.bound == Bound::at_most &&
            on_grid(limit.value, scale) <= on_grid(list.values.front(), scale))
            return exactly(list.values.front());
        for (std::size_t i = 0; limit.exact() && i < list.values.size(); ++i) {
            if (on_grid(list.values[i], scale) >= on_grid(limit.value, scale))
                return exactly(list.values[i]);
        }
        return {};
    }
    for (std::size_t k = 0; k < s.parts.size(); ++k) {
        if (truth(steps, s, k) == Truth::unknown)
            return {};
        if (truth(steps, s, k) == Truth::yes)
            return exactly(list.values[s.largest ? list.values.size() - 1 - k : k]);
    }
    return {};
}

program::Op reduction(NodeOp op) {
    switch (op) {
    case NodeOp::any:
        return program::Op::any_of;
    case NodeOp::all:
        return program::Op::all_of;
    case NodeOp::count:
        return program::Op::count_of;
    case NodeOp::sum:
        return program::Op::sum_of;
    case NodeOp::max:
        return program::Op::max_of;
    default:
        return program::Op::min_of;
    }
}

Cell counted(const Steps &steps, const Step &s) {
    const program::Op op = reduction(s.op);
    evaluate::Reduction seen = evaluate::start(op);
    for (const Element &e : s.elements) {
        const Truth filter = e.filter == no_step ? Truth::yes : truth_in(steps[e.filter].value);
        evaluate::see(seen, op, filter, e.body == no_step ? exactly(1) : steps[e.body].value);
    }
    return evaluate::finish(seen, op, s.complete, s.non_negative);
}

Cell rounding(const Steps &steps, const Step &s, evaluate::Rounding way) {
    return evaluate::rounded(part(steps, s, 0), part(steps, s, 1), way);
}

template <typename Operator>
Cell folded(const Steps &steps, const Step &s, Operator op) {
    Cell value = part(steps, s, 0);
    for (std::size_t k = 1; k < s.parts.size(); ++k)
        value = op(value, part(steps, s, k));
    return value;
}

template <typename Operator>
Cell logic(const Steps &steps, const Step &s, Truth t, Operator op) {
    for (std::size_t k = 0; k < s.parts.size(); ++k)
        t = op(t, truth(steps, s, k));
    return cell_of(t);
}

Cell conditional(const Steps &steps, const Step &s) {
    if (s.parts.size() == 2)
        return part(steps, s, 1);
    return s.parts.size() < 3
               ? Cell{}
               : cell_of(choose(truth(steps, s, 0), truth(steps, s, 1), truth(steps, s, 2)));
}

Cell compared(const Steps &steps, const Step &s) {
    const Cell a = part(steps, s, 0);
    const Cell b = part(steps, s, 1);
    const double scale = scale_of(steps[s.parts[0]].type);
    switch (s.op) {
    case NodeOp::equal:
        return cell_of(evaluate::equal(a, b, scale));
    case NodeOp::at_least:
        return cell_of(evaluate::at_least(a, b, scale));
    case NodeOp::at_most:
        return cell_of(evaluate::at_least(b, a, scale));
    case NodeOp::more_than:
        return cell_of(evaluate::more_than(a, b, scale));
    default:
        return cell_of(evaluate::more_than(b, a, scale));
    }
}

Truth of_lines(const Steps &steps, const std::vector<Line> &lines, NodeOp op) {
    Truth t = truth_of(op == NodeOp::logical_and || lines.empty());
    for (const Line &line : lines) {
        const Truth l = truth_in(steps[line.step].value);
        t = op == NodeOp::logical_and ? both(t, l) : either(t, l);
    }
    return t;
}

} // namespace

Cell recomputed(const book::Book &book, const Steps &steps, const Step &s) {
    switch (s.op) {
    case NodeOp::field:
        return fact(steps, s);
    case NodeOp::define:
        return part(steps, s, s.parts.size() - 1);
    case NodeOp::applies:
        return part(steps, s, 0);
    case NodeOp::logical_and:
        return logic(steps, s, Truth::yes, both);
    case NodeOp::logical_or:
        return logic(steps, s, Truth::no, either);
    case NodeOp::logical_not:
        return cell_of(negation(truth(steps, s, 0)));
    case NodeOp::equal:
    case NodeOp::at_least:
    case NodeOp::at_most:
    case NodeOp::more_than:
    case NodeOp::less_than:
        return compared(steps, s);
    case NodeOp::in_set:
        return part(steps, s, 0).exact()
                   ? exactly(s.set[static_cast<std::size_t>(part(steps, s, 0).value)])
                   : Cell{};
    case NodeOp::add:
        return folded(steps, s, evaluate::add);
    case NodeOp::subtract:
        return folded(steps, s, evaluate::subtract);
    case NodeOp::multiply:
        return folded(steps, s, evaluate::multiply);
    case NodeOp::divide:
        return folded(steps, s, evaluate::divide);
    case NodeOp::larger:
        return folded(steps, s, evaluate::larger);
    case NodeOp::smaller:
        return folded(steps, s, evaluate::smaller);
    case NodeOp::round_down:
        return rounding(steps, s, evaluate::Rounding::down);
    case NodeOp::round_up:
        return rounding(steps, s, evaluate::Rounding::up);
    case NodeOp::round_nearest:
        return rounding(steps, s, evaluate::Rounding::nearest);
    case NodeOp::conditional:
        return conditional(steps, s);
    case NodeOp::lookup:
        return looked_up(book, steps, s);
    case NodeOp::smallest:
    case NodeOp::largest:
        return searched(book, steps, s);
    case NodeOp::any:
    case NodeOp::all:
    case NodeOp::count:
    case NodeOp::sum:
    case NodeOp::max:
    case NodeOp::min:
        return counted(steps, s);
    case NodeOp::complete:
        return s.complete ? exactly(1) : Cell{};
    default: // constants and limits, and what is unknown by itself
        return s.value;
    }
}

Verdict recomputed_verdict(Explanation e) {
    for (Step &s : e.steps)
        s.value = recomputed(*e.book, e.steps, s);
    const Steps &steps = e.steps;
    const Truth scope = both(both(of_lines(steps, e.bound, NodeOp::logical_and),
                                  of_lines(steps, e.conditions, NodeOp::logical_and)),
                             of_lines(steps, e.listed, NodeOp::logical_or));
    const Truth excepted =
        e.exceptions.empty() ? Truth::no : of_lines(steps, e.exceptions, NodeOp::logical_or);
    const Truth met = both(both(of_lines(steps, e.requirement, NodeOp::logical_and),
                                of_lines(steps, e.paths, NodeOp::logical_or)),
                           of_lines(steps, e.permits, NodeOp::logical_or));
    return verdict_of(both(scope, negation(excepted)), met);
}

} // namespace groundrule::answers
