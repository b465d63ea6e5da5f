// Truths: conjunctions and disjunctions part by part, then single tests against single tests.
#include "book/entails.h"

#include <algorithm>

namespace groundrule::book {

namespace {

// l at least r, or more than it.
struct Comparison {
    std::size_t left = 0; // which child of the node
    std::size_t right = 1;
    bool strictly = false;
};

bool is_comparison(NodeOp op) {
    return op == NodeOp::at_least || op == NodeOp::at_most || op == NodeOp::more_than ||
           op == NodeOp::less_than;
}

Comparison comparison(NodeOp op, bool negated) {
    Comparison c;
    c.strictly = op == NodeOp::more_than || op == NodeOp::less_than;
    if (op == NodeOp::at_most || op == NodeOp::less_than)
        std::swap(c.left, c.right);
    if (negated) {
        std::swap(c.left, c.right);
        c.strictly = !c.strictly;
    }
    return c;
}

bool bound_by(const Rule &inner, const Rule &outer) {
    for (std::size_t i = 0; i < inner.binds.size(); ++i) {
        if (inner.binds[i] > outer.binds[i])
            return false;
    }
    return true;
}

} // namespace

Effect Entailment::told(bool forward, bool backward) {
    if (forward && backward)
        return Effect::none;
    return forward ? Effect::stricter : backward ? Effect::laxer : Effect::open;
}

Effect Entailment::effect(const Rule &before, const Rule &after) {
    const bool counted = before.force == ast::Force::shall;
    const bool counts = after.force == ast::Force::shall;
    if (counted != counts)
        return counts ? Effect::stricter : Effect::laxer;
    if (!counted)
        return Effect::none; // told, never counted
    if (book({Side::before}).items[static_cast<std::size_t>(before.item)].name !=
        book({Side::after}).items[static_cast<std::size_t>(after.item)].name)
        return Effect::open;
    const Term older = faulted(Side::before, before);
    const Term newer = faulted(Side::after, after);
    return told(bound_by(before, after) && follows(older, newer),
                bound_by(after, before) && follows(newer, older));
}

bool Entailment::same_scope(const Rule &before, const Rule &after) {
    const Term older = applying(Side::before, before);
    const Term newer = applying(Side::after, after);
    return bound_by(before, after) && bound_by(after, before) && follows(older, newer) &&
           follows(newer, older);
}

Effect Entailment::effect(NodeId before, NodeId after) {
    const Term older{Side::before, false, false, before};
    const Term newer{Side::after, false, false, after};
    return told(follows(older, newer), follows(newer, older));
}

namespace {

std::vector<NodeId> expressions_of(const Rule &rule) {
    std::vector<NodeId> out;
    for (const Condition &c : rule.conditions)
        out.push_back(c.node);
    for (const auto *parts : {&rule.listed, &rule.exceptions, &rule.paths, &rule.permits}) {
        for (const Part &p : *parts)
            out.push_back(p.node);
    }
    out.push_back(rule.requirement);
    return out;
}

// All nodes that mention a limit of the rule; a limit has no name outside of it.
std::vector<NodeId> mentions(const Book &book, const Rule &rule, std::size_t limit) {
    std::vector<NodeId> out;
    std::vector<NodeId> open = expressions_of(rule);
    while (!open.empty()) {
        const NodeId id = open.back();
        open.pop_back();
        if (id == no_node)
            continue;
        const Node &n = book.nodes[id];
        if (n.op == NodeOp::limit && static_cast<std::size_t>(n.index) == limit)
            out.push_back(id);
        open.insert(open.end(), n.children.begin(), n.children.end());
        open.push_back(n.where);
        open.push_back(n.body);
    }
    return out;
}

} // namespace

Effect Entailment::effect_of_limit(const Rule &before, std::size_t limit, const Rule &after,
                                   std::size_t new_limit) {
    const std::vector<NodeId> new_values = mentions(*books_[1], after, new_limit);
    if (new_values.empty() || before.force != ast::Force::shall)
        return Effect::open;
    for (const NodeId id : mentions(*books_[0], before, limit))
        mixed_[id] = new_values.front();
    const Term older = faulted(Side::before, before);
    const Term newer = faulted(Side::mixed, before);
    const Effect effect = told(follows(older, newer), follows(newer, older));
    mixed_.clear();
    answers_.clear();
    return effect;
}

// --- terms

Entailment::Term Entailment::make(bool all, std::vector<Term> parts) {
    made_.push_back({all, std::move(parts)});
    return {Side::before, true, false, static_cast<NodeId>(made_.size() - 1)};
}

Entailment::Term Entailment::applying(Side side, const Rule &rule) {
    std::vector<Term> all;
    for (const Condition &c : rule.conditions)
        all.push_back({side, false, false, c.node});
    std::vector<Term> listed;
    for (const Part &p : rule.listed)
        listed.push_back({side, false, false, p.node});
    if (!listed.empty())
        all.push_back(make(false, std::move(listed)));
    for (const Part &p : rule.exceptions)
        all.push_back({side, false, true, p.node});
    return make(true, std::move(all));
}

void Entailment::require_one(Side side, const std::vector<Part> &parts, std::vector<Term> &faults) {
    std::vector<Term> none;
    for (const Part &p : parts)
        none.push_back({side, false, true, p.node});
    if (!none.empty())
        faults.push_back(make(true, std::move(none)));
}

Entailment::Term Entailment::faulted(Side side, const Rule &rule) {
    std::vector<Term> faults;
    if (rule.requirement != no_node)
        faults.push_back({side, false, true, rule.requirement});
    require_one(side, rule.paths, faults);
    require_one(side, rule.permits, faults);
    const Term applies = applying(side, rule);
    const Term fault = make(false, std::move(faults));
    return make(true, {applies, fault});
}

Entailment::Term Entailment::written_out(Term t) const {
    while (!t.made) {
        const Node &n = node(t);
        if (n.op == NodeOp::define && n.children.empty())
            t.id = book(t).defines[static_cast<std::size_t>(n.index)].value;
        else if (t.side == Side::mixed && mixed_.contains(t.id))
            t = {Side::after, false, t.negated, mixed_.at(t.id)};
        else if (n.op == NodeOp::logical_not) {
            t.id = n.children[0];
            t.negated = !t.negated;
        } else
            break;
    }
    return t;
}

// The parts of a conjunction, or with `all` false of a disjunction; a negation goes into them.
bool Entailment::parts_of(const Term &t, bool all, std::vector<Term> &out) const {
    const bool wanted = all != t.negated;
    if (t.made) {
        if (made_[t.id].all != wanted)
            return false;
        out = made_[t.id].parts;
    } else {
        const Node &n = node(t);
        if (n.op != (wanted ? NodeOp::logical_and : NodeOp::logical_or))
            return false;
        for (const NodeId id : n.children)
            out.push_back(at(t, id));
    }
    if (t.negated) {
        for (Term &part : out)
            part.negated = !part.negated;
    }
    return true;
}

// --- truths

bool Entailment::follows(Term a, Term b) { // NOLINT(misc-no-recursion)
    a = written_out(a);
    b = written_out(b);
    return once('f', a, b, [&] { return derive(a, b); });
}

bool Entailment::derive(const Term &a, const Term &b) { // NOLINT(misc-no-recursion)
    std::vector<Term> parts;
    const auto every = [&](auto test) { return std::all_of(parts.begin(), parts.end(), test); };
    const auto some = [&](auto test) { return std::any_of(parts.begin(), parts.end(), test); };
    if (parts_of(a, false, parts))
        return every([&](const Term &p) { return follows(p, b); });
    if (parts_of(b, true, parts))
        return every([&](const Term &p) { return follows(a, p); });
    if (parts_of(a, true, parts) && some([&](const Term &p) { return follows(p, b); }))
        return true;
    parts.clear();
    if (parts_of(b, false, parts))
        return some([&](const Term &p) { return follows(a, p); });
    return !a.made && derive_single(a, b); // what b was made of was taken apart above
}

bool Entailment::derive_single(const Term &a, const Term &b) { // NOLINT(misc-no-recursion)
    const auto constantly = [&](const Term &t, bool value) {
        const Node &n = node(t);
        return is_constant(n) && ((n.value != 0) != t.negated) == value;
    };
    return constantly(a, false) || constantly(b, true) || same(a, b) || by_comparison(a, b) ||
           by_choice(a, b) ||
           (a.negated && b.negated ? by_structure(opposite(b), opposite(a))
                                   : !a.negated && !b.negated && by_structure(a, b));
}

// l1 at least r1 gives l2 at least r2, if l2 is never less than l1 nor r2 ever more than r1.
bool Entailment::by_comparison(const Term &a, const Term &b) { // NOLINT(misc-no-recursion)
    const Node &x = node(a);
    const Node &y = node(b);
    if (!is_comparison(y.op))
        return false;
    const Comparison wanted = comparison(y.op, b.negated);
    const Term left = child(b, y, wanted.left);
    const Term right = child(b, y, wanted.right);
    const auto gives = [&](const Term &l, const Term &r, bool strictly) {
        if (wanted.strictly && !strictly)
            return (at_most(l, left, true) && at_most(right, r)) ||
                   (at_most(l, left) && at_most(right, r, true));
        return at_most(l, left) && at_most(right, r);
    };
    if (x.op == NodeOp::equal && !a.negated)
        return gives(child(a, x, 0), child(a, x, 1), false) ||
               gives(child(a, x, 1), child(a, x, 0), false);
    if (!is_comparison(x.op))
        return false;
    const Comparison given = comparison(x.op, a.negated);
    return gives(child(a, x, given.left), child(a, x, given.right), given.strictly);
}

bool Entailment::by_choice(const Term &a, const Term &b) { // NOLINT(misc-no-recursion)
    const Node &x = node(a);
    const Node &y = node(b);
    if (x.op != NodeOp::in_set || y.op != NodeOp::in_set || !same(child(a, x, 0), child(b, y, 0)))
        return false;
    const auto choices = [](const Book &of, const Node &n) -> const std::vector<std::string> & {
        return of.choice_types[static_cast<std::size_t>(of.nodes[n.children[0]].type.choices)]
            .choices;
    };
    const std::vector<std::string> &of_a = choices(book(a), x);
    const std::vector<std::string> &of_b = choices(book(b), y);
    for (std::size_t i = 0; i < of_a.size(); ++i) {
        if ((x.set[i] != 0) == a.negated)
            continue;
        const auto there = std::find(of_b.begin(), of_b.end(), of_a[i]);
        if (there == of_b.end() ||
            (y.set[static_cast<std::size_t>(there - of_b.begin())] != 0) == b.negated)
            return false;
    }
    return true;
}

// One form on both sides, with parts of which each follows.
bool Entailment::by_structure(const Term &a, const Term &b) { // NOLINT(misc-no-recursion)
    const Node &x = node(a);
    const Node &y = node(b);
    if (x.op != y.op)
        return false;
    const auto given = [](NodeId inner, const Term &of_inner, NodeId outer, const Term &of_outer,
                          auto test) {
        return outer == no_node ||
               (inner != no_node && test(at(of_inner, inner), at(of_outer, outer)));
    };
    const auto leads = [&](const Term &p, const Term &q) { return follows(p, q); };
    switch (x.op) {
    case NodeOp::any:
        return same_reference(a, b) && given(x.where, a, y.where, b, leads) &&
               given(x.body, a, y.body, b, leads);
    case NodeOp::all:
        return same_reference(a, b) && given(y.where, b, x.where, a, leads) &&
               given(x.body, a, y.body, b, leads);
    case NodeOp::conditional:
        return same(child(a, x, 0), child(b, y, 0)) && follows(child(a, x, 1), child(b, y, 1)) &&
               follows(child(a, x, 2), child(b, y, 2));
    case NodeOp::applies: {
        const Rule &p = book(a).rules[static_cast<std::size_t>(x.index)];
        const Rule &q = book(b).rules[static_cast<std::size_t>(y.index)];
        return book(a).items[static_cast<std::size_t>(p.item)].name ==
                   book(b).items[static_cast<std::size_t>(q.item)].name &&
               bound_by(p, q) && follows(applying(a.side, p), applying(b.side, q));
    }
    default:
        return false;
    }
}

} // namespace groundrule::book
