#include "mutate/places.h"

#include <tuple>

namespace groundrule::mutate {

namespace {

using book::Book;
using book::Node;
using book::NodeId;
using book::NodeOp;

class Collector {
  public:
    Collector(const Book &book, const Reach &reach, const Files &files, Places &places)
        : book_(book), reach_(reach), files_(files), places_(places), met_(book.nodes.size()) {}

    void rule(const book::Rule &rule) {
        subject_ = "rule " + rule.citation + " (" + rule.topic + ")";
        for (const book::Condition &c : rule.conditions)
            clause(c.node, book_.nodes[c.node].span, "condition", {}, true);
        for (const auto *list : {&rule.listed, &rule.exceptions, &rule.paths, &rule.permits}) {
            for (const book::Part &p : *list)
                part(p);
        }
        if (rule.requirement != book::no_node)
            clause(rule.requirement, book_.nodes[rule.requirement].span, "requirement", {}, true);
        limits(rule);
    }

    void value(NodeId id, std::string subject) {
        subject_ = std::move(subject);
        walk(id);
    }

  private:
    using Key = std::tuple<std::uint32_t, std::uint32_t, std::uint32_t, int, std::int32_t>;

    static Key key(Span span, int kind, std::int32_t index = 0) {
        return {span.file, span.begin, span.end, kind, index};
    }

    void part(const book::Part &p) {
        static constexpr const char *kinds[] = {"listed part", "exception", "path", "permission"};
        const char *kind = kinds[static_cast<std::size_t>(p.kind)];
        std::string words = p.displaced_by.empty() ? kind : "displaced by " + p.displaced_by;
        words += p.label.empty() ? "" : " " + p.label;
        clause(p.node, p.span, kind, std::move(words), false);
    }

    void clause(NodeId id, Span span, const char *kind, std::string words, bool without) {
        if (changed(files_, span)) {
            const auto [at, is_new] =
                clauses_.emplace(key(span, static_cast<int>(*kind)), places_.clauses.size());
            if (is_new)
                places_.clauses.push_back({{}, subject_, span, kind, std::move(words), without});
            places_.clauses[at->second].nodes.push_back(id);
        }
        walk(id);
    }

    void limits(const book::Rule &rule) {
        for (std::size_t i = 0; i < rule.limits.size(); ++i) {
            const book::Limit &limit = rule.limits[i];
            if (!changed(files_, limit.span) || readers_[i].empty())
                continue;
            const auto [at, is_new] = limits_.emplace(key(limit.span, 0), places_.limits.size());
            if (is_new)
                places_.limits.push_back({{}, subject_, limit});
            std::vector<NodeId> &nodes = places_.limits[at->second].nodes;
            nodes.insert(nodes.end(), readers_[i].begin(), readers_[i].end());
        }
        readers_.clear();
    }

    void walk(NodeId id) { // NOLINT(misc-no-recursion)
        if (id == book::no_node || met_[id] || !reach_.nodes[id].any())
            return;
        met_[id] = true;
        const Node &n = book_.nodes[id];
        if (n.op == NodeOp::limit)
            readers_[static_cast<std::size_t>(n.index)].push_back(id);
        else if (changed(files_, n.span))
            expression(id, n);
        for (const NodeId child : n.children)
            walk(child);
        walk(n.where);
        walk(n.body);
    }

    void expression(NodeId id, const Node &n) {
        const auto [at, is_new] = expressions_.emplace(key(n.span, static_cast<int>(n.op), n.index),
                                                       places_.expressions.size());
        if (is_new)
            places_.expressions.push_back({{}, subject_});
        places_.expressions[at->second].nodes.push_back(id);
    }

    const Book &book_;
    const Reach &reach_;
    const Files &files_;
    Places &places_;
    std::vector<bool> met_;
    std::string subject_;
    std::map<std::size_t, std::vector<NodeId>> readers_; // of the rule's limits
    std::map<Key, std::size_t> expressions_;
    std::map<Key, std::size_t> clauses_;
    std::map<Key, std::size_t> limits_;
};

} // namespace

Places::Places(const Book &book, const Reach &reach, const Files &files) {
    Collector collector(book, reach, files, *this);
    for (const book::Rule &rule : book.rules)
        collector.rule(rule);
    for (const book::Define &define : book.defines) {
        const std::string item =
            define.item < 0 ? "" : book.items[static_cast<std::size_t>(define.item)].name + ".";
        collector.value(define.value, "define " + item + define.name);
    }
    for (const book::Item &item : book.items) {
        for (const book::Field &field : item.fields) {
            for (const NodeId implied : field.implied)
                collector.value(implied, "imply " + item.name + "." + field.name);
        }
    }
}

} // namespace groundrule::mutate
