// Limits, conditions, parts and expressions.
#include "mutate/mutants.h"
#include "mutate/neighbours.h"
#include "mutate/places.h"

#include <algorithm>
#include <array>
#include <string_view>

namespace groundrule::mutate {

namespace {

using book::Book;
using book::Node;
using book::NodeId;
using book::NodeOp;

constexpr const char *nothing = "left out";

// An operation and what a slip makes of it; the words are those of the language.
struct Slip {
    NodeOp from;
    NodeOp to;
    const char *kind;
    std::string_view word;
    std::string_view instead;
};

constexpr std::array<Slip, 23> slips = {{
    {NodeOp::logical_and, NodeOp::logical_or, "logic", "and", "or"},
    {NodeOp::logical_or, NodeOp::logical_and, "logic", "or", "and"},
    {NodeOp::at_least, NodeOp::more_than, "comparison", "at least", "more than"},
    {NodeOp::at_least, NodeOp::less_than, "comparison", "at least", "less than"},
    {NodeOp::more_than, NodeOp::at_least, "comparison", "more than", "at least"},
    {NodeOp::more_than, NodeOp::at_most, "comparison", "more than", "at most"},
    {NodeOp::at_most, NodeOp::less_than, "comparison", "at most", "less than"},
    {NodeOp::at_most, NodeOp::more_than, "comparison", "at most", "more than"},
    {NodeOp::less_than, NodeOp::at_most, "comparison", "less than", "at most"},
    {NodeOp::less_than, NodeOp::at_least, "comparison", "less than", "at least"},
    {NodeOp::add, NodeOp::subtract, "arithmetic", "+", "-"},
    {NodeOp::subtract, NodeOp::add, "arithmetic", "-", "+"},
    {NodeOp::multiply, NodeOp::divide, "arithmetic", "*", "/"},
    {NodeOp::divide, NodeOp::multiply, "arithmetic", "/", "*"},
    {NodeOp::larger, NodeOp::smaller, "function", "larger_of", "smaller_of"},
    {NodeOp::smaller, NodeOp::larger, "function", "smaller_of", "larger_of"},
    {NodeOp::round_down, NodeOp::round_up, "rounding", "round_down", "round_up"},
    {NodeOp::round_up, NodeOp::round_down, "rounding", "round_up", "round_down"},
    {NodeOp::round_nearest, NodeOp::round_down, "rounding", "round_nearest", "round_down"},
    {NodeOp::any, NodeOp::all, "search", "any", "all"},
    {NodeOp::all, NodeOp::any, "search", "all", "any"},
    {NodeOp::max, NodeOp::min, "search", "max", "min"},
    {NodeOp::min, NodeOp::max, "search", "min", "max"},
}};

class Maker {
  public:
    Maker(const Book &book, std::vector<Mutant> &out) : book_(book), out_(out) {}

    void limit(const Limits &l) {
        const std::string from = written(book_, l.limit.span);
        for (const Neighbour &n : neighbours(book_, l.limit.type, l.limit.value, from))
            replace(l.nodes, l.subject, l.limit.span, "limit", l.limit.name + " = " + from,
                    l.limit.name + " = " + n.text, [&](Node &node) { node.value = n.value; });
    }

    void clause(const Clause &c) {
        const std::string from = c.words.empty() ? written(book_, c.span) : c.words;
        replace(c.nodes, c.subject, c.span, c.kind, from, nothing,
                [&](Node &node) { node = truth(c.without, node.span); });
    }

    void expression(const Expression &e) {
        const Node &n = book_.nodes[e.nodes.front()];
        for (const Slip &slip : slips) {
            if (slip.from == n.op && lawful(n, slip))
                replace(e.nodes, e.subject, place_of(n, slip.word), slip.kind,
                        std::string(slip.word), std::string(slip.instead),
                        [&](Node &node) { node.op = slip.to; });
        }
        switch (n.op) {
        case NodeOp::logical_and:
        case NodeOp::logical_or:
            operands(e, n);
            break;
        case NodeOp::logical_not:
            replace(e.nodes, e.subject, n.span, "logic", "not", nothing,
                    [&](Node &node) { node = Node(child(node, 0)); });
            break;
        case NodeOp::equal:
        case NodeOp::field:
        case NodeOp::define:
        case NodeOp::parameter:
        case NodeOp::applies:
        case NodeOp::complete:
            if (n.type.is_truth())
                negate(e, n);
            break;
        case NodeOp::in_set:
            choices(e, n);
            break;
        case NodeOp::round_down:
        case NodeOp::round_up:
        case NodeOp::round_nearest:
            replace(e.nodes, e.subject, n.span, "rounding", written(book_, n.span),
                    written(book_, child(n, 0).span),
                    [&](Node &node) { node = Node(child(node, 0)); });
            break;
        case NodeOp::conditional:
            branches(e, n);
            break;
        case NodeOp::constant:
            constant(e, n);
            break;
        case NodeOp::lookup:
            column(e, n);
            break;
        case NodeOp::smallest:
        case NodeOp::largest:
            search(e, n);
            break;
        default:
            break;
        }
        filter(e, n);
    }

  private:
    const Node &child(const Node &n, std::size_t k) const { return book_.nodes[n.children[k]]; }

    static Node truth(bool value, Span span) {
        Node n;
        n.type = book::truth_type();
        n.value = value ? 1 : 0;
        n.span = span;
        return n;
    }

    template <typename Change>
    void replace(const std::vector<NodeId> &nodes, const std::string &subject, Span span,
                 const char *kind, std::string from, std::string to, Change change) {
        NodeEdit edit;
        for (const NodeId id : nodes) {
            Node node = book_.nodes[id];
            change(node);
            edit.nodes.emplace_back(id, std::move(node));
        }
        out_.push_back({span, kind, subject, std::move(from), std::move(to), std::move(edit)});
    }

    void negate(const Expression &e, const Node &n) {
        NodeEdit edit;
        edit.how = NodeEdit::How::negate;
        for (const NodeId id : e.nodes)
            edit.nodes.emplace_back(id, Node());
        const std::string text = written(book_, n.span);
        out_.push_back({n.span, "logic", e.subject, text, "not " + text, std::move(edit)});
    }

    // Where a word of an operation stands: between its operands, or in front of them.
    Span place_of(const Node &n, std::string_view word) const {
        const std::string_view text = book_.sources[n.span.file].text();
        std::size_t from = n.span.begin;
        if (!n.children.empty() && child(n, 0).span.begin == n.span.begin)
            from = child(n, 0).span.end;
        const std::size_t at = text.find(word, from);
        if (at >= n.span.end)
            return n.span;
        return {n.span.file, static_cast<std::uint32_t>(at),
                static_cast<std::uint32_t>(at + word.size())};
    }

    // `a from b to c` is one comparison to its reader: its first condition ends where it does.
    bool range(const Node &n) const {
        return n.op == NodeOp::logical_and && child(n, 0).span.end == n.span.end;
    }

    // A product with a plain number may be a quotient; one of two quantities would not be read.
    bool lawful(const Node &n, const Slip &slip) const {
        if (slip.to == NodeOp::divide || slip.to == NodeOp::multiply)
            return child(n, 1).type.dimension.is_number();
        return !range(n);
    }

    void operands(const Expression &e, const Node &n) {
        for (std::size_t k = 0; k < n.children.size(); ++k) {
            const Node &operand = child(n, k);
            const char *bound = k == 0 ? "from" : "to";
            replace(e.nodes, e.subject, range(n) ? place_of(n, bound) : operand.span, "logic",
                    range(n) ? bound : written(book_, operand.span), nothing, [&](Node &node) {
                        node.children.erase(node.children.begin() + static_cast<std::ptrdiff_t>(k));
                    });
        }
    }

    // Of `is not` those that are named are the ones outside the set.
    void choices(const Expression &e, const Node &n) {
        const std::string text = written(book_, n.span);
        const std::size_t named_from = child(n, 0).span.end - n.span.begin;
        const bool negated = text.find("is not", named_from) != std::string::npos;
        const std::uint8_t named = negated ? 0 : 1;
        replace(e.nodes, e.subject, n.span, "choice", negated ? "is not" : "is",
                negated ? "is" : "is not", [](Node &node) {
                    for (std::uint8_t &flag : node.set)
                        flag = flag == 0 ? 1 : 0;
                });
        const auto &names =
            book_.choice_types[static_cast<std::size_t>(child(n, 0).type.choices)].choices;
        for (std::size_t i = 0; i < n.set.size(); ++i) {
            if (n.set[i] == named)
                replace(e.nodes, e.subject, n.span, "choice", names[i], nothing,
                        [&](Node &node) { node.set[i] = named == 0 ? 1 : 0; });
        }
    }

    void branches(const Expression &e, const Node &n) {
        const Node &condition = child(n, 0);
        for (const std::size_t k : {std::size_t{1}, std::size_t{2}})
            replace(e.nodes, e.subject, condition.span, "branch", written(book_, n.span),
                    written(book_, child(n, k).span),
                    [&](Node &node) { node = Node(child(node, k)); });
    }

    void constant(const Expression &e, const Node &n) {
        const std::string from = written(book_, n.span);
        for (const Neighbour &near : neighbours(book_, n.type, n.value, from))
            replace(e.nodes, e.subject, n.span, near.kind, from, near.text,
                    [&](Node &node) { node.value = near.value; });
    }

    // The next column of the same type.
    void column(const Expression &e, const Node &n) {
        const book::Table &table = book_.tables[static_cast<std::size_t>(n.index)];
        const auto own = static_cast<std::size_t>(n.column);
        for (std::size_t step = 1; step < table.types.size(); ++step) {
            const std::size_t other = (own + step) % table.types.size();
            if (!(table.types[other] == n.type))
                continue;
            replace(e.nodes, e.subject, n.span, "column", table.columns[own], table.columns[other],
                    [&](Node &node) { node.column = static_cast<std::int32_t>(other); });
            return;
        }
    }

    void search(const Expression &e, const Node &n) {
        const bool up = n.op == NodeOp::smallest;
        replace(e.nodes, e.subject, place_of(n, up ? "smallest" : "largest"), "search",
                up ? "smallest" : "largest", up ? "largest" : "smallest",
                [&](Node &node) { node.op = up ? NodeOp::largest : NodeOp::smallest; });
    }

    void filter(const Expression &e, const Node &n) {
        if (n.where == book::no_node)
            return;
        const Span span = book_.nodes[n.where].span;
        replace(e.nodes, e.subject, span, "search", "where " + written(book_, span), nothing,
                [](Node &node) { node.where = book::no_node; });
    }

    const Book &book_;
    std::vector<Mutant> &out_;
};

} // namespace

void mutate_rules(const Book &book, const Reach &reach, const Files &files,
                  std::vector<Mutant> &out) {
    const Places places(book, reach, files);
    Maker maker(book, out);
    for (const Limits &l : places.limits)
        maker.limit(l);
    for (const Clause &c : places.clauses)
        maker.clause(c);
    for (const Expression &e : places.expressions)
        maker.expression(e);
}

} // namespace groundrule::mutate
