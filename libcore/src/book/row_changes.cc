#include "book/row_changes.h"

#include "book/table_checks.h"
#include "book/typer_words.h"
#include "text/limits.h"

#include <algorithm>
#include <limits>
#include <set>

namespace groundrule::book {

namespace {

constexpr double empty = std::numeric_limits<double>::quiet_NaN();

// The values of the keys at a place in `cells`, as indices.
std::vector<std::size_t> indices(const Table &table, std::size_t cell) {
    std::vector<std::size_t> out(table.keys.size());
    std::size_t rest = cell / table.types.size();
    for (std::size_t k = table.keys.size(); k-- > 0;) {
        out[k] = rest % table.counts[k];
        rest /= table.counts[k];
    }
    return out;
}

std::size_t index_of(const Key &key, double value) {
    return static_cast<std::size_t>(
        std::find_if(key.values.begin(), key.values.end(),
                     [&](double v) { return same_value(key.type, v, value); }) -
        key.values.begin());
}

// The cells of a table under other values of its keys; those that are not among them are dropped.
void rekey(Table &table, std::vector<std::vector<double>> values) {
    Table out = table;
    std::size_t size = table.types.size();
    std::vector<std::vector<std::size_t>> before(values.size()); // places of the values so far
    for (std::size_t k = 0; k < values.size(); ++k) {
        out.keys[k].values = std::move(values[k]);
        out.keys[k].places.assign(out.keys[k].values.size(), table.span);
        for (std::size_t i = 0; i < out.keys[k].values.size(); ++i) {
            before[k].push_back(index_of(table.keys[k], out.keys[k].values[i]));
            if (before[k][i] < table.counts[k])
                out.keys[k].places[i] = table.keys[k].places[before[k][i]];
        }
        out.counts[k] = static_cast<std::uint32_t>(out.keys[k].values.size());
        size *= out.counts[k];
    }
    out.cells.assign(size, empty);
    out.layers.assign(size, table.layer);
    out.places.assign(size, {});
    for (std::size_t at = 0; at < size; ++at) {
        const std::vector<std::size_t> of = indices(out, at);
        std::size_t from = 0;
        bool there = true;
        for (std::size_t k = 0; k < of.size() && there; ++k) {
            const std::size_t index = before[k][of[k]];
            there = index < table.counts[k];
            from = from * table.counts[k] + index;
        }
        if (!there)
            continue;
        from = from * table.types.size() + at % table.types.size();
        out.cells[at] = table.cells[from];
        out.layers[at] = table.layers[from];
        out.places[at] = table.places[from];
    }
    table = std::move(out);
}

std::vector<std::vector<double>> key_values(const Table &table) {
    std::vector<std::vector<double>> out;
    for (const Key &key : table.keys)
        out.push_back(key.values);
    return out;
}

bool is_written(const Table &table, std::size_t cell) {
    return table.places[cell].file != Span::no_file;
}

// The keys that stand at the start of each row.
std::vector<std::size_t> keys_down(const Table &table) {
    std::vector<std::size_t> out;
    for (std::size_t k = 0; k < table.keys.size(); ++k) {
        if (!table.keys[k].across)
            out.push_back(k);
    }
    return out;
}

} // namespace

std::optional<std::size_t> key_index(const Table &table, std::size_t key, const ast::Cell &cell,
                                     Typer &typer) {
    const Key &of = table.keys[key];
    const auto value = cell_value(cell, of.type, typer);
    if (!value)
        return std::nullopt;
    const std::size_t found = index_of(of, *value);
    if (found < of.values.size())
        return found;
    const Book &book = typer.book();
    Diagnostic &d = typer.diagnostics().error("no-target", cell.span,
                                              "table " + table.name + " has no row or column " +
                                                  cell_text(cell, book.sources));
    for (std::size_t i = 0; i < of.values.size() && i < 9; ++i)
        d.help +=
            (i == 0 ? "it has: " : ", ") + (i == 8 ? "…" : value_text(book, of.type, of.values[i]));
    return std::nullopt;
}

bool delete_row(Table &table, const std::vector<ast::Cell> &keys, Typer &typer) {
    const std::vector<std::size_t> down = keys_down(table);
    if (keys.size() != down.size()) {
        typer.diagnostics().error("wrong-count", span_of(keys),
                                  "a row of table " + table.name + " begins with " +
                                      counted(down.size(), "key") + ", and " +
                                      std::to_string(keys.size()) + " stand here");
        return false;
    }
    std::vector<std::size_t> wanted;
    for (std::size_t i = 0; i < down.size(); ++i) {
        const auto index = key_index(table, down[i], keys[i], typer);
        if (!index)
            return false;
        wanted.push_back(*index);
    }
    bool stood = false;
    std::vector<std::vector<bool>> kept(down.size());
    for (std::size_t i = 0; i < down.size(); ++i)
        kept[i].assign(table.counts[down[i]], false);
    for (std::size_t at = 0; at < table.cells.size(); ++at) {
        const std::vector<std::size_t> of = indices(table, at);
        bool ours = true;
        for (std::size_t i = 0; i < down.size(); ++i)
            ours = ours && of[down[i]] == wanted[i];
        if (ours) {
            stood = stood || is_written(table, at);
            table.cells[at] = empty;
            table.places[at] = {};
        }
        for (std::size_t i = 0; i < down.size(); ++i)
            kept[i][of[down[i]]] = kept[i][of[down[i]]] || is_written(table, at);
    }
    if (!stood) {
        Diagnostic &d =
            typer.diagnostics().error("no-target", span_of(keys),
                                      "table " + table.name + " has no row of these keys together");
        d.other = table.span;
        d.other_is = "the table stands here";
        return false;
    }
    // A value that only this row had is a row or column no more.
    std::vector<std::vector<double>> values = key_values(table);
    for (std::size_t i = 0; i < down.size(); ++i) {
        if (!kept[i][wanted[i]])
            values[down[i]].erase(values[down[i]].begin() + static_cast<std::ptrdiff_t>(wanted[i]));
        if (values[down[i]].empty()) {
            typer.diagnostics().error("wrong-count", keys.front().span,
                                      "this leaves nothing of table " + table.name);
            return false;
        }
    }
    rekey(table, std::move(values));
    return true;
}

bool add_rows(Table &table, const DraftTable &draft, const std::vector<ast::TableRow> &rows,
              std::int32_t layer, Typer &typer) {
    DraftTable with = draft;
    with.layer = layer;
    with.decl.mark = ast::no_mark;
    with.decl.rows.clear();
    std::set<std::string> heads; // one for each key that runs across, above all other rows
    for (const ast::TableRow &row : draft.decl.rows) {
        const std::string &word = row.cells.front().word;
        const bool head = std::any_of(table.keys.begin(), table.keys.end(),
                                      [&](const Key &k) { return k.across && word == k.name; });
        if (!head || !heads.insert(word).second)
            break;
        with.decl.rows.push_back(row);
    }
    with.decl.rows.insert(with.decl.rows.end(), rows.begin(), rows.end());
    const auto added = built(with, typer);
    if (!added)
        return false;
    std::vector<std::vector<double>> values = key_values(table);
    for (std::size_t k = 0; k < values.size(); ++k) {
        for (const double v : added->keys[k].values) {
            if (index_of(table.keys[k], v) == table.keys[k].values.size())
                values[k].insert(std::lower_bound(values[k].begin(), values[k].end(), v), v);
        }
    }
    std::size_t size = table.types.size();
    for (const std::vector<double> &of : values) {
        size *= of.size();
        if (size > limits::table_cells) {
            typer.diagnostics().error("too-large", rows.front().span,
                                      "with these rows the keys of table " + table.name +
                                          " span more than " + std::to_string(limits::table_cells) +
                                          " cells");
            return false;
        }
    }
    rekey(table, std::move(values));
    for (std::size_t at = 0; at < added->cells.size(); ++at) {
        if (!is_written(*added, at))
            continue;
        const std::vector<std::size_t> of = indices(*added, at);
        std::size_t to = 0;
        for (std::size_t k = 0; k < of.size(); ++k)
            to = to * table.counts[k] + index_of(table.keys[k], added->keys[k].values[of[k]]);
        to = to * table.types.size() + at % table.types.size();
        if (is_written(table, to)) {
            Diagnostic &d =
                typer.diagnostics().error("stands-already", rows.front().span,
                                          "table " + table.name + " has such a row already");
            d.other = table.span;
            d.other_is = "the table stands here";
            return false;
        }
        table.cells[to] = added->cells[at];
        table.layers[to] = layer;
        table.places[to] = added->places[at];
    }
    return true;
}

void check_rows(const Table &table, Span change, Typer &typer) {
    const std::vector<Span> keys(table.keys.size(), change);
    std::vector<PlacedCell> cells;
    for (std::size_t at = 0; at < table.cells.size(); ++at) {
        if (is_written(table, at))
            cells.push_back({at, table.places[at], &keys});
    }
    (void)check_table_holes(table, cells, typer);
}

} // namespace groundrule::book
