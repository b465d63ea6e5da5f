#include "book/reach.h"

namespace groundrule::book {

void Reached::merge(const Reached &other) {
    defines.insert(other.defines.begin(), other.defines.end());
    tables.insert(other.tables.begin(), other.tables.end());
    lists.insert(other.lists.begin(), other.lists.end());
    facts.insert(other.facts.begin(), other.facts.end());
    choices.insert(other.choices.begin(), other.choices.end());
}

// Depth is bounded by the nesting that the reader admits and by definitions not leading back.
void reach(const Book &book, NodeId id, Reached &out) { // NOLINT(misc-no-recursion)
    if (id == no_node)
        return;
    const Node &n = book.nodes[id];
    switch (n.op) {
    case NodeOp::field:
        if (out.facts.emplace(n.item, n.index).second) {
            for (const NodeId implied : book.items[static_cast<std::size_t>(n.item)]
                                            .fields[static_cast<std::size_t>(n.index)]
                                            .implied)
                reach(book, implied, out);
        }
        break;
    case NodeOp::define:
        if (out.defines.insert(n.index).second)
            reach(book, book.defines[static_cast<std::size_t>(n.index)].value, out);
        break;
    case NodeOp::lookup:
        out.tables.insert(n.index);
        break;
    case NodeOp::smallest:
    case NodeOp::largest:
        out.lists.insert(n.index);
        break;
    case NodeOp::in_set:
        out.choices.insert(id);
        break;
    default:
        break;
    }
    for (const NodeId child : n.children)
        reach(book, child, out);
    reach(book, n.where, out);
    reach(book, n.body, out);
}

void reach(const Book &book, const Rule &rule, Reached &out) {
    reach(book, rule.requirement, out);
    for (const Condition &c : rule.conditions)
        reach(book, c.node, out);
    for (const auto *parts : {&rule.listed, &rule.exceptions, &rule.paths, &rule.permits}) {
        for (const Part &p : *parts)
            reach(book, p.node, out);
    }
}

} // namespace groundrule::book
