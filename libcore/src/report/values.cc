// Walks the typed text of a rule; quantifiers stand for themselves, by the words in which they are
// written.
#include "report/values.h"

#include "evaluate/scalar.h"
#include "report/paragraph.h"

#include <algorithm>

namespace groundrule::report {

using book::Node;
using book::NodeId;
using book::NodeOp;

std::string cell_text(const book::Book &book, const book::Type &type, const Cell &cell) {
    if (!cell.known())
        return "unknown";
    const std::string text = value_text(book, type, cell.value);
    return cell.exact() ? text : (cell.bound == Bound::at_least ? "at least " : "at most ") + text;
}

std::string written(const book::Book &book, Span span) {
    if (span.file >= book.sources.size())
        return {};
    return on_one_line(book.sources[span.file].text().substr(span.begin, span.end - span.begin));
}

std::string Values::message(const std::vector<book::MessagePart> &parts, std::size_t row) const {
    std::string out;
    for (const book::MessagePart &p : parts) {
        out += p.text;
        if (p.value == book::no_node)
            continue;
        const program::Register reg = program_.nodes[p.value];
        out += cell_text(book_, book_.nodes[p.value].type, workspace_.cell(reg, row));
    }
    return out;
}

// The row of the item that a node reads is the finding's row, or one above it.
std::string Values::source_of_field(const Node &node, std::int32_t space, std::size_t row) const {
    while (space != node.item) {
        row = static_cast<std::size_t>(job_.rows(space).parent[row]);
        space = book_.items[static_cast<std::size_t>(space)].parent;
    }
    const facts::Rows &rows = job_.rows(node.item);
    const auto index = static_cast<std::size_t>(node.index);
    const book::Field &field = book_.items[static_cast<std::size_t>(node.item)].fields[index];
    if (rows.given.at(index, row).known())
        return "given";
    const program::Instruction &in = program_.code[program_.slots[field.slot].value];
    for (std::size_t k = 1; in.op == program::Op::join && k < in.count; ++k) {
        if (workspace_.cell(program_.arguments[in.first + k], row).known())
            return "implied: " + field.implied_by[k - 1];
    }
    return rows.assumed.at(index, row).known() ? "assumed" : "not told";
}

Value Values::value_of(const Node &node, NodeId id, const std::string &name,
                       std::size_t row) const {
    const program::Register reg = program_.nodes[id];
    return {name, cell_text(book_, node.type, workspace_.cell(reg, row)), {}};
}

void Values::collect(NodeId id, std::size_t row,
                     std::vector<Value> &out) const { // NOLINT(misc-no-recursion)
    if (id == book::no_node || program_.nodes[id] == program::no_register)
        return;
    const Node &node = book_.nodes[id];
    const std::int32_t space = program_.code[program_.nodes[id]].space;
    const auto add = [&](Value v) {
        if (std::none_of(out.begin(), out.end(), [&](const Value &x) { return x.name == v.name; }))
            out.push_back(std::move(v));
    };
    switch (node.op) {
    case NodeOp::field: {
        const book::Item &item = book_.items[static_cast<std::size_t>(node.item)];
        Value v =
            value_of(node, id,
                     item.name + "." + item.fields[static_cast<std::size_t>(node.index)].name, row);
        v.source = source_of_field(node, space, row);
        add(std::move(v));
        return;
    }
    case NodeOp::define: {
        const book::Define &define = book_.defines[static_cast<std::size_t>(node.index)];
        const std::string owner =
            define.item < 0 ? "" : book_.items[static_cast<std::size_t>(define.item)].name + ".";
        Value v = value_of(node, id,
                           define.item < 0 ? written(book_, node.span) : owner + define.name, row);
        v.source = define.title.empty() ? "derived" : "derived: " + define.title;
        add(std::move(v));
        break; // its arguments are values too
    }
    case NodeOp::limit: {
        Value v = value_of(node, id, written(book_, node.span), row);
        v.source = "limit of the rule";
        add(std::move(v));
        return;
    }
    case NodeOp::lookup: {
        const book::Table &table = book_.tables[static_cast<std::size_t>(node.index)];
        Value v = value_of(node, id, written(book_, node.span), row);
        v.source = "table " + table.name;
        add(std::move(v));
        break;
    }
    case NodeOp::any:
    case NodeOp::all:
    case NodeOp::count:
    case NodeOp::sum:
    case NodeOp::max:
    case NodeOp::min: {
        Value v = value_of(node, id, written(book_, node.span), row);
        v.source = "counted over the list";
        add(std::move(v));
        return;
    }
    default:
        break;
    }
    for (const NodeId child : node.children)
        collect(child, row, out);
}

void Values::collect_parts(const std::vector<book::Part> &parts,
                           const std::vector<program::Register> &code, bool holding,
                           std::size_t row, std::vector<Value> &out) const {
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const Truth holds = truth_in(workspace_.cell(code[i], row));
        if (!holding || holds == Truth::yes)
            collect(parts[i].node, row, out);
    }
}

std::vector<Value> Values::of_rule(const book::Rule &rule, const program::RuleCode &code,
                                   std::size_t row) const {
    const Verdict verdict = evaluate::verdict(code, row, workspace_);
    const bool open = verdict == Verdict::undetermined;
    std::vector<Value> out;
    collect(rule.requirement, row, out);
    collect_parts(rule.paths, code.paths, verdict == Verdict::complies, row, out);
    collect_parts(rule.permits, code.permits, verdict == Verdict::complies, row, out);
    collect_parts(rule.listed, code.listed, !open, row, out);
    for (const book::Condition &c : rule.conditions)
        collect(c.node, row, out);
    if (!open)
        std::erase_if(out, [](const Value &v) { return v.value == "unknown"; });
    return out;
}

std::vector<Value> Values::of_condition(book::NodeId node, std::size_t row) const {
    std::vector<Value> out;
    collect(node, row, out);
    return out;
}

} // namespace groundrule::report
