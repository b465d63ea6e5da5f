// One step for each thing that an expression names or does. Depth is bounded by the nesting of the
// rules and their definitions.
#include "answers/steps.h"

#include "book/expression_text.h"
#include "evaluate/operate.h"
#include "evaluate/reduce.h"
#include "program/lowering.h"
#include "report/values.h"

#include <algorithm>
#include <cassert>
#include <utility>

namespace groundrule::answers {

using book::Node;
using book::NodeId;
using book::NodeOp;

namespace {

bool begins_with_a_digit(const std::string &text) {
    return text.find_first_of("0123456789") == 0;
}

std::string table_title(const std::string &name) {
    return begins_with_a_digit(name) ? "Table " + name : name;
}

} // namespace

std::uint32_t Walk::add(Step step) {
    steps_.push_back(std::move(step));
    return static_cast<std::uint32_t>(steps_.size() - 1);
}

std::string Walk::words_of(NodeId id, const Place &place) const {
    return expression_text(book_, id, {place.space, rule_, place.define});
}

// The row of an item that stands at a place or above it.
std::size_t Walk::row_of(std::int32_t item, const Place &place) const {
    std::int32_t space = place.space;
    std::size_t row = place.row;
    while (space != item) {
        row = static_cast<std::size_t>(job_.rows(space).parent[row]);
        space = book_.items[static_cast<std::size_t>(space)].parent;
    }
    return row;
}

std::uint32_t Walk::walk(NodeId id, const Place &place) { // NOLINT(misc-no-recursion)
    const Node &n = book_.nodes[id];
    if (n.op == NodeOp::parameter) {
        assert(place.parameters !=
               nullptr); // it stands in the body of what is called, nowhere else
        return (*place.parameters)[static_cast<std::size_t>(n.index)];
    }
    const bool plain = place.parameters == nullptr && place.sought.empty();
    const std::tuple key(id, place.space, place.row);
    if (const auto there = known_.find(key); plain && there != known_.end())
        return there->second;
    Step s;
    s.op = n.op;
    s.type = n.type;
    std::uint32_t made = no_step;
    switch (n.op) {
    case NodeOp::constant:
        s.source = Source::constant;
        s.value = exactly(n.value);
        s.words = report::written(book_, n.span);
        if (!begins_with_a_digit(s.words))
            s.words = value_text(book_, n.type, n.value);
        made = add(std::move(s));
        break;
    case NodeOp::element:
        s.source = Source::constant;
        s.value = exactly(place.sought[static_cast<std::size_t>(n.index)]);
        s.words = value_text(book_, n.type, s.value.value);
        made = add(std::move(s));
        break;
    case NodeOp::limit: {
        const book::Limit &limit = rule_->limits[static_cast<std::size_t>(n.index)];
        s.source = Source::limit;
        s.value = exactly(n.value);
        s.name = limit.name;
        s.from = "limit of the rule";
        s.layer = limit.layer;
        made = add(std::move(s));
        break;
    }
    case NodeOp::unknown:
        made = add(std::move(s));
        break;
    case NodeOp::not_encoded:
        s.source = Source::not_encoded;
        s.words = n.text;
        made = add(std::move(s));
        break;
    case NodeOp::field:
        made = fact(n.item, static_cast<std::size_t>(n.index), row_of(n.item, place));
        break;
    case NodeOp::define:
        made = book_.defines[static_cast<std::size_t>(n.index)].item < 0 ? called(n, place)
                                                                         : defined(n, place);
        break;
    case NodeOp::conditional:
        made = conditional(n, place);
        break;
    case NodeOp::lookup:
        made = looked_up(n, place);
        break;
    case NodeOp::smallest:
    case NodeOp::largest:
        made = searched(n, place);
        break;
    case NodeOp::any:
    case NodeOp::all:
    case NodeOp::count:
    case NodeOp::sum:
    case NodeOp::max:
    case NodeOp::min:
    case NodeOp::complete:
        made = counted(n, place);
        break;
    case NodeOp::applies:
        made = applies(n, place);
        break;
    default:
        made = operation(n, place);
        break;
    }
    if (plain)
        known_.emplace(key, made);
    return made;
}

std::uint32_t Walk::fact(std::int32_t item, std::size_t index,
                         std::size_t row) { // NOLINT(misc-no-recursion)
    const std::tuple key(item, index, row);
    if (const auto there = facts_.find(key); there != facts_.end())
        return there->second;
    const book::Item &type = book_.items[static_cast<std::size_t>(item)];
    const book::Field &field = type.fields[index];
    const facts::Rows &rows = job_.rows(item);
    const program::Register reg = program_.slots[field.slot].value;
    const program::Instruction &in = program_.code[reg];
    Step s;
    s.op = NodeOp::field;
    s.type = field.type;
    s.name = type.name + "." + field.name;
    s.item = report::path_of(job_, item, row);
    s.words = field.question;
    s.value = workspace_.cell(reg, row);
    s.facing_bounds = in.may_be_least && in.may_be_most;
    if (s.facing_bounds)
        s.value = evaluate::larger(s.value, s.value);
    s.told = rows.given.at(index, row);
    s.source = s.told.known() ? Source::given : Source::not_told;
    if (!s.told.exact()) {
        for (std::size_t k = 0; k < field.implied.size(); ++k) {
            if (!workspace_.cell(program_.arguments[in.first + k + 1], row).known())
                continue;
            s.source = Source::implied;
            s.from += (s.from.empty() ? "" : "; ") + field.implied_by[k];
            s.parts.push_back(walk(field.implied[k], {item, row, nullptr, {}, nullptr}));
        }
    }
    if (s.source == Source::not_told && rows.assumed.at(index, row).known()) {
        s.source = Source::assumed;
        s.told = rows.assumed.at(index, row);
    }
    const std::uint32_t made = add(std::move(s));
    facts_.emplace(key, made);
    return made;
}

std::uint32_t Walk::defined(const Node &n, const Place &place) { // NOLINT(misc-no-recursion)
    const book::Define &d = book_.defines[static_cast<std::size_t>(n.index)];
    const std::size_t row = row_of(d.item, place);
    if (const auto there = defines_.find({n.index, row}); there != defines_.end())
        return there->second;
    const Place inside{d.item, row, nullptr, {}, &d};
    Step s;
    s.op = NodeOp::define;
    s.source = Source::derived;
    s.type = n.type;
    s.parts = {walk(d.value, inside)};
    s.value = cell(s.parts[0]);
    s.name = book_.items[static_cast<std::size_t>(d.item)].name + "." + d.name;
    s.item = report::path_of(job_, d.item, row);
    s.words = words_of(d.value, inside);
    s.from = d.title;
    s.layer = d.layer;
    const std::uint32_t made = add(std::move(s));
    defines_.emplace(std::pair(n.index, row), made);
    return made;
}

std::uint32_t Walk::called(const Node &n, const Place &place) { // NOLINT(misc-no-recursion)
    const book::Define &d = book_.defines[static_cast<std::size_t>(n.index)];
    Step s;
    s.op = NodeOp::define;
    s.source = Source::called;
    s.type = n.type;
    for (const NodeId child : n.children)
        s.parts.push_back(walk(child, place));
    const std::vector<std::uint32_t> arguments = s.parts;
    const Place inside{place.space, place.row, &arguments, {}, &d};
    s.parts.push_back(walk(d.value, inside));
    s.value = cell(s.parts.back());
    s.name = d.name;
    s.words = words_of(d.value, inside);
    s.from = d.title;
    s.layer = d.layer;
    return add(std::move(s));
}

// A branch that is not taken has no part in the value.
std::uint32_t Walk::conditional(const Node &n, const Place &place) { // NOLINT(misc-no-recursion)
    Step s;
    s.op = n.op;
    s.type = n.type;
    s.parts = {walk(n.children[0], place)};
    const Truth condition = truth_in(cell(s.parts[0]));
    if (condition != Truth::unknown) {
        s.parts.push_back(walk(n.children[condition == Truth::yes ? 1 : 2], place));
        s.value = cell(s.parts[1]);
        return add(std::move(s));
    }
    if (n.type.is_truth()) { // known where both branches agree
        s.parts.push_back(walk(n.children[1], place));
        s.parts.push_back(walk(n.children[2], place));
        s.value =
            cell_of(choose(condition, truth_in(cell(s.parts[1])), truth_in(cell(s.parts[2]))));
    }
    return add(std::move(s));
}

std::uint32_t Walk::operation(const Node &n, const Place &place) { // NOLINT(misc-no-recursion)
    Step s;
    s.op = n.op;
    s.type = n.type;
    s.set = n.set;
    for (const NodeId child : n.children)
        s.parts.push_back(walk(child, place));
    s.value = recomputed(book_, steps_, s);
    return add(std::move(s));
}

std::uint32_t Walk::looked_up(const Node &n, const Place &place) { // NOLINT(misc-no-recursion)
    const book::Table &table = book_.tables[static_cast<std::size_t>(n.index)];
    Step s;
    s.op = n.op;
    s.source = Source::table;
    s.type = n.type;
    s.index = n.index;
    for (const NodeId child : n.children)
        s.parts.push_back(walk(child, place));
    s.name =
        table_title(table.name) +
        (table.columns.size() > 1 ? ", " + table.columns[static_cast<std::size_t>(n.column)] : "");
    s.from = table.title;
    program::Instruction in;
    in.index = static_cast<std::uint32_t>(n.index);
    in.column = static_cast<std::uint32_t>(n.column);
    in.count = static_cast<std::uint32_t>(s.parts.size());
    const auto key = [&](std::size_t k) -> const Cell & { return cell(s.parts[k]); };
    s.value = evaluate::looked_up(program_, in, key);
    if (const auto at = evaluate::cell_index(program_, in, key)) {
        s.cell = static_cast<std::uint32_t>(*at);
        s.layer = table.layers[*at];
    }
    return add(std::move(s));
}

std::uint32_t Walk::searched(const Node &n, const Place &place) { // NOLINT(misc-no-recursion)
    const book::List &list = book_.lists[static_cast<std::size_t>(n.index)];
    Step s;
    s.op = n.op;
    s.source = Source::list;
    s.type = n.type;
    s.index = n.index;
    s.largest = n.op == NodeOp::largest;
    s.name = table_title(list.name);
    s.from = list.title;
    if (n.where == book::no_node) {
        s.value = exactly(s.largest ? list.values.back() : list.values.front());
        return add(std::move(s));
    }
    if (const auto limit = program::threshold(book_, n)) {
        s.parts = {walk(*limit, place)};
        s.words = "at_least";
        s.value =
            evaluate::next_in(program_.lists[static_cast<std::size_t>(n.index)], cell(s.parts[0]));
        return add(std::move(s));
    }
    for (std::size_t i = 0; i < list.values.size(); ++i) {
        Place inner = place;
        inner.sought.push_back(list.values[s.largest ? list.values.size() - 1 - i : i]);
        s.parts.push_back(walk(n.where, inner));
        const Truth t = truth_in(cell(s.parts.back()));
        if (t == Truth::yes)
            s.value = exactly(inner.sought.back());
        if (t != Truth::no)
            break;
    }
    return add(std::move(s));
}

std::uint32_t Walk::counted(const Node &n, const Place &place) { // NOLINT(misc-no-recursion)
    const std::size_t row = row_of(n.item, place);
    const book::Item &owner = book_.items[static_cast<std::size_t>(n.item)];
    const book::Item &child = book_.items[static_cast<std::size_t>(n.index)];
    Step s;
    s.op = n.op;
    s.type = n.type;
    s.item = report::path_of(job_, n.item, row);
    s.complete = job_.is_complete(n.item, n.index, row);
    s.name = owner.name + "." + child.list;
    s.words = words_of(static_cast<NodeId>(&n - book_.nodes.data()), place);
    if (n.op == NodeOp::complete) {
        s.source = Source::whole;
        s.value = s.complete ? exactly(1) : Cell{};
        return add(std::move(s));
    }
    s.source = Source::counted;
    if (n.body != book::no_node) {
        const program::Register body = program_.nodes[n.body];
        s.non_negative = body != program::no_register && program_.code[body].non_negative;
    }
    const facts::Rows &rows = job_.rows(n.index);
    for (std::size_t r = 0; r < rows.size(); ++r) {
        if (static_cast<std::size_t>(rows.parent[r]) != row)
            continue;
        const Place inside{n.index, r, nullptr, {}, place.define};
        Element e;
        e.item = report::path_of(job_, n.index, r);
        if (n.where != book::no_node)
            e.filter = walk(n.where, inside);
        const bool out = e.filter != no_step && truth_in(cell(e.filter)) == Truth::no;
        if (n.body != book::no_node && !out)
            e.body = walk(n.body, inside);
        s.elements.push_back(std::move(e));
    }
    s.value = recomputed(book_, steps_, s);
    return add(std::move(s));
}

std::uint32_t Walk::joined(NodeOp op, const std::vector<std::uint32_t> &parts) {
    Step s;
    s.op = op;
    s.parts = parts;
    s.value = recomputed(book_, steps_, s);
    return add(std::move(s));
}

std::uint32_t Walk::bound(const book::Rule &rule, std::size_t row) {
    if (std::all_of(rule.binds.begin(), rule.binds.end(), [](std::uint8_t b) { return b != 0; }))
        return no_step;
    Step s;
    s.op = NodeOp::in_set;
    s.set = rule.binds;
    s.parts = {fact(rule.item, 0, row)};
    s.value = recomputed(book_, steps_, s);
    return add(std::move(s));
}

std::uint32_t Walk::applies(const Node &n, const Place &place) { // NOLINT(misc-no-recursion)
    const book::Rule &rule = book_.rules[static_cast<std::size_t>(n.index)];
    const std::size_t row = row_of(rule.item, place);
    const book::Rule *speaking = std::exchange(rule_, &rule);
    const auto all = [&](const std::vector<book::Part> &parts) {
        std::vector<std::uint32_t> out;
        out.reserve(parts.size());
        for (const book::Part &p : parts)
            out.push_back(step(p.node, rule.item, row));
        return out;
    };
    std::vector<std::uint32_t> scope;
    if (const std::uint32_t b = bound(rule, row); b != no_step)
        scope.push_back(b);
    for (const book::Condition &c : rule.conditions)
        scope.push_back(step(c.node, rule.item, row));
    if (!rule.listed.empty())
        scope.push_back(joined(NodeOp::logical_or, all(rule.listed)));
    if (!rule.exceptions.empty())
        scope.push_back(
            joined(NodeOp::logical_not, {joined(NodeOp::logical_or, all(rule.exceptions))}));
    rule_ = speaking;
    Step s;
    s.op = n.op;
    s.source = Source::rule;
    s.parts = {joined(NodeOp::logical_and, scope)};
    s.value = cell(s.parts[0]);
    s.name = rule.citation + " applies";
    s.from = rule.title;
    s.item = report::path_of(job_, rule.item, row);
    s.layer = rule.layer;
    return add(std::move(s));
}

} // namespace groundrule::answers
