// Canonical text of a book: names resolved, numbers as shortest exact decimals, declarations in the
// order of their keys.
#include "book/digest.h"

#include "book/sha256.h"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace groundrule::book {

namespace {

std::string number(double value) {
    if (std::isnan(value))
        return "--";
    char text[40];
    const auto end = std::to_chars(text, text + sizeof text, value).ptr;
    return std::string(text, end);
}

class Canonical {
  public:
    explicit Canonical(const Book &book) : book_(book) {}

    std::string text() {
        std::vector<std::string> lines;
        for (const Item &item : book_.items)
            item_lines(item, lines);
        for (const Table &table : book_.tables)
            lines.push_back(table_line(table));
        for (const List &list : book_.lists)
            lines.push_back(list_line(list));
        for (const Define &define : book_.defines)
            lines.push_back("define " + member(define.item, define.name) +
                            types(define.parameters) + " " + type(define.type) + " " +
                            node(define.value));
        for (const Rule &rule : book_.rules)
            lines.push_back(rule_line(rule));
        std::sort(lines.begin(), lines.end());
        std::string out;
        for (const std::string &line : lines)
            out += line + "\n";
        return out;
    }

  private:
    std::string type(const Type &t) const { return type_name(book_.choice_types, t); }

    std::string types(const std::vector<Type> &list) const {
        std::string out = "(";
        for (const Type &t : list)
            out += type(t) + ",";
        return out + ")";
    }

    std::string constant(const Type &t, double value) const {
        if (t.kind == ValueKind::choice && !std::isnan(value))
            return value_text(book_, t, value);
        return number(value);
    }

    std::string member(std::int32_t item, const std::string &name) const {
        return item < 0 ? name : book_.items[static_cast<std::size_t>(item)].name + "." + name;
    }

    void item_lines(const Item &item, std::vector<std::string> &lines) const {
        const std::string parent =
            item.parent < 0 ? "" : book_.items[static_cast<std::size_t>(item.parent)].name;
        lines.push_back("item " + item.name + " " + parent + " " + item.list);
        for (const Field &f : item.fields) {
            std::string line = "field " + item.name + "." + f.name + " " + type(f.type) + " " +
                               std::to_string(static_cast<int>(f.kind));
            if (f.type.kind == ValueKind::choice) {
                for (const std::string &c :
                     book_.choice_types[static_cast<std::size_t>(f.type.choices)].choices)
                    line += "|" + c;
            }
            for (const NodeId implied : f.implied)
                line += " <= " + node(implied);
            lines.push_back(line);
        }
    }

    std::string table_line(const Table &t) const {
        std::string line = "table " + t.name;
        for (const Key &key : t.keys) {
            line += " " + key.name + ":" + type(key.type) + ":" +
                    std::to_string(static_cast<int>(key.match)) + "[";
            for (const double v : key.values)
                line += constant(key.type, v) + " ";
            line += "]";
        }
        for (std::size_t i = 0; i < t.columns.size(); ++i)
            line += " " + t.columns[i] + ":" + type(t.types[i]);
        for (std::size_t i = 0; i < t.cells.size(); ++i)
            line += " " + constant(t.types[i % t.types.size()], t.cells[i]);
        return line;
    }

    std::string list_line(const List &l) const {
        std::string line = "list " + l.name + " " + type(l.type);
        for (const double v : l.values)
            line += " " + constant(l.type, v);
        return line;
    }

    std::string parts(const char *kind, const std::vector<Part> &list) const {
        std::string out;
        for (const Part &p : list)
            out += std::string(" ") + kind + p.label + ":" + node(p.node);
        return out;
    }

    std::string rule_line(const Rule &r) const {
        std::string line = "rule " + r.topic + " " + r.citation + " " +
                           std::to_string(static_cast<int>(r.force)) + " " +
                           book_.items[static_cast<std::size_t>(r.item)].name;
        for (const std::string &stage : r.stages)
            line += " " + stage;
        for (const std::uint8_t bound : r.binds)
            line += bound != 0 ? "1" : "0";
        for (const Limit &l : r.limits)
            line += " limit " + l.name + "=" + number(l.value) + ":" + type(l.type);
        for (const Condition &c : r.conditions)
            line += " where " + node(c.node);
        line += parts("listed", r.listed) + parts("except", r.exceptions) + parts("path", r.paths) +
                parts("permits", r.permits);
        return line + " shall " + node(r.requirement);
    }

    std::string reference(const Node &n) const {
        const auto index = static_cast<std::size_t>(n.index);
        switch (n.op) {
        case NodeOp::field:
            return member(n.item, book_.items[static_cast<std::size_t>(n.item)].fields[index].name);
        case NodeOp::define:
            return member(book_.defines[index].item, book_.defines[index].name);
        case NodeOp::lookup:
            return book_.tables[index].name + "." + std::to_string(n.column);
        case NodeOp::smallest:
        case NodeOp::largest:
            return book_.lists[index].name + "#" + std::to_string(n.column);
        case NodeOp::applies:
            return book_.rules[index].topic;
        case NodeOp::any:
        case NodeOp::all:
        case NodeOp::count:
        case NodeOp::sum:
        case NodeOp::max:
        case NodeOp::min:
        case NodeOp::complete:
            return member(n.item, book_.items[index].list);
        case NodeOp::constant:
            return constant(n.type, n.value) + ":" + type(n.type);
        case NodeOp::limit:
        case NodeOp::parameter:
        case NodeOp::element:
            return std::to_string(n.index);
        default:
            return {};
        }
    }

    // Depth is bounded by the nesting that the reader admits.
    std::string node(NodeId id) const { // NOLINT(misc-no-recursion)
        if (id == no_node)
            return "-";
        const Node &n = book_.nodes[id];
        std::string out = "(" + std::to_string(static_cast<int>(n.op)) + " " + reference(n);
        for (const std::uint8_t member_flag : n.set)
            out += member_flag != 0 ? "1" : "0";
        for (const NodeId child : n.children)
            out += " " + node(child);
        if (n.where != no_node)
            out += " where " + node(n.where);
        if (n.body != no_node)
            out += " : " + node(n.body);
        return out + ")";
    }

    const Book &book_;
};

} // namespace

std::string canonical_form(const Book &book) {
    return Canonical(book).text();
}

const std::string &digest_of(const Book &book) {
    return book.digest->get([&] { return sha256_hex(canonical_form(book)); });
}

} // namespace groundrule::book
