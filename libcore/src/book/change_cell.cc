// Amendments of single cells.
#include "book/build.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace groundrule::book {

bool same_value(const Type &type, double a, double b) {
    return on_grid(a, scale_of(type)) == on_grid(b, scale_of(type));
}

std::string cell_text(const ast::Cell &cell, const Sources &sources) {
    const SourceText &source = sources[cell.span.file];
    return std::string(source.text().substr(cell.span.begin, cell.span.end - cell.span.begin));
}

void change_cell(const CellChange &change, Typer &typer) {
    const ast::ChangeDecl &c = *change.change;
    Book &book = typer.book();
    const auto table = std::find_if(book.tables.begin(), book.tables.end(), [&](const Table &t) {
        return t.name == c.target.citation.text;
    });
    if (table == book.tables.end()) {
        if (typer.broken().has(c.target.citation.text))
            return;
        typer.diagnostics().error("no-target", c.target.citation.span,
                                  "no table " + c.target.citation.text +
                                      " stands in the layers below");
        return;
    }
    if (c.keys.size() != table->keys.size()) {
        Span keys = c.keys.front().span;
        keys.end = c.keys.back().span.end;
        typer.diagnostics().error("wrong-count", keys,
                                  "table " + table->name + " has " +
                                      std::to_string(table->keys.size()) + " keys, and " +
                                      std::to_string(c.keys.size()) + " stand here");
        return;
    }
    std::size_t column = 0;
    if (!c.column.text.empty() || table->columns.size() > 1)
        column = static_cast<std::size_t>(
            std::find(table->columns.begin(), table->columns.end(), c.column.text) -
            table->columns.begin());
    if (column >= table->types.size()) {
        typer.diagnostics().error("unknown-name", change.span,
                                  "say which column of table " + table->name + " is changed");
        return;
    }
    std::size_t at = 0;
    for (std::size_t k = 0; k < c.keys.size(); ++k) {
        const Key &key = table->keys[k];
        const auto value = cell_value(c.keys[k], key.type, typer);
        if (!value)
            return;
        const auto found = std::find_if(key.values.begin(), key.values.end(),
                                        [&](double v) { return same_value(key.type, v, *value); });
        if (found == key.values.end()) {
            Diagnostic &d =
                typer.diagnostics().error("no-target", c.keys[k].span,
                                          "table " + table->name + " has no row or column " +
                                              cell_text(c.keys[k], book.sources));
            for (std::size_t i = 0; i < key.values.size() && i < 9; ++i)
                d.help += (i == 0 ? "it has: " : ", ") +
                          (i == 8 ? "…" : value_text(book, key.type, key.values[i]));
            return;
        }
        at = at * table->counts[k] + static_cast<std::size_t>(found - key.values.begin());
    }
    at = at * table->types.size() + column;
    const Type &type = table->types[column];
    const bool empty_now = std::isnan(table->cells[at]);
    const bool empty_said = c.old_cell.kind == ast::Cell::Kind::empty;
    std::optional<double> old_value = 0.0;
    if (!empty_said)
        old_value = cell_value(c.old_cell, type, typer);
    const bool empties = c.new_cell.kind == ast::Cell::Kind::empty;
    std::optional<double> new_value = std::numeric_limits<double>::quiet_NaN();
    if (!empties)
        new_value = cell_value(c.new_cell, type, typer);
    if (!old_value || !new_value)
        return;
    if (empty_now != empty_said ||
        (!empty_now && !same_value(type, table->cells[at], *old_value))) {
        Diagnostic &d = typer.diagnostics().error(
            "wrong-old-value", c.old_cell.span,
            "this cell of table " + table->name + " holds " +
                (empty_now ? "nothing (--)" : value_text(book, type, table->cells[at])));
        d.other = table->span;
        d.other_is = "the table stands here";
        return;
    }
    table->cells[at] = *new_value;
    table->layers[at] = change.layer;
}

} // namespace groundrule::book
