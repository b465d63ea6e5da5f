// Which rules rest on what: through definitions, implied facts, tables, lists, groups, and through
// the scopes of other rules.
#include "book/compare_steps.h"
#include "book/expression_text.h"

#include <algorithm>
#include <map>
#include <set>

namespace groundrule::book {

namespace {

using Found = std::set<std::size_t>; // places in the list of changed things, then of topics

class Reach {
  public:
    Reach(const Book &book, const std::vector<SharedChange> &shared,
          const std::vector<std::string> &topics)
        : book_(book), shared_(shared) {
        for (std::size_t i = 0; i < shared.size(); ++i)
            by_key_[shared[i].key] = i;
        for (std::size_t i = 0; i < topics.size(); ++i)
            by_key_["rule " + topics[i]] = shared.size() + i;
    }

    Found of_rule(const Rule &rule) {
        Found out = of_scope(rule);
        add(rule.requirement, out);
        for (const auto *parts : {&rule.paths, &rule.permits}) {
            for (const Part &p : *parts)
                add(p.node, out);
        }
        if (rule.requirement == no_node && rule.paths.empty() && rule.permits.empty()) {
            for (const MessagePart &part : rule.says) // such a rule only tells
                add(part.value, out);
        }
        return out;
    }

  private:
    Found of_scope(const Rule &rule) { // NOLINT(misc-no-recursion)
        Found out;
        for (const Condition &c : rule.conditions)
            add(c.node, out);
        for (const auto *parts : {&rule.listed, &rule.exceptions}) {
            for (const Part &p : *parts)
                add(p.node, out);
        }
        return out;
    }

    void changed(const std::string &key, Found &out) const {
        const auto there = by_key_.find(key);
        if (there != by_key_.end())
            out.insert(there->second);
    }

    // What another thing rests on, found once each; one that leads back to itself adds nothing.
    template <typename Find>
    void once(const std::string &key, Found &out, Find find) { // NOLINT(misc-no-recursion)
        const auto [place, fresh] = known_.try_emplace(key);
        if (fresh) {
            Found found;
            find(found);
            known_[key] = std::move(found);
        }
        const Found &found = known_[key];
        out.insert(found.begin(), found.end());
    }

    void add(NodeId id, Found &out) { // NOLINT(misc-no-recursion)
        if (id == no_node)
            return;
        const Node &n = book_.nodes[id];
        const auto index = static_cast<std::size_t>(n.index);
        switch (n.op) {
        case NodeOp::field:
            field(n, out);
            break;
        case NodeOp::define: {
            const Define &d = book_.defines[index];
            const std::string name =
                d.item < 0 ? d.name
                           : book_.items[static_cast<std::size_t>(d.item)].name + "." + d.name;
            changed("definition " + name, out);
            once("definition " + name, out, [&](Found &found) { add(d.value, found); });
            break;
        }
        case NodeOp::lookup:
            if (reaches_changed_cell(n))
                changed("table " + book_.tables[index].declared, out);
            break;
        case NodeOp::smallest:
        case NodeOp::largest:
            changed("list " + book_.lists[index].declared, out);
            break;
        case NodeOp::applies: {
            const Rule &rule = book_.rules[index];
            changed("rule " + rule.topic, out);
            once("rule " + rule.topic, out, [&](Found &found) {
                const Found scope = of_scope(rule);
                found.insert(scope.begin(), scope.end());
            });
            break;
        }
        case NodeOp::in_set:
            for (const Group *group : groups_named(book_, id))
                changed("group " + group->name, out);
            break;
        default:
            break;
        }
        for (const NodeId child : n.children)
            add(child, out);
        add(n.where, out);
        add(n.body, out);
    }

    void field(const Node &n, Found &out) { // NOLINT(misc-no-recursion)
        const Item &item = book_.items[static_cast<std::size_t>(n.item)];
        const Field &f = item.fields[static_cast<std::size_t>(n.index)];
        const std::string name = item.name + "." + f.name;
        changed("field " + name, out);
        once("field " + name, out, [&](Found &found) {
            for (const NodeId implied : f.implied)
                add(implied, found);
        });
    }

    // With constant keys a look-up reads only some of the cells.
    bool reaches_changed_cell(const Node &n) const {
        const Table &t = book_.tables[static_cast<std::size_t>(n.index)];
        const auto there = by_key_.find("table " + t.declared);
        if (there == by_key_.end())
            return false;
        const std::vector<Change> &changes = shared_[there->second].changes;
        return changes.empty() || std::any_of(changes.begin(), changes.end(), [&](const Change &c) {
                   return c.aspect != Aspect::cell || reads(n, t, c.keys);
               });
    }

    bool reads(const Node &n, const Table &t, const std::vector<std::string> &cell) const {
        for (std::size_t k = 0; k < n.children.size(); ++k) {
            const Node &key = book_.nodes[n.children[k]];
            const bool constant =
                key.op == NodeOp::constant && t.keys[k].match == ast::KeyMatch::exact;
            if (constant && value_text(book_, t.keys[k].type, key.value) != cell[k])
                return false;
        }
        return t.columns.size() == 1 ||
               cell.back() == t.columns[static_cast<std::size_t>(n.column)];
    }

    const Book &book_;
    const std::vector<SharedChange> &shared_;
    std::map<std::string, std::size_t> by_key_;
    std::map<std::string, Found> known_;
};

} // namespace

std::vector<std::vector<std::size_t>> rests_on(const Book &book,
                                               const std::vector<SharedChange> &shared,
                                               const std::vector<std::string> &topics) {
    Reach reach(book, shared, topics);
    std::vector<std::vector<std::size_t>> out;
    for (const Rule &rule : book.rules) {
        const Found found = reach.of_rule(rule);
        out.emplace_back(found.begin(), found.end());
    }
    return out;
}

} // namespace groundrule::book
