// Strong Kleene logic read backwards: a conjunction is yes only where each part is, and no where
// one is; a computed value is known only where what it is computed from is.
#include "book/sure_facts.h"

#include <algorithm>
#include <utility>

namespace groundrule::book {

Sure &Sure::join(const Sure &other) {
    all = all || other.all;
    keys.insert(other.keys.begin(), other.keys.end());
    return *this;
}

Sure &Sure::meet(const Sure &other) {
    if (other.all)
        return *this;
    if (all)
        return *this = other;
    std::erase_if(keys, [&](const Key &key) { return !other.keys.contains(key); });
    return *this;
}

Sure SureFacts::violated(const Rule &rule) {
    const auto unmet = [&](const std::vector<Part> &parts) {
        Sure out;
        for (const Part &p : parts)
            out.join(of(p.node, State::no));
        return out;
    };
    Sure out = applies(rule);
    demands_ = true;
    Sure failed;
    failed.all = true;
    if (rule.requirement != no_node)
        failed.meet(of(rule.requirement, State::no));
    if (!rule.paths.empty())
        failed.meet(unmet(rule.paths));
    if (!rule.permits.empty())
        failed.meet(unmet(rule.permits));
    demands_ = false;
    return out.join(failed);
}

// NOLINTNEXTLINE(misc-no-recursion)
Sure SureFacts::applies(const Rule &rule) {
    const auto index = static_cast<std::int32_t>(&rule - book_.rules.data());
    const auto known = rules_.find(index);
    if (known != rules_.end())
        return known->second;
    const bool outer = std::exchange(demands_, false);
    Sure out;
    for (const Condition &c : rule.conditions)
        out.join(of(c.node, State::yes));
    for (const Part &p : rule.exceptions)
        out.join(of(p.node, State::no));
    Sure listed;
    listed.all = !rule.listed.empty();
    for (const Part &p : rule.listed)
        listed.meet(of(p.node, State::yes));
    demands_ = outer;
    return rules_[index] = out.join(listed);
}

// NOLINTNEXTLINE(misc-no-recursion)
Sure SureFacts::of(NodeId id, State state) {
    if (id == no_node)
        return {};
    const Node &n = book_.nodes[id];
    if (n.type.is_truth() && (state == State::known || state == State::exact))
        return truth_or_value(n, State::yes).meet(truth_or_value(n, State::no));
    return truth_or_value(n, state);
}

// NOLINTNEXTLINE(misc-no-recursion)
Sure SureFacts::truth_or_value(const Node &n, State state) {
    Sure out;
    switch (n.op) {
    case NodeOp::constant:
    case NodeOp::limit:
        out.all = n.type.is_truth() && (n.value != 0) != (state == State::yes);
        return out;
    case NodeOp::not_encoded:
        out.all = true;
        return out;
    case NodeOp::field:
        out.keys.insert({Sure::Kind::field, n.item, n.index});
        return out;
    case NodeOp::parameter:
        out.keys.insert({Sure::Kind::parameter, n.index, 0});
        return out;
    case NodeOp::define:
        return defined(n, state);
    case NodeOp::logical_and: // of several demands that fail together a message may name each
        return state == State::yes || demands_ ? each(n.children, state) : some(n.children, state);
    case NodeOp::logical_or:
        return state == State::yes ? some(n.children, state) : each(n.children, state);
    case NodeOp::logical_not:
        return of(n.children.front(), opposite(state));
    case NodeOp::larger:
    case NodeOp::smaller:
        return state == State::exact ? each(n.children, state) : some(n.children, state);
    case NodeOp::lookup:
    case NodeOp::round_down:
    case NodeOp::round_up:
    case NodeOp::round_nearest:
    case NodeOp::in_set:
        return each(n.children, State::exact);
    case NodeOp::add:
    case NodeOp::subtract:
    case NodeOp::multiply:
    case NodeOp::divide:
        return each(n.children, state);
    case NodeOp::conditional:
        return conditional(n, state);
    case NodeOp::smallest:
    case NodeOp::largest:
        return of(n.where, State::known);
    case NodeOp::any:
    case NodeOp::all:
    case NodeOp::max:
    case NodeOp::min:
        return quantified(n, state);
    case NodeOp::applies:
        return state == State::yes ? applies(book_.rules[static_cast<std::size_t>(n.index)]) : out;
    case NodeOp::element:
    case NodeOp::count:
    case NodeOp::sum:
    case NodeOp::complete:
        return out;
    default: // comparisons
        return each(n.children, State::known);
    }
}

// NOLINTNEXTLINE(misc-no-recursion)
Sure SureFacts::each(const std::vector<NodeId> &nodes, State state) {
    Sure out;
    for (const NodeId id : nodes)
        out.join(of(id, state));
    return out;
}

// NOLINTNEXTLINE(misc-no-recursion)
Sure SureFacts::some(const std::vector<NodeId> &nodes, State state) {
    Sure out;
    out.all = true;
    for (const NodeId id : nodes)
        out.meet(of(id, state));
    return out;
}

// NOLINTNEXTLINE(misc-no-recursion)
Sure SureFacts::conditional(const Node &n, State state) {
    const Sure then = of(n.children[1], state);
    const Sure otherwise = of(n.children[2], state);
    Sure out = of(n.children[0], State::yes).join(then);
    out.meet(of(n.children[0], State::no).join(otherwise));
    if (n.type.is_truth()) { // known too where the condition is not, and both branches agree
        Sure agreed = then;
        out.meet(agreed.join(otherwise));
    }
    return out;
}

// Of one element that decides. What is told of the element itself says nothing about others.
// NOLINTNEXTLINE(misc-no-recursion)
Sure SureFacts::quantified(const Node &n, State state) {
    Sure out;
    if ((n.op == NodeOp::any && state == State::no) || (n.op == NodeOp::all && state == State::yes))
        return out; // it may be of an empty list
    out = of(n.where, State::yes);
    out.join(of(n.body, n.op == NodeOp::any   ? State::yes
                        : n.op == NodeOp::all ? State::no
                                              : State::known));
    std::erase_if(out.keys, [&](const Sure::Key &key) {
        const auto &[kind, index, field] = key;
        const std::int32_t item = kind == Sure::Kind::field
                                      ? index // a function, which has parameters, sees no list
                                      : book_.defines[static_cast<std::size_t>(index)].item;
        return !is_above_or_same(book_, item, n.item);
    });
    return out;
}

// NOLINTNEXTLINE(misc-no-recursion)
Sure SureFacts::defined(const Node &n, State state) {
    const Define &d = book_.defines[static_cast<std::size_t>(n.index)];
    const std::tuple at(n.index, state, demands_);
    if (!defines_.contains(at)) {
        Sure value = of(d.value, state);
        if (d.item >= 0)
            value.keys.insert({Sure::Kind::define, n.index, 0});
        defines_[at] = std::move(value);
    }
    Sure out = defines_[at];
    if (d.item >= 0)
        return out;
    const Sure inside = out; // a function reads its parameters only
    out.keys.clear();
    for (std::size_t i = 0; i < n.children.size(); ++i) {
        if (inside.has({Sure::Kind::parameter, static_cast<std::int32_t>(i), 0}))
            out.join(of(n.children[i], State::known));
    }
    return out;
}

// NOLINTNEXTLINE(misc-no-recursion)
bool SureFacts::covers(const Sure &sure, NodeId id) const {
    if (id == no_node || sure.all)
        return true;
    const Node &n = book_.nodes[id];
    switch (n.op) {
    case NodeOp::field:
        return sure.has({Sure::Kind::field, n.item, n.index});
    case NodeOp::define:
        if (sure.has({Sure::Kind::define, n.index, 0}))
            return true;
        if (book_.defines[static_cast<std::size_t>(n.index)].item >= 0)
            return covers(sure, book_.defines[static_cast<std::size_t>(n.index)].value);
        break;
    case NodeOp::conditional: {
        const Node &condition = book_.nodes[n.children[0]];
        if (condition.op == NodeOp::limit || condition.op == NodeOp::constant)
            return covers(sure, n.children[condition.value != 0 ? 1 : 2]);
        break;
    }
    case NodeOp::any:
    case NodeOp::all:
    case NodeOp::count:
    case NodeOp::sum:
    case NodeOp::max:
    case NodeOp::min:
        return true; // what a list gives is told as far as it is known: "at least 30 A"
    default:
        break;
    }
    return covers(sure, n.where) && std::all_of(n.children.begin(), n.children.end(),
                                                [&](NodeId c) { return covers(sure, c); });
}

} // namespace groundrule::book
