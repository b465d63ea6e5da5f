// What look-ups, searches of lists and calls refer to.
#include "book/typer.h"
#include "book/typer_words.h"

#include <algorithm>

namespace groundrule::book {

using ast::Expr;

namespace {

std::string keys_of(const Table &table) {
    std::string out;
    for (const Key &key : table.keys)
        out += (out.empty() ? "its keys, in order: " : ", ") + key.name;
    return out;
}

} // namespace

NodeId Typer::lookup(const Expr &e, const Scope &scope) {
    const std::int32_t index = declared_index(book_.tables, e.citation.text);
    if (index < 0)
        return not_known(e.citation.text, e.citation.span, "there is no table " + e.citation.text,
                         declared_index(book_.lists, e.citation.text) >= 0
                             ? e.citation.text + " is a list: smallest(x in list " +
                                   e.citation.text + " where …)"
                             : did_you_mean(nearest(e.citation.text, names_in(book_.tables))));
    const Table &table = book_.tables[static_cast<std::size_t>(index)];
    if (e.children.size() != table.keys.size())
        return fault("wrong-count", e.span,
                     "table " + table.name + " has " + counted(table.keys.size(), "key") +
                         "; given here: " + std::to_string(e.children.size()),
                     keys_of(table));
    Node n;
    n.op = NodeOp::lookup;
    n.span = e.span;
    n.index = index;
    for (std::size_t i = 0; i < table.keys.size(); ++i) {
        const NodeId key = type_as(e.children[i], scope, table.keys[i].type,
                                   "the key `" + table.keys[i].name + "` of table " + table.name);
        if (key == no_node)
            return no_node;
        n.children.push_back(key);
    }
    if (e.text.empty() && table.columns.size() > 1)
        return fault("no-column", e.span,
                     "table " + table.name + " has several columns; say which: `.` and its name");
    if (!e.text.empty()) {
        const auto column = std::find(table.columns.begin(), table.columns.end(), e.text);
        if (column == table.columns.end())
            return fault("unknown-name", e.span,
                         "table " + table.name + " has no column `" + e.text + "`",
                         did_you_mean(nearest(e.text, table.columns)));
        n.column = static_cast<std::int32_t>(column - table.columns.begin());
    }
    n.type = table.types[static_cast<std::size_t>(n.column)];
    return add(std::move(n));
}

NodeId Typer::search(const Expr &e, const Scope &scope) {
    const std::int32_t index = declared_index(book_.lists, e.citation.text);
    if (index < 0)
        return not_known(e.citation.text, e.citation.span, "there is no list " + e.citation.text,
                         declared_index(book_.tables, e.citation.text) >= 0
                             ? e.citation.text + " is a table: table " + e.citation.text + " [key]"
                             : did_you_mean(nearest(e.citation.text, names_in(book_.lists))));
    Node n;
    n.op = e.text == "smallest" ? NodeOp::smallest : NodeOp::largest;
    n.type = book_.lists[static_cast<std::size_t>(index)].type;
    n.span = e.span;
    n.index = index;
    n.column = static_cast<std::int32_t>(scope.sought.size());
    if (e.where != ast::no_expr) {
        Scope inner = scope;
        inner.sought.push_back({e.element.text, n.type, false});
        n.where = type_as(e.where, inner, truth_type(), "the condition of `where`");
        if (n.where == no_node)
            return no_node;
    }
    return add(std::move(n));
}

NodeId Typer::call(const Expr &e, const Scope &scope) {
    if (e.text == "larger_of" || e.text == "smaller_of")
        return extremum(e, scope);
    for (std::size_t i = 0; i < book_.defines.size(); ++i) {
        const std::size_t count = book_.defines[i].parameters.size();
        if (book_.defines[i].name != e.text || book_.defines[i].item >= 0)
            continue;
        if (count != e.children.size())
            return fault("wrong-count", e.span,
                         "`" + e.text + "` takes " + counted(count, "value") +
                             "; given here: " + std::to_string(e.children.size()));
        Node n;
        n.op = NodeOp::define;
        n.span = e.span;
        n.index = static_cast<std::int32_t>(i);
        n.type = book_.defines[i].type;
        for (std::size_t k = 0; k < count; ++k) {
            const Type wanted = book_.defines[i].parameters[k];
            const NodeId argument =
                type_as(e.children[k], scope, wanted,
                        "`" + book_.defines[i].parameter_names[k] + "` of `" + e.text + "`");
            if (argument == no_node)
                return no_node;
            n.children.push_back(argument);
        }
        return add(std::move(n));
    }
    std::vector<std::string> functions = {"larger_of", "smaller_of"};
    for (const Define &d : book_.defines) {
        if (d.item < 0)
            functions.push_back(d.name);
    }
    return not_known(e.text, e.span, "there is no definition `" + e.text + "(…)`",
                     did_you_mean(nearest(e.text, functions)));
}

} // namespace groundrule::book
