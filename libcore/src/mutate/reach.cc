#include "mutate/reach.h"

#include <utility>

namespace groundrule::mutate {

namespace {

using book::Book;
using book::Node;
using book::NodeId;
using book::NodeOp;

// Walks from one place after another; what was met from the same place is not met again.
class Walk {
  public:
    explicit Walk(const Book &book)
        : book_(book), nodes_(book.nodes.size()), lists_(book.lists.size()),
          rules_(book.rules.size()) {
        for (const book::Table &t : book.tables)
            columns_.emplace_back(t.types.size());
    }

    template <typename Meet>
    void from_rule(std::uint32_t index, Meet meet) {
        ++now_;
        scope(index, meet);
        const book::Rule &rule = book_.rules[index];
        for (const auto *parts : {&rule.paths, &rule.permits}) {
            for (const book::Part &p : *parts)
                node(p.node, meet);
        }
        node(rule.requirement, meet);
    }

    template <typename Meet>
    void from_node(NodeId id, Meet meet) {
        ++now_;
        node(id, meet);
    }

  private:
    bool first_time(std::vector<std::uint32_t> &seen, std::size_t index) const {
        return std::exchange(seen[index], now_) != now_;
    }

    // What decides whether a rule applies.
    template <typename Meet>
    void scope(std::uint32_t index, Meet &meet) { // NOLINT(misc-no-recursion)
        if (!first_time(rules_, index))
            return;
        const book::Rule &rule = book_.rules[index];
        for (const book::Condition &c : rule.conditions)
            node(c.node, meet);
        for (const auto *parts : {&rule.listed, &rule.exceptions}) {
            for (const book::Part &p : *parts)
                node(p.node, meet);
        }
    }

    // The side of an `if` that a reading switches off.
    bool never_taken(const Node &n, std::size_t child) const {
        if (n.op != NodeOp::conditional || child == 0)
            return false;
        const Node &condition = book_.nodes[n.children[0]];
        return (condition.op == NodeOp::limit || condition.op == NodeOp::constant) &&
               (condition.value != 0) != (child == 1);
    }

    template <typename Meet>
    void node(NodeId id, Meet &meet) { // NOLINT(misc-no-recursion)
        if (id == book::no_node || !first_time(nodes_, id))
            return;
        const Node &n = book_.nodes[id];
        const auto index = static_cast<std::size_t>(n.index);
        meet.met(meet.reach.nodes[id]);
        switch (n.op) {
        case NodeOp::field:
            for (const NodeId implied :
                 book_.items[static_cast<std::size_t>(n.item)].fields[index].implied)
                node(implied, meet);
            break;
        case NodeOp::define:
            node(book_.defines[index].value, meet);
            break;
        case NodeOp::lookup:
            if (first_time(columns_[index], static_cast<std::size_t>(n.column)))
                meet.met(meet.reach.columns[index][static_cast<std::size_t>(n.column)]);
            break;
        case NodeOp::smallest:
        case NodeOp::largest:
            if (first_time(lists_, index))
                meet.met(meet.reach.lists[index]);
            break;
        case NodeOp::applies:
            scope(static_cast<std::uint32_t>(n.index), meet);
            break;
        default:
            break;
        }
        for (std::size_t k = 0; k < n.children.size(); ++k) {
            if (!never_taken(n, k))
                node(n.children[k], meet);
        }
        node(n.where, meet);
        node(n.body, meet);
    }

    const Book &book_;
    std::uint32_t now_ = 0;
    std::vector<std::uint32_t> nodes_; // when each was met last
    std::vector<std::vector<std::uint32_t>> columns_;
    std::vector<std::uint32_t> lists_;
    std::vector<std::uint32_t> rules_;
};

struct ByRule {
    Reach &reach;
    std::uint32_t rule;
    void met(Readers &readers) const { readers.rules.push_back(rule); }
};

struct ByFact {
    Reach &reach;
    std::uint32_t slot;
    void met(Readers &readers) const { readers.slots.push_back(slot); }
};

} // namespace

Reach::Reach(const Book &book) : nodes(book.nodes.size()), lists(book.lists.size()) {
    for (const book::Table &t : book.tables)
        columns.emplace_back(t.types.size());
    Walk walk(book);
    for (std::uint32_t i = 0; i < book.rules.size(); ++i)
        walk.from_rule(i, ByRule{*this, i});
    for (const book::Item &item : book.items) {
        for (const book::Field &field : item.fields) {
            for (const NodeId implied : field.implied)
                walk.from_node(implied, ByFact{*this, field.slot});
        }
    }
}

} // namespace groundrule::mutate
