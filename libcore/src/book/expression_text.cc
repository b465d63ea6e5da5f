// Brackets stand where the language asks for them, and where a reader would look for them.
#include "book/expression_text.h"

#include <algorithm>
#include <string_view>
#include <utility>

namespace groundrule::book {

const char *infix(NodeOp op) {
    switch (op) {
    case NodeOp::logical_and:
        return " and ";
    case NodeOp::logical_or:
        return " or ";
    case NodeOp::equal:
        return " = ";
    case NodeOp::at_least:
        return " at least ";
    case NodeOp::at_most:
        return " at most ";
    case NodeOp::more_than:
        return " more than ";
    case NodeOp::less_than:
        return " less than ";
    case NodeOp::add:
        return " + ";
    case NodeOp::subtract:
        return " - ";
    case NodeOp::multiply:
        return " * ";
    case NodeOp::divide:
        return " / ";
    default:
        return nullptr;
    }
}

namespace {

// What is not from a code has a name in quotes in place of a clause number.
std::string citation_text(const std::string &name) {
    const bool number = name[0] >= '0' && name[0] <= '9' && name.find('.') != std::string::npos &&
                        name.find(' ') == std::string::npos;
    return number ? name : "\"" + name + "\"";
}

bool is_plain_name(const std::string &text) {
    return !text.empty() && text[0] >= 'a' && text[0] <= 'z' &&
           std::all_of(text.begin(), text.end(), [](char c) {
               return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_';
           });
}

const char *word(NodeOp op) {
    switch (op) {
    case NodeOp::larger:
        return "larger_of";
    case NodeOp::smaller:
        return "smaller_of";
    case NodeOp::round_down:
        return "round_down";
    case NodeOp::round_up:
        return "round_up";
    case NodeOp::round_nearest:
        return "round_nearest";
    case NodeOp::smallest:
        return "smallest";
    case NodeOp::largest:
        return "largest";
    case NodeOp::any:
        return "any";
    case NodeOp::all:
        return "all";
    case NodeOp::count:
        return "count";
    case NodeOp::sum:
        return "sum";
    case NodeOp::max:
        return "max";
    case NodeOp::min:
        return "min";
    default:
        return "";
    }
}

bool is_logical(NodeOp op) {
    return op == NodeOp::logical_and || op == NodeOp::logical_or;
}
bool is_product(NodeOp op) {
    return op == NodeOp::multiply || op == NodeOp::divide;
}
bool is_arithmetic(NodeOp op) {
    return op == NodeOp::add || op == NodeOp::subtract || is_product(op);
}

// What the text says, on one line.
std::string written(const Book &book, Span span) {
    if (span.file >= book.sources.size())
        return {};
    std::string out;
    for (const char c : book.sources[span.file].text().substr(span.begin, span.end - span.begin)) {
        const bool blank = c == ' ' || c == '\n' || c == '\r' || c == '\t';
        if (!blank)
            out += c;
        else if (!out.empty() && out.back() != ' ')
            out += ' ';
    }
    return out;
}

bool has_word(const std::string &text, const std::string &word) {
    const auto part_of_word = [](char c) {
        return std::string_view("abcdefghijklmnopqrstuvwxyz0123456789_").find(c) !=
               std::string_view::npos;
    };
    for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, at + 1)) {
        const std::size_t end = at + word.size();
        if ((at == 0 || !part_of_word(text[at - 1])) &&
            (end == text.size() || !part_of_word(text[end])))
            return true;
    }
    return false;
}

class Writer {
  public:
    Writer(const Book &book, const Surroundings &place, Called called)
        : book_(book), place_(place), called_(called) {}

    // Depth is bounded by the nesting that the reader admits.
    std::string text(NodeId id) { // NOLINT(misc-no-recursion)
        const Node &n = node(id);
        const auto index = static_cast<std::size_t>(n.index);
        switch (n.op) {
        case NodeOp::constant:
            return n.type.kind == ValueKind::choice
                       ? choice_text(value_text(book_, n.type, n.value))
                       : value_text(book_, n.type, n.value);
        case NodeOp::unknown:
            return "unknown";
        case NodeOp::not_encoded:
            return "not encoded \"" + n.text + "\"";
        case NodeOp::field:
            return member(n.item, item(n.item).fields[index].name);
        case NodeOp::define:
            return defined(n);
        case NodeOp::parameter:
            return place_.define == nullptr ? "parameter " + std::to_string(n.index)
                                            : place_.define->parameter_names[index];
        case NodeOp::element:
            return sought(n.index);
        case NodeOp::limit:
            return place_.rule == nullptr ? "limit " + std::to_string(n.index)
                                          : place_.rule->limits[index].name;
        case NodeOp::logical_not:
            return "not " + bracketed(n.children[0]);
        case NodeOp::in_set:
            return called_ == Called::by_declaration && !groups_named(book_, id).empty()
                       ? written(book_, n.span)
                       : chosen(n);
        case NodeOp::conditional:
            return "if " + text(n.children[0]) + " then " + text(n.children[1]) + " otherwise " +
                   text(n.children[2]);
        case NodeOp::lookup:
            return looked_up(n);
        case NodeOp::smallest:
        case NodeOp::largest:
            return std::string(word(n.op)) + "(" + sought(n.column) + " in list " +
                   name(book_.lists[index]) + where(n) + ")";
        case NodeOp::complete:
            return "complete(" + list(n) + ")";
        case NodeOp::applies:
            return "applies(" + book_.rules[index].topic + ")";
        case NodeOp::round_down:
        case NodeOp::round_up:
        case NodeOp::round_nearest:
            return std::string(word(n.op)) + "(" + text(n.children[0]) + " to " +
                   text(n.children[1]) + ")";
        case NodeOp::larger:
        case NodeOp::smaller:
            return std::string(word(n.op)) + "(" + arguments(n) + ")";
        case NodeOp::any:
        case NodeOp::all:
        case NodeOp::count:
        case NodeOp::sum:
        case NodeOp::max:
        case NodeOp::min:
            return over_a_list(n);
        default:
            return joined(n);
        }
    }

  private:
    const Node &node(NodeId id) const { return book_.nodes[id]; }
    const Item &item(std::int32_t index) const {
        return book_.items[static_cast<std::size_t>(index)];
    }

    template <typename Called_>
    std::string name(const Called_ &thing) const {
        return citation_text(called_ == Called::by_edition ? thing.name : thing.declared);
    }

    std::string member(std::int32_t of, const std::string &name) const {
        return of == place_.self ? name : item(of).name + "." + name;
    }

    std::string list(const Node &n) const { return member(n.item, item(n.index).list); }

    static std::string sought(std::int32_t depth) {
        return depth == 0 ? "s" : "s" + std::to_string(depth + 1);
    }

    std::string arguments(const Node &n) { // NOLINT(misc-no-recursion)
        std::string out;
        for (const NodeId child : n.children)
            out += (out.empty() ? "" : ", ") + text(child);
        return out;
    }

    std::string defined(const Node &n) { // NOLINT(misc-no-recursion)
        const Define &d = book_.defines[static_cast<std::size_t>(n.index)];
        return d.item < 0 ? d.name + "(" + arguments(n) + ")" : member(d.item, d.name);
    }

    std::string where(const Node &n) { // NOLINT(misc-no-recursion)
        return n.where == no_node ? "" : " where " + text(n.where);
    }

    std::string looked_up(const Node &n) { // NOLINT(misc-no-recursion)
        const Table &t = book_.tables[static_cast<std::size_t>(n.index)];
        return "table " + name(t) + " [" + arguments(n) + "]" +
               (t.columns.size() > 1 ? "." + t.columns[static_cast<std::size_t>(n.column)] : "");
    }

    // Inside, every field says whose it is: the element stands for its item.
    std::string over_a_list(const Node &n) { // NOLINT(misc-no-recursion)
        std::string out = std::string(word(n.op)) + "(" + item(n.index).name + " in " + list(n);
        const std::int32_t self = std::exchange(place_.self, -1);
        out += where(n);
        if (n.body != no_node)
            out += " : " + text(n.body);
        place_.self = self;
        return out + ")";
    }

    std::string chosen(const Node &n) { // NOLINT(misc-no-recursion)
        const Type &type = node(n.children[0]).type;
        const std::vector<std::string> &choices =
            book_.choice_types[static_cast<std::size_t>(type.choices)].choices;
        const auto in = static_cast<std::size_t>(std::count(n.set.begin(), n.set.end(), 1));
        const bool excludes = in * 2 > choices.size();
        std::string names;
        std::size_t count = 0;
        for (std::size_t i = 0; i < choices.size(); ++i) {
            if ((n.set[i] != 0) == excludes)
                continue;
            names += (count == 0 ? "" : ", ") + choice_text(choices[i]);
            ++count;
        }
        return bracketed(n.children[0]) + (excludes ? " is not " : " is ") +
               (count == 1 ? names : "one of (" + names + ")");
    }

    // a from b to c is lowered to two comparisons of one operand.
    bool is_range(const Node &n) const {
        return n.op == NodeOp::logical_and && n.children.size() == 2 &&
               node(n.children[0]).op == NodeOp::at_least &&
               node(n.children[1]).op == NodeOp::at_most &&
               node(n.children[0]).children[0] == node(n.children[1]).children[0];
    }

    bool is_compound(const Node &n) const {
        return infix(n.op) != nullptr || n.op == NodeOp::conditional || n.op == NodeOp::logical_not;
    }

    std::string bracketed(NodeId id) { // NOLINT(misc-no-recursion)
        return is_compound(node(id)) ? "(" + text(id) + ")" : text(id);
    }

    std::string joined(const Node &n) { // NOLINT(misc-no-recursion)
        if (is_range(n))
            return bracketed(node(n.children[0]).children[0]) + " from " +
                   bracketed(node(n.children[0]).children[1]) + " to " +
                   bracketed(node(n.children[1]).children[1]);
        const char *sign = infix(n.op);
        std::string out;
        for (std::size_t i = 0; i < n.children.size(); ++i) {
            const NodeId child = n.children[i];
            out += (i == 0 ? "" : sign) +
                   (stands_bare(n.op, node(child), i == 0) ? text(child) : bracketed(child));
        }
        return out;
    }

    // Whether what an operator joins needs no brackets there.
    bool stands_bare(NodeOp op, const Node &child, bool first) const {
        if (is_logical(op))
            return child.op == op || is_range(child) ||
                   !(is_logical(child.op) || child.op == NodeOp::conditional);
        if (is_product(op))
            return first && is_product(child.op);
        if (is_arithmetic(op))
            return is_product(child.op) || (first && is_arithmetic(child.op));
        return is_arithmetic(child.op);
    }

    const Book &book_;
    Surroundings place_;
    Called called_;
};

} // namespace

std::vector<const Group *> groups_named(const Book &book, NodeId test) {
    const std::string text = written(book, book.nodes[test].span);
    std::vector<const Group *> out;
    for (const Group &g : book.groups) {
        if (has_word(text, g.name))
            out.push_back(&g);
    }
    return out;
}

std::string choice_text(const std::string &choice) {
    return is_plain_name(choice) ? choice : "\"" + choice + "\"";
}

std::string expression_text(const Book &book, NodeId node, const Surroundings &place,
                            Called called) {
    return node == no_node ? std::string() : Writer(book, place, called).text(node);
}

std::string message_text(const Book &book, const std::vector<MessagePart> &parts,
                         const Surroundings &place, Called called) {
    std::string out;
    for (const MessagePart &part : parts) {
        out += part.text;
        if (part.value != no_node)
            out += "{" + expression_text(book, part.value, place, called) + "}";
    }
    return out;
}

} // namespace groundrule::book
