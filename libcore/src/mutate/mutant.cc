#include "mutate/mutant.h"

namespace groundrule::mutate {

namespace {

// Texts and trees stay with the original: nothing here reads them.
book::Book without_files(const book::Book &book) {
    book::Book copy;
    copy.layers = book.layers;
    copy.choice_types = book.choice_types;
    copy.items = book.items;
    copy.tables = book.tables;
    copy.lists = book.lists;
    copy.defines = book.defines;
    copy.rules = book.rules;
    copy.nodes = book.nodes;
    copy.slot_count = book.slot_count;
    return copy;
}

} // namespace

Altered::Altered(const book::Book &book)
    : book_(without_files(book)), node_count_(book.nodes.size()) {}

void Altered::make(const Edit &edit) {
    if (const auto *e = std::get_if<NodeEdit>(&edit)) {
        for (const auto &[id, node] : e->nodes) {
            nodes_.emplace_back(id, book_.nodes[id]);
            if (e->how == NodeEdit::How::replace) {
                book_.nodes[id] = node;
                continue;
            }
            book_.nodes.push_back(book_.nodes[id]);
            book::Node negation;
            negation.op = book::NodeOp::logical_not;
            negation.type = book::truth_type();
            negation.span = book_.nodes[id].span;
            negation.children = {static_cast<book::NodeId>(book_.nodes.size() - 1)};
            book_.nodes[id] = std::move(negation);
        }
        return;
    }
    double value = 0;
    if (const auto *cell = std::get_if<CellEdit>(&edit)) {
        place_ = &book_.tables[cell->table].cells[cell->cell];
        value = cell->value;
    } else if (const auto *key = std::get_if<KeyEdit>(&edit)) {
        place_ = &book_.tables[key->table].keys[key->key].values[key->position];
        value = key->value;
    } else {
        const auto &entry = std::get<ListEdit>(edit);
        place_ = &book_.lists[entry.list].values[entry.position];
        value = entry.value;
    }
    value_ = std::exchange(*place_, value);
}

void Altered::undo() {
    for (auto &[id, node] : nodes_)
        book_.nodes[id] = std::move(node);
    nodes_.clear();
    book_.nodes.resize(node_count_);
    if (place_ != nullptr)
        *place_ = value_;
    place_ = nullptr;
}

} // namespace groundrule::mutate
