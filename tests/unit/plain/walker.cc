#include "plain/walker.h"

#include <algorithm>

namespace plain {

using book::Node;
using book::NodeId;

// --- rows

Walker::Here Walker::above(const Here &here, std::int32_t item) const {
    Here out;
    out.item = here.item;
    out.row = here.row;
    while (out.item != static_cast<std::size_t>(item)) {
        out.row = static_cast<std::size_t>(
            job_.rows(static_cast<std::int32_t>(out.item)).parent[out.row]);
        out.item = static_cast<std::size_t>(book_.items[out.item].parent);
    }
    return out;
}

std::vector<Walker::Here> Walker::below(const Node &n, const Here &owner) const {
    std::vector<Here> out;
    const std::vector<std::int32_t> &parent = job_.rows(n.index).parent;
    for (std::size_t row = 0; row < parent.size(); ++row) {
        if (static_cast<std::size_t>(parent[row]) == owner.row)
            out.push_back({static_cast<std::size_t>(n.index), row});
    }
    return out;
}

Walker::Here Walker::inside(const book::Define &d, const Node &n, const Here &here) const {
    if (d.item >= 0)
        return above(here, d.item);
    Here out;
    out.item = here.item;
    out.row = here.row;
    for (const NodeId child : n.children)
        out.arguments.push_back({child, &here});
    return out;
}

// --- facts

// The kind of work of an item is that of the item above, unless it says otherwise.
Known Walker::work(const Here &here) {
    const Cell &own = job_.rows(static_cast<std::int32_t>(here.item)).given.at(0, here.row);
    if (own.known())
        return exactly(own.value);
    const std::int32_t parent = book_.items[here.item].parent;
    return parent < 0 ? Known{} : work(above(here, parent));
}

Known Walker::fact(const Here &here, std::size_t field) { // NOLINT(misc-no-recursion)
    const book::Field &f = book_.items[here.item].fields[field];
    const auto key = std::make_pair(static_cast<std::size_t>(f.slot), here.row);
    if (const auto at = facts_.find(key); at != facts_.end())
        return at->second;
    const facts::Rows &rows = job_.rows(static_cast<std::int32_t>(here.item));
    const Cell &given = rows.given.at(field, here.row);
    Known out = field == 0 ? work(here) : (given.known() ? exactly(given.value) : Known{});
    Could bounds;
    bool told = out.exact(); // by one source alone: bounds that meet don't tell a value
    for (const NodeId implied : f.implied) {
        const Known other = value(implied, here);
        const Could also = could(implied, here);
        bounds = {bounds.least || also.least, bounds.most || also.most};
        if (equal(out, other, book::scale_of(f.type)) == Answer(false)) {
            contradictory_ = true;
            continue;
        }
        if (!told)
            out = other.exact()
                      ? other
                      : Known{std::max(out.low, other.low), std::min(out.high, other.high)};
        told = told || other.exact();
    }
    const Cell &assumed = rows.assumed.at(field, here.row);
    if (out.low == -open_end && out.high == open_end && assumed.known()) {
        out = exactly(assumed.value);
        told = true;
    }
    // Sources that could bound it from both sides: only "at least" is passed on.
    if (bounds.least && bounds.most && !told)
        out.high = open_end;
    facts_[key] = out;
    return out;
}

// --- expressions

Known Walker::value(NodeId id, const Here &here) { // NOLINT(misc-no-recursion)
    const Node &n = node(id);
    const auto child = [&](std::size_t k) { return value(n.children[k], here); };
    switch (n.op) {
    case NodeOp::constant:
    case NodeOp::limit:
        return exactly(n.value);
    case NodeOp::unknown:
    case NodeOp::not_encoded:
        return {};
    case NodeOp::field:
        return fact(above(here, n.item), static_cast<std::size_t>(n.index));
    case NodeOp::define: {
        const book::Define &d = book_.defines[static_cast<std::size_t>(n.index)];
        const Here there = inside(d, n, here);
        if (d.item < 0)
            return value(d.value, there);
        const auto key = std::make_pair(static_cast<std::size_t>(n.index), there.row);
        if (const auto at = defined_.find(key); at != defined_.end())
            return at->second;
        return defined_[key] = value(d.value, there);
    }
    case NodeOp::parameter: {
        const Argument &a = here.arguments[static_cast<std::size_t>(n.index)];
        return value(a.node, *a.from);
    }
    case NodeOp::element:
        return exactly(here.elements[static_cast<std::size_t>(n.index)]);
    case NodeOp::add:
        return sum(child(0), child(1));
    case NodeOp::subtract:
        return sum(child(0), negative(child(1)));
    case NodeOp::multiply:
        return product(child(0), child(1));
    case NodeOp::divide:
        return quotient(child(0), child(1));
    case NodeOp::larger:
    case NodeOp::smaller: {
        Known out = child(0);
        for (std::size_t k = 1; k < n.children.size(); ++k)
            out = n.op == NodeOp::larger ? larger(out, child(k)) : smaller(out, child(k));
        return out;
    }
    case NodeOp::round_down:
    case NodeOp::round_up:
    case NodeOp::round_nearest:
        return rounded(child(0), child(1), n.op);
    case NodeOp::conditional: {
        if (n.type.is_truth())
            return of(truth(id, here));
        const Answer c = truth(n.children[0], here);
        return c ? child(*c ? 1 : 2) : Known{};
    }
    case NodeOp::lookup:
        return looked_up(n, here);
    case NodeOp::smallest:
    case NodeOp::largest:
        return found(n, here);
    case NodeOp::count:
    case NodeOp::sum:
    case NodeOp::max:
    case NodeOp::min:
        return over_list(n, here);
    default:
        return of(truth(id, here));
    }
}

Answer Walker::truth(NodeId id, const Here &here) { // NOLINT(misc-no-recursion)
    const Node &n = node(id);
    const auto child = [&](std::size_t k) { return truth(n.children[k], here); };
    // The left side at least the right one, or the other way round.
    const auto compared = [&](std::size_t left, std::size_t right) {
        return at_least(value(n.children[left], here), value(n.children[right], here),
                        book::scale_of(node(n.children[0]).type));
    };
    switch (n.op) {
    case NodeOp::logical_and:
    case NodeOp::logical_or: {
        Answer out = n.op == NodeOp::logical_and;
        for (std::size_t k = 0; k < n.children.size(); ++k)
            out = n.op == NodeOp::logical_and ? and_(out, child(k)) : or_(out, child(k));
        return out;
    }
    case NodeOp::logical_not:
        return not_(child(0));
    case NodeOp::equal:
        return equal(value(n.children[0], here), value(n.children[1], here),
                     book::scale_of(node(n.children[0]).type));
    case NodeOp::at_least:
        return compared(0, 1);
    case NodeOp::at_most:
        return compared(1, 0);
    case NodeOp::more_than:
        return not_(compared(1, 0));
    case NodeOp::less_than:
        return not_(compared(0, 1));
    case NodeOp::in_set: {
        const Known v = value(n.children[0], here);
        return v.exact() ? Answer(n.set[static_cast<std::size_t>(v.low)] != 0) : Answer();
    }
    case NodeOp::conditional: {
        const Answer c = child(0);
        if (c)
            return child(*c ? 1 : 2);
        const Answer then = child(1);
        return then == child(2) ? then : Answer();
    }
    case NodeOp::any:
    case NodeOp::all:
        return some_or_every(n, here);
    case NodeOp::complete: {
        const Here owner = above(here, n.item);
        return job_.is_complete(n.item, n.index, owner.row) ? Answer(true) : Answer();
    }
    case NodeOp::applies: {
        const auto rule = static_cast<std::size_t>(n.index);
        return applies(rule, above(here, book_.rules[rule].item).row);
    }
    default:
        return answer(value(id, here));
    }
}

Known Walker::looked_up(const Node &n, const Here &here) { // NOLINT(misc-no-recursion)
    const book::Table &table = book_.tables[static_cast<std::size_t>(n.index)];
    std::size_t cell = 0;
    for (std::size_t k = 0; k < table.keys.size(); ++k) {
        const book::Key &key = table.keys[k];
        const double scale = book::scale_of(key.type);
        const Known given = value(n.children[k], here);
        if (!given.exact())
            return {};
        std::optional<std::size_t> place;
        for (std::size_t i = 0; i < key.values.size(); ++i) {
            const double head = steps(key.values[i], scale);
            const double wanted = steps(given.low, scale);
            if ((key.match == ast::KeyMatch::exact && wanted == head) ||
                (key.match == ast::KeyMatch::at_most && wanted <= head && !place) ||
                (key.match == ast::KeyMatch::at_least && wanted >= head))
                place = i;
        }
        if (!place)
            return {};
        cell = cell * key.values.size() + *place;
    }
    return exactly(table.cells[cell * table.columns.size() + static_cast<std::size_t>(n.column)]);
}

Known Walker::found(const Node &n, const Here &here) { // NOLINT(misc-no-recursion)
    std::vector<double> values = book_.lists[static_cast<std::size_t>(n.index)].values;
    if (n.op == NodeOp::largest)
        std::reverse(values.begin(), values.end());
    for (const double v : values) {
        Here there = here;
        there.elements.push_back(v);
        const Answer test = n.where == book::no_node ? Answer(true) : truth(n.where, there);
        if (!test)
            return {};
        if (*test)
            return exactly(v);
    }
    return {};
}

// --- lists

Answer Walker::some_or_every(const Node &n, const Here &here) { // NOLINT(misc-no-recursion)
    const Here owner = above(here, n.item);
    const bool any = n.op == NodeOp::any;
    Answer out = !any;
    for (const Here &row : below(n, owner)) {
        const Answer where = n.where == book::no_node ? Answer(true) : truth(n.where, row);
        const Answer body = n.body == book::no_node ? Answer(true) : truth(n.body, row);
        out = any ? or_(out, and_(where, body)) : and_(out, or_(not_(where), body));
    }
    const bool complete = job_.is_complete(n.item, n.index, owner.row);
    return complete || out == Answer(any) ? out : Answer();
}

Known Walker::over_list(const Node &n, const Here &here) { // NOLINT(misc-no-recursion)
    const Here owner = above(here, n.item);
    bool whole = job_.is_complete(n.item, n.index, owner.row);
    std::size_t counted = 0;
    double total = 0;
    std::vector<double> seen; // ends that are known
    for (const Here &row : below(n, owner)) {
        const Answer where = n.where == book::no_node ? Answer(true) : truth(n.where, row);
        if (where == Answer(false))
            continue;
        whole = whole && where;
        const Known body = n.body == book::no_node ? Known{} : value(n.body, row);
        whole = whole && (n.op == NodeOp::count || body.exact());
        if (!where)
            continue;
        ++counted;
        if (std::isfinite(body.low))
            total += body.low;
        const double end = n.op == NodeOp::min ? body.high : body.low;
        if (std::isfinite(end))
            seen.push_back(end);
    }
    switch (n.op) {
    case NodeOp::count: {
        const auto number = static_cast<double>(counted);
        return {number, whole ? number : open_end};
    }
    case NodeOp::sum: {
        Here child;
        child.item = static_cast<std::size_t>(n.index);
        if (whole)
            return exactly(total);
        return never_below_zero(n.body, child) ? Known{total, open_end} : Known{};
    }
    case NodeOp::max:
        if (seen.empty())
            return {};
        total = *std::max_element(seen.begin(), seen.end());
        return {total, whole ? total : open_end};
    default:
        if (seen.empty())
            return {};
        total = *std::min_element(seen.begin(), seen.end());
        return {whole ? total : -open_end, total};
    }
}

// --- rules

Answer Walker::one_of(const std::vector<book::Part> &parts,
                      const Here &here) { // NOLINT(misc-no-recursion)
    Answer out = false;
    for (const book::Part &p : parts)
        out = or_(out, truth(p.node, here));
    return out;
}

Answer Walker::applies(std::size_t rule, std::size_t row) { // NOLINT(misc-no-recursion)
    const auto key = std::make_pair(rule, row);
    if (const auto at = applied_.find(key); at != applied_.end())
        return at->second;
    const book::Rule &r = book_.rules[rule];
    const Here here = {static_cast<std::size_t>(r.item), row};
    const bool all_work =
        std::all_of(r.binds.begin(), r.binds.end(), [](auto b) { return b != 0; });
    Answer out = true;
    if (!all_work) {
        const Known kind = fact(here, 0);
        out = kind.exact() ? Answer(r.binds[static_cast<std::size_t>(kind.low)] != 0) : Answer();
    }
    for (const book::Condition &c : r.conditions)
        out = and_(out, truth(c.node, here));
    if (!r.listed.empty())
        out = and_(out, one_of(r.listed, here));
    out = and_(out, not_(one_of(r.exceptions, here)));
    return applied_[key] = out;
}

Answer Walker::met(std::size_t rule, std::size_t row) {
    const book::Rule &r = book_.rules[rule];
    const Here here = {static_cast<std::size_t>(r.item), row};
    Answer out = true;
    if (r.requirement != book::no_node)
        out = truth(r.requirement, here);
    if (!r.paths.empty())
        out = and_(out, one_of(r.paths, here));
    if (!r.permits.empty())
        out = and_(out, one_of(r.permits, here));
    return out;
}

Verdict Walker::verdict(std::size_t rule, std::size_t row) {
    const Answer in_scope = applies(rule, row);
    const Answer is_met = met(rule, row);
    if (in_scope == Answer(false))
        return Verdict::not_applicable;
    if (is_met == Answer(true))
        return Verdict::complies;
    return in_scope == Answer(true) && is_met == Answer(false) ? Verdict::violates
                                                               : Verdict::undetermined;
}

bool Walker::contradictory() {
    for (std::size_t item = 0; item < book_.items.size(); ++item) {
        for (std::size_t row = 0; row < job_.rows(static_cast<std::int32_t>(item)).size(); ++row) {
            for (std::size_t f = 0; f < book_.items[item].fields.size(); ++f)
                fact({item, row}, f);
        }
    }
    return contradictory_;
}

} // namespace plain
