// Tables become dense arrays indexed by their keys; lists become ascending values.
#include "book/amend.h"
#include "book/build.h"
#include "book/table_checks.h"

#include "text/limits.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace groundrule::book {

namespace {

class TableBuilder {
  public:
    TableBuilder(const DraftTable &draft, Typer &typer) : draft_(draft), typer_(typer) {
        table_.declared = draft.declared;
        table_.name = draft.decl.citation.text;
        table_.title = draft.decl.title;
        table_.span = draft.span;
        table_.layer = marked(draft.decl.mark, draft.layer);
    }

    std::optional<Table> build() {
        if (!resolve_types())
            return std::nullopt;
        sort_out_heads();
        if (!failed_)
            collect();
        if (!failed_)
            place();
        return failed_ ? std::nullopt : std::optional(std::move(table_));
    }

  private:
    struct Entry {
        std::vector<double> keys;
        std::vector<Span> key_spans;
        std::size_t column;
        double value;
        Span span;
        std::int32_t layer;
    };

    Diagnostic &fault(const char *code, Span span, std::string message) {
        failed_ = true;
        return typer_.diagnostics().error(code, span, std::move(message));
    }

    bool resolve_types() {
        refuse_twice(draft_.decl.gives, "column", typer_.diagnostics());
        refuse_twice(draft_.decl.keys, "key", typer_.diagnostics());
        for (const ast::TableColumn &c : draft_.decl.gives) {
            const auto type = typer_.resolve(c.type, table_.name);
            if (!type)
                return false;
            if (c.name.text.empty() && draft_.decl.gives.size() > 1)
                fault("no-column",
                      c.type.choices.empty() ? c.type.name.span : c.type.choices.front().span,
                      "of several columns each needs a name");
            table_.columns.push_back(c.name.text);
            table_.types.push_back(*type);
        }
        for (const ast::TableKey &k : draft_.decl.keys) {
            const auto type = typer_.resolve(k.type, table_.name + "." + k.name.text);
            if (!type)
                return false;
            const bool ordered = type->is_quantity() || type->kind == ValueKind::conductor_size ||
                                 type->kind == ValueKind::date;
            if (k.match != ast::KeyMatch::exact && !ordered)
                fault("wrong-type", k.name.span,
                      "`at most` and `at least` need a key with an order");
            table_.keys.push_back({k.name.text, *type, k.match, {}, false});
        }
        return !failed_;
    }

    // Which keys run across, and the width of a row.
    void sort_out_heads() {
        heads_.assign(table_.keys.size(), nullptr);
        for (const ast::TableRow &row : draft_.decl.rows) {
            const ast::Cell &first = row.cells.front();
            std::size_t key = table_.keys.size();
            for (std::size_t k = 0; k < table_.keys.size() && first.kind == ast::Cell::Kind::word;
                 ++k) {
                if (table_.keys[k].name == first.word && heads_[k] == nullptr && body_.empty())
                    key = k;
            }
            if (key < table_.keys.size())
                heads_[key] = &row;
            else
                body_.push_back(&row);
        }
        std::size_t across = 0;
        for (std::size_t k = 0; k < heads_.size(); ++k) {
            if (heads_[k] == nullptr) {
                down_.push_back(k);
                continue;
            }
            table_.keys[k].across = true;
            const std::size_t columns = heads_[k]->cells.size() - 1;
            if (columns == 0)
                fault("table-shape", heads_[k]->span, "this head line has no columns");
            else if (across != 0 && columns != across)
                fault("table-shape", heads_[k]->span,
                      "this head line has " + std::to_string(columns) +
                          " columns, another one has " + std::to_string(across));
            across = columns;
        }
        if (across != 0 && table_.types.size() > 1)
            fault("table-shape", draft_.span,
                  "a table with head lines gives one value; write several columns without head "
                  "lines");
        values_ = across != 0 ? across : table_.types.size();
        if (body_.empty())
            fault("table-shape", draft_.span, "this table has no rows");
    }

    void collect() {
        for (const ast::TableRow *row : body_) {
            if (row->cells.size() != down_.size() + values_) {
                Diagnostic &d =
                    fault("table-shape", row->span,
                          "this row has " + std::to_string(row->cells.size()) + " cells; " +
                              std::to_string(down_.size() + values_) + " are expected");
                d.help = std::to_string(down_.size()) + " for the keys of the row, " +
                         std::to_string(values_) + " for what it gives";
                for (const ast::TableRow *head : heads_) {
                    if (head != nullptr && d.other_is.empty()) {
                        d.other = head->span;
                        d.other_is = "the head line";
                    }
                }
                continue;
            }
            std::vector<double> keys(table_.keys.size());
            std::vector<Span> spans(table_.keys.size());
            for (std::size_t i = 0; i < down_.size(); ++i) {
                keys[down_[i]] = key_value(row->cells[i], down_[i]);
                spans[down_[i]] = row->cells[i].span;
            }
            for (std::size_t v = 0; v < values_; ++v)
                collect_cell(*row, v, keys, spans);
        }
    }

    void collect_cell(const ast::TableRow &row, std::size_t v, std::vector<double> keys,
                      std::vector<Span> spans) {
        const bool across = down_.size() != table_.keys.size();
        for (std::size_t k = 0; k < heads_.size(); ++k) {
            if (heads_[k] != nullptr) {
                keys[k] = key_value(heads_[k]->cells[v + 1], k);
                spans[k] = heads_[k]->cells[v + 1].span;
            }
        }
        const ast::Cell &cell = row.cells[down_.size() + v];
        const std::size_t column = across ? 0 : v;
        double value = std::numeric_limits<double>::quiet_NaN();
        if (cell.kind != ast::Cell::Kind::empty) {
            const auto read = cell_value(cell, table_.types[column], typer_);
            failed_ = failed_ || !read;
            value = read.value_or(value);
        }
        entries_.push_back({std::move(keys), std::move(spans), column, value, cell.span,
                            marked(cell.mark, table_.layer)});
    }

    double key_value(const ast::Cell &cell, std::size_t k) {
        if (cell.kind == ast::Cell::Kind::empty) {
            fault("table-shape", cell.span, "a key can't be empty");
            return 0;
        }
        const auto value = cell_value(cell, table_.keys[k].type, typer_);
        failed_ = failed_ || !value;
        return value.value_or(0);
    }

    void place() {
        for (std::size_t k = 0; k < table_.keys.size(); ++k) {
            Key &key = table_.keys[k];
            for (const Entry &e : entries_)
                key.values.push_back(e.keys[k]);
            std::sort(key.values.begin(), key.values.end());
            const auto same = [&](double a, double b) { return same_value(key.type, a, b); };
            key.values.erase(std::unique(key.values.begin(), key.values.end(), same),
                             key.values.end());
            table_.counts.push_back(static_cast<std::uint32_t>(key.values.size()));
            key.places.resize(key.values.size());
        }
        std::size_t size = table_.types.size();
        for (const std::uint32_t count : table_.counts) {
            size *= count;
            if (size > limits::table_cells) {
                fault("too-large", draft_.span,
                      "the keys of this table span more than " +
                          std::to_string(limits::table_cells) + " cells");
                return;
            }
        }
        table_.cells.assign(size, std::numeric_limits<double>::quiet_NaN());
        table_.layers.assign(size, table_.layer);
        std::vector<Span> &taken = table_.places;
        taken.resize(size);
        std::vector<PlacedCell> placed;
        for (const Entry &e : entries_) {
            const std::size_t at = position(e);
            if (taken[at].file != Span::no_file) {
                Diagnostic &d =
                    fault("cell-twice", e.span, "this cell has the same keys as another");
                d.other = taken[at];
                d.other_is = "that one";
                continue;
            }
            taken[at] = e.span;
            table_.cells[at] = e.value;
            table_.layers[at] = e.layer;
            placed.push_back({at, e.span, &e.key_spans});
        }
        failed_ = !check_table_order(table_, placed, typer_) || failed_;
        failed_ = failed_ || !check_table_holes(table_, placed, typer_);
    }

    std::size_t position(const Entry &e) {
        std::size_t at = 0;
        for (std::size_t k = 0; k < table_.keys.size(); ++k) {
            Key &key = table_.keys[k];
            const double scale = scale_of(key.type);
            const auto found = std::lower_bound(
                key.values.begin(), key.values.end(), e.keys[k],
                [&](double a, double b) { return on_grid(a, scale) < on_grid(b, scale); });
            const auto index = static_cast<std::size_t>(found - key.values.begin());
            if (key.places[index].file == Span::no_file)
                key.places[index] = e.key_spans[k];
            at = at * table_.counts[k] + index;
        }
        return at * table_.types.size() + e.column;
    }

    const DraftTable &draft_;
    Typer &typer_;
    Table table_;
    bool failed_ = false;
    std::vector<const ast::TableRow *> heads_; // one a key, null if the key runs down
    std::vector<const ast::TableRow *> body_;
    std::vector<std::size_t> down_;
    std::size_t values_ = 1;
    std::vector<Entry> entries_;
};

} // namespace

std::optional<double> cell_value(const ast::Cell &cell, const Type &type, Typer &typer) {
    const auto wrong = [&](const std::string &what) -> std::optional<double> {
        typer.diagnostics().error("wrong-type", cell.span,
                                  what + " stands where " + typer.name_of(type) + " is expected");
        return std::nullopt;
    };
    if (cell.kind == ast::Cell::Kind::empty)
        return wrong("nothing");
    if (cell.kind == ast::Cell::Kind::word) {
        if (type.is_truth() && (cell.word == "yes" || cell.word == "no"))
            return cell.word == "yes" ? 1 : 0;
        if (type.kind == ValueKind::choice)
            return typer.choice_value(type, {cell.word, cell.span});
        return wrong("\"" + cell.word + "\"");
    }
    Type given;
    given.kind = cell.literal.kind;
    given.dimension = cell.literal.dimension;
    return given == type ? std::optional<double>(cell.literal.value) : wrong(typer.name_of(given));
}

std::optional<Table> built(const DraftTable &draft, Typer &typer) {
    return TableBuilder(draft, typer).build();
}

std::optional<List> built(const DraftList &draft, Typer &typer) {
    List list;
    list.declared = draft.declared;
    list.name = draft.decl.citation.text;
    list.title = draft.decl.title;
    list.span = draft.span;
    list.layer = marked(draft.decl.mark, draft.layer);
    const auto type = typer.resolve(draft.decl.type, list.name);
    if (!type)
        return std::nullopt;
    list.type = *type;
    for (const ast::Cell &cell : draft.decl.values) {
        const auto value = cell_value(cell, list.type, typer);
        if (!value)
            return std::nullopt;
        if (!list.values.empty() && *value <= list.values.back())
            typer.diagnostics().error("table-order", cell.span,
                                      "the values of a list stand in ascending order, and " +
                                          cell_text(cell, typer.book().sources) +
                                          " is not more than the value before it");
        list.values.push_back(*value);
        list.places.push_back(cell.span);
        list.layers.push_back(marked(cell.mark, list.layer));
    }
    return list;
}

namespace {

template <typename Figure, typename DraftFigure>
void build_all(std::vector<Figure> &out, const std::vector<DraftFigure> &drafts, const char *what,
               Typer &typer) {
    for (const DraftFigure &d : drafts) {
        const auto there = std::find_if(out.begin(), out.end(), [&](const Figure &other) {
            return other.name == d.decl.citation.text;
        });
        if (there != out.end()) {
            Diagnostic &fault = typer.diagnostics().error(
                "declared-twice", d.span,
                std::string(what) + " " + d.decl.citation.text + " stands already");
            fault.other = there->span;
            fault.other_is = "here";
            continue;
        }
        if (auto figure = built(d, typer))
            out.push_back(std::move(*figure));
        else
            typer.broken().add_name(d.declared);
    }
}

} // namespace

void build_tables(const Draft &draft, Typer &typer) {
    build_all(typer.book().tables, draft.tables, "table", typer);
    build_all(typer.book().lists, draft.lists, "list", typer);
    change_figures(draft, typer);
}

} // namespace groundrule::book
