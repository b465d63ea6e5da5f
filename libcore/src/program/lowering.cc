// Single nodes, tables and lists.
#include "program/lowering.h"

#include <algorithm>

namespace groundrule::program {

using book::Node;
using book::NodeId;
using book::NodeOp;

namespace {

bool speaks_of(const book::Book &book, NodeId id, std::int32_t depth) { // NOLINT(misc-no-recursion)
    if (id == book::no_node)
        return false;
    const Node &n = book.nodes[id];
    if (n.op == NodeOp::element)
        return n.index == depth;
    // What is asked of the items of a list names no element of a search around it.
    return speaks_of(book, n.where, depth) ||
           std::any_of(n.children.begin(), n.children.end(),
                       [&](NodeId c) { return speaks_of(book, c, depth); });
}

} // namespace

Op plain_op(book::NodeOp op) {
    switch (op) {
    case NodeOp::logical_and:
        return Op::conjunction;
    case NodeOp::logical_or:
        return Op::disjunction;
    case NodeOp::logical_not:
        return Op::negation;
    case NodeOp::equal:
        return Op::equal;
    case NodeOp::at_least:
    case NodeOp::at_most:
        return Op::at_least;
    case NodeOp::more_than:
    case NodeOp::less_than:
        return Op::more_than;
    case NodeOp::in_set:
        return Op::in_set;
    case NodeOp::add:
        return Op::add;
    case NodeOp::subtract:
        return Op::subtract;
    case NodeOp::multiply:
        return Op::multiply;
    case NodeOp::divide:
        return Op::divide;
    case NodeOp::larger:
        return Op::larger;
    case NodeOp::smaller:
        return Op::smaller;
    case NodeOp::round_down:
        return Op::round_down;
    case NodeOp::round_up:
        return Op::round_up;
    case NodeOp::round_nearest:
        return Op::round_nearest;
    default:
        return Op::lookup;
    }
}

void copy_tables(const book::Book &book, Program &program) {
    for (const book::Table &t : book.tables) {
        Table table;
        table.columns = static_cast<std::uint32_t>(t.types.size());
        table.cells = t.cells;
        for (const book::Key &k : t.keys) {
            TableKey key;
            key.match = static_cast<TableKey::Match>(k.match);
            key.scale = scale_of(k.type);
            for (const double v : k.values)
                key.steps.push_back(on_grid(v, key.scale));
            table.keys.push_back(std::move(key));
        }
        program.tables.push_back(std::move(table));
    }
    for (const book::List &l : book.lists) {
        List list;
        list.scale = scale_of(l.type);
        list.values = l.values;
        for (const double v : l.values)
            list.steps.push_back(on_grid(v, list.scale));
        program.lists.push_back(std::move(list));
    }
}

std::optional<NodeId> threshold(const book::Book &book, const Node &search) {
    const Node &test = book.nodes[search.where];
    if (search.op != NodeOp::smallest || test.op != NodeOp::at_least)
        return std::nullopt;
    const Node &left = book.nodes[test.children[0]];
    if (left.op != NodeOp::element || left.index != search.column ||
        speaks_of(book, test.children[1], search.column))
        return std::nullopt;
    return test.children[1];
}

} // namespace groundrule::program
