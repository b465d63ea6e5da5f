// Values: whether two are the same, and whether one is never more than the other.
#include "book/entails.h"

#include <algorithm>
#include <cmath>

namespace groundrule::book {

namespace {

bool same_keys(const Book &of_a, const Table &a, const Book &of_b, const Table &b) {
    if (a.keys.size() != b.keys.size())
        return false;
    for (std::size_t i = 0; i < a.keys.size(); ++i) {
        const Key &x = a.keys[i];
        const Key &y = b.keys[i];
        if (x.match != y.match || x.values.size() != y.values.size())
            return false;
        for (std::size_t k = 0; k < x.values.size(); ++k) {
            if (value_text(of_a, x.type, x.values[k]) != value_text(of_b, y.type, y.values[k]))
                return false;
        }
    }
    return true;
}

bool same_value(double a, double b) {
    return a == b || (std::isnan(a) && std::isnan(b));
}

} // namespace

bool Entailment::same(Term a, Term b) { // NOLINT(misc-no-recursion)
    a = written_out(a);
    b = written_out(b);
    if (a.negated != b.negated)
        return false;
    return once('s', a, b, [&] { return same_node(a, b); });
}

bool Entailment::same_node(const Term &a, const Term &b) { // NOLINT(misc-no-recursion)
    const Node &x = node(a);
    const Node &y = node(b);
    if (is_constant(x) && is_constant(y) && x.type.kind == y.type.kind)
        return x.type.kind == ValueKind::choice
                   ? value_text(book(a), x.type, x.value) == value_text(book(b), y.type, y.value)
                   : same_value(x.value, y.value);
    if (x.op != y.op || x.type.kind != y.type.kind || x.children.size() != y.children.size() ||
        (x.where == no_node) != (y.where == no_node) || (x.body == no_node) != (y.body == no_node))
        return false;
    if (x.op == NodeOp::in_set)
        return by_choice(a, b) && by_choice(b, a);
    if (!same_reference(a, b))
        return false;
    for (std::size_t i = 0; i < x.children.size(); ++i) {
        if (!same(child(a, x, i), child(b, y, i)))
            return false;
    }
    return (x.where == no_node || same(at(a, x.where), at(b, y.where))) &&
           (x.body == no_node || same(at(a, x.body), at(b, y.body)));
}

// What a node refers to by itself, whatever its children are.
bool Entailment::same_reference(const Term &a, const Term &b) { // NOLINT(misc-no-recursion)
    const Node &x = node(a);
    const Node &y = node(b);
    const auto item = [&](const Term &t, std::int32_t i) -> const Item & {
        return book(t).items[static_cast<std::size_t>(i)];
    };
    switch (x.op) {
    case NodeOp::field:
        return item(a, x.item).name == item(b, y.item).name &&
               item(a, x.item).fields[static_cast<std::size_t>(x.index)].name ==
                   item(b, y.item).fields[static_cast<std::size_t>(y.index)].name;
    case NodeOp::parameter:
    case NodeOp::element:
        return x.index == y.index;
    case NodeOp::not_encoded:
        return x.text == y.text;
    case NodeOp::define:
        return same_function(a, b);
    case NodeOp::lookup:
        return reached_cells(a, b, same_value);
    case NodeOp::smallest:
    case NodeOp::largest:
        return same_searched_list(x, a, y, b);
    case NodeOp::any:
    case NodeOp::all:
    case NodeOp::count:
    case NodeOp::sum:
    case NodeOp::max:
    case NodeOp::min:
    case NodeOp::complete:
        return item(a, x.item).name == item(b, y.item).name &&
               item(a, x.index).name == item(b, y.index).name;
    case NodeOp::applies: {
        const Rule &p = book(a).rules[static_cast<std::size_t>(x.index)];
        const Rule &q = book(b).rules[static_cast<std::size_t>(y.index)];
        return p.topic == q.topic && by_structure(a, b) && by_structure(b, a);
    }
    default:
        return true;
    }
}

bool Entailment::same_searched_list(const Node &a, const Term &of_a, const Node &b,
                                    const Term &of_b) const {
    const List &x = book(of_a).lists[static_cast<std::size_t>(a.index)];
    const List &y = book(of_b).lists[static_cast<std::size_t>(b.index)];
    return x.values == y.values && a.column == b.column;
}

// A function is known by its name and by what it makes of its parameters.
bool Entailment::same_function(const Term &a, const Term &b) { // NOLINT(misc-no-recursion)
    const Define &x = book(a).defines[static_cast<std::size_t>(node(a).index)];
    const Define &y = book(b).defines[static_cast<std::size_t>(node(b).index)];
    return x.name == y.name && same(at(a, x.value), at(b, y.value));
}

template <typename Test>
bool Entailment::reached_cells(const Term &a, const Term &b, // NOLINT(misc-no-recursion)
                               Test test) {
    const Node &x = node(a);
    const Node &y = node(b);
    const Table &p = book(a).tables[static_cast<std::size_t>(x.index)];
    const Table &q = book(b).tables[static_cast<std::size_t>(y.index)];
    const auto column = static_cast<std::size_t>(x.column);
    const auto of_q = static_cast<std::size_t>(y.column); // they may stand in another order there
    if (p.declared != q.declared || !same_keys(book(a), p, book(b), q) ||
        p.columns.size() != q.columns.size() || p.columns[column] != q.columns[of_q])
        return false;
    for (std::size_t cell = column; cell < p.cells.size(); cell += p.columns.size()) {
        std::size_t rest = cell / p.columns.size();
        bool reached = true;
        for (std::size_t k = p.keys.size(); k-- > 0;) {
            const double value = p.keys[k].values[rest % p.keys[k].values.size()];
            rest /= p.keys[k].values.size();
            const Term key = written_out(child(a, x, k));
            if (p.keys[k].match == ast::KeyMatch::exact && is_constant(node(key)))
                reached = reached && node(key).value == value;
        }
        if (reached && !test(p.cells[cell], q.cells[cell - column + of_q]))
            return false;
    }
    return true;
}

// --- order

bool Entailment::at_most(Term a, Term b, bool strictly) { // NOLINT(misc-no-recursion)
    a = written_out(a);
    b = written_out(b);
    const Node &x = node(a);
    const Node &y = node(b);
    if (x.type.kind != y.type.kind)
        return false;
    if (is_constant(x) && is_constant(y))
        return strictly ? x.value < y.value : x.value <= y.value;
    if (strictly)
        return false;
    return once('m', a, b, [&] { return same(a, b) || bounded(a, b); });
}

bool Entailment::bounded(const Term &a, const Term &b) { // NOLINT(misc-no-recursion)
    const Node &x = node(a);
    const Node &y = node(b);
    if (x.op == y.op && bounded_alike(a, b))
        return true;
    const auto from = [&](NodeId id) { return at_most(at(a, id), b); };
    const auto to = [&](NodeId id) { return at_most(a, at(b, id)); };
    const auto each = [](const Node &n, auto test) {
        return std::all_of(n.children.begin(), n.children.end(), test);
    };
    const auto some = [](const Node &n, auto test) {
        return std::any_of(n.children.begin(), n.children.end(), test);
    };
    if (x.op == NodeOp::larger)
        return each(x, from);
    if (y.op == NodeOp::smaller)
        return each(y, to);
    if (x.op == NodeOp::smaller && some(x, from))
        return true;
    return y.op == NodeOp::larger && some(y, to);
}

bool Entailment::bounded_alike(const Term &a, const Term &b) { // NOLINT(misc-no-recursion)
    const Node &x = node(a);
    const Node &y = node(b);
    const auto up = [&](std::size_t i) { return at_most(child(a, x, i), child(b, y, i)); };
    const auto down = [&](std::size_t i) { return at_most(child(b, y, i), child(a, x, i)); };
    const auto equal = [&](std::size_t i) { return same(child(a, x, i), child(b, y, i)); };
    switch (x.op) {
    case NodeOp::add:
        return up(0) && up(1);
    case NodeOp::subtract:
        return up(0) && down(1);
    case NodeOp::multiply:
        return up(0) && up(1) && never_negative(child(a, x, 1)) && never_negative(child(b, y, 0));
    case NodeOp::divide:
        return up(0) && down(1) && never_negative(child(a, x, 0)) &&
               never_negative(child(b, y, 1)) && never_negative(child(a, x, 1));
    case NodeOp::round_down:
    case NodeOp::round_up:
    case NodeOp::round_nearest:
        return up(0) && equal(1);
    case NodeOp::conditional:
        return equal(0) && up(1) && up(2);
    case NodeOp::lookup:
        for (std::size_t i = 0; i < x.children.size(); ++i) { // tables may differ in their keys
            if (i >= y.children.size() || !equal(i))
                return false;
        }
        return reached_cells(
            a, b, [](double p, double q) { return p <= q || (std::isnan(p) && std::isnan(q)); });
    case NodeOp::smallest:
    case NodeOp::largest:
    case NodeOp::count:
        return bounded_search(a, b);
    case NodeOp::define: { // the same function of the same values
        const Define &p = book(a).defines[static_cast<std::size_t>(x.index)];
        const Define &q = book(b).defines[static_cast<std::size_t>(y.index)];
        for (std::size_t i = 0; i < x.children.size(); ++i) {
            if (i >= y.children.size() || !equal(i))
                return false;
        }
        return p.name == q.name && at_most(at(a, p.value), at(b, q.value));
    }
    default:
        return false;
    }
}

// The smallest of more is no larger; the largest of more no smaller, and more is counted.
bool Entailment::bounded_search(const Term &a, const Term &b) { // NOLINT(misc-no-recursion)
    const Node &x = node(a);
    const Node &y = node(b);
    const auto tests = [&](const Node &few, const Term &of_few, const Node &many,
                           const Term &of_many) {
        return many.where == no_node ||
               (few.where != no_node && follows(at(of_few, few.where), at(of_many, many.where)));
    };
    if (x.op == NodeOp::count)
        return same_reference(a, b) && tests(x, a, y, b);
    const auto within = [&](const Node &few, const Term &of_few, const Node &many,
                            const Term &of_many) {
        const auto &small = book(of_few).lists[static_cast<std::size_t>(few.index)].values;
        const auto &large = book(of_many).lists[static_cast<std::size_t>(many.index)].values;
        return few.column == many.column &&
               std::includes(large.begin(), large.end(), small.begin(), small.end()) &&
               tests(few, of_few, many, of_many);
    };
    return x.op == NodeOp::smallest ? within(y, b, x, a) : within(x, a, y, b);
}

// As facts are read: no current, length or other quantity with a zero of its own is below it.
bool Entailment::never_negative(Term t) const { // NOLINT(misc-no-recursion)
    t = written_out(t);
    const Node &n = node(t);
    const auto children = [&](std::size_t from) {
        for (std::size_t i = from; i < n.children.size(); ++i) {
            if (!never_negative(child(t, n, i)))
                return false;
        }
        return true;
    };
    switch (n.op) {
    case NodeOp::constant:
    case NodeOp::limit:
        return n.value >= 0;
    case NodeOp::field:
        return !(n.type.dimension == dimension::temperature_difference);
    case NodeOp::count:
        return true;
    case NodeOp::add:
    case NodeOp::multiply:
    case NodeOp::divide:
    case NodeOp::larger:
    case NodeOp::smaller:
        return children(0);
    case NodeOp::conditional:
        return children(1);
    case NodeOp::lookup: {
        const std::vector<double> &cells = book(t).tables[static_cast<std::size_t>(n.index)].cells;
        return std::none_of(cells.begin(), cells.end(), [](double v) { return v < 0; });
    }
    default:
        return false;
    }
}

} // namespace groundrule::book
