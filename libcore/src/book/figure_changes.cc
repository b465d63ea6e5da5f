// What layers do to tables and lists: cells, rows, entries, and whole ones.
#include "book/amend.h"
#include "book/build.h"
#include "book/figure_text.h"
#include "book/row_changes.h"
#include "book/typer_words.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace groundrule::book {

namespace {

using ast::ChangeDecl;
using Kind = ChangeDecl::Kind;

template <typename Figure>
Figure *find_figure(std::vector<Figure> &figures, const ast::Citation &citation, const char *what,
                    Typer &typer) {
    const auto found = std::find_if(figures.begin(), figures.end(),
                                    [&](const Figure &f) { return f.name == citation.text; });
    if (found != figures.end())
        return &*found;
    if (!typer.broken().has(citation.text))
        typer.diagnostics()
            .error("no-target", citation.span,
                   "no " + std::string(what) + " " + citation.text + " stands in the layers below")
            .help = did_you_mean(nearest(citation.text, names_in(figures)));
    return nullptr;
}

class Figures {
  public:
    Figures(const Draft &draft, Typer &typer) : draft_(draft), typer_(typer), book_(typer.book()) {
        for (const DraftTable &t : draft.tables)
            tables_[t.decl.citation.text] = &t;
        for (const DraftList &l : draft.lists)
            lists_[l.decl.citation.text] = &l;
    }

    void apply(const FigureChange &change) {
        at_ = &change;
        if (const auto *table = std::get_if<DraftTable>(&change.change)) {
            replace(*table, book_.tables, tables_, "table", table_lines);
        } else if (const auto *list = std::get_if<DraftList>(&change.change)) {
            replace(*list, book_.lists, lists_, "list", list_lines);
        } else {
            change_ = std::get<const ChangeDecl *>(change.change);
            apply_change();
        }
    }

    void check() {
        for (const Table &table : book_.tables) {
            const auto changed = rows_changed_.find(table.name);
            if (changed != rows_changed_.end())
                check_rows(table, changed->second, typer_);
        }
    }

  private:
    void apply_change() {
        const ast::Citation &citation = change_->target.citation;
        const bool of_table = change_->kind == Kind::change_cell ||
                              change_->kind == Kind::delete_row || change_->kind == Kind::add_rows;
        if (!of_table) {
            if (List *list = find_figure(book_.lists, citation, "list", typer_))
                change_list(*list);
            return;
        }
        Table *table = find_figure(book_.tables, citation, "table", typer_);
        if (table == nullptr)
            return;
        if (change_->kind == Kind::change_cell) {
            change_cell(*table);
            return;
        }
        const bool adds = change_->kind == Kind::add_rows;
        const bool done =
            adds ? add_rows(*table, *tables_.at(citation.text), change_->rows, at_->layer, typer_)
                 : delete_row(*table, change_->keys, typer_);
        for (const ast::TableRow &row : change_->rows) {
            if (done)
                tell("row of ", "table " + table->name, "",
                     cell_text(row.cells.front(), book_.sources));
        }
        if (done)
            rows_changed_[table->name] = at_->span;
        if (done && !adds)
            tell("row of ", "table " + table->name, cell_text(change_->keys.front(), book_.sources),
                 "");
    }

    template <typename Figure, typename DraftFigure, typename Lines>
    void replace(const DraftFigure &with, std::vector<Figure> &figures,
                 std::map<std::string, const DraftFigure *> &drafts, const char *what,
                 Lines lines) {
        Figure *figure = find_figure(figures, with.decl.citation, what, typer_);
        if (figure == nullptr)
            return;
        const std::string stands = lines(book_, *figure, *drafts.at(figure->name), Endings());
        if (!is_put(draft_,
                    {std::string("the ") + what + " " + figure->name, with.decl.old_text, stands,
                     figure->span, figure->layer, with.span, with.layer},
                    past_texts_, book_, typer_.diagnostics()))
            return;
        auto made = built(with, typer_);
        if (!made) {
            typer_.broken().add_name(figure->declared);
            return;
        }
        made->declared = figure->declared;
        *figure = std::move(*made);
        drafts[figure->name] = &with;
        tell("", std::string(what) + " " + figure->name, stands,
             lines(book_, *figure, with, Endings()));
    }

    // --- cells

    std::optional<std::size_t> cell_at(const Table &table) {
        const ChangeDecl &c = *change_;
        if (c.keys.size() != table.keys.size()) {
            typer_.diagnostics().error("wrong-count", span_of(c.keys),
                                       "table " + table.name + " has " +
                                           std::to_string(table.keys.size()) + " keys, and " +
                                           std::to_string(c.keys.size()) + " stand here");
            return std::nullopt;
        }
        std::size_t column = 0;
        if (!c.column.text.empty() || table.columns.size() > 1)
            column = static_cast<std::size_t>(
                std::find(table.columns.begin(), table.columns.end(), c.column.text) -
                table.columns.begin());
        if (column >= table.types.size()) {
            typer_.diagnostics().error("unknown-name", at_->span,
                                       "say which column of table " + table.name + " is changed");
            return std::nullopt;
        }
        std::size_t at = 0;
        for (std::size_t k = 0; k < c.keys.size(); ++k) {
            const auto index = key_index(table, k, c.keys[k], typer_);
            if (!index)
                return std::nullopt;
            at = at * table.counts[k] + *index;
        }
        return at * table.types.size() + column;
    }

    // A cell's value; NaN for an empty one.
    std::optional<double> cell_as(const ast::Cell &cell, const Type &type) {
        if (cell.kind == ast::Cell::Kind::empty)
            return std::numeric_limits<double>::quiet_NaN();
        return cell_value(cell, type, typer_);
    }

    void change_cell(Table &table) {
        const auto at = cell_at(table);
        if (!at)
            return;
        const Type &type = table.types[*at % table.types.size()];
        const auto said = cell_as(change_->old_cell, type);
        const auto put = cell_as(change_->new_cell, type);
        if (!said || !put)
            return;
        const std::string stands = cell_text(book_, type, table.cells[*at]);
        const std::string key = "table " + table.name + " " + key_text(book_, table, *at);
        Claim claim;
        claim.what = "this cell of table " + table.name;
        claim.stands = stands;
        claim.stands_layer = table.layers[*at];
        const auto &past = past_cells_[key];
        claim.stands_span = past.empty() ? table.span : past.back().span;
        claim.said = cell_text(book_, type, *said);
        claim.said_span = change_->old_cell.span;
        claim.past = &past;
        if (!settled(claim, stands))
            return;
        past_cells_[key].push_back({stands, table.layers[*at], at_->span});
        table.cells[*at] = *put;
        table.layers[*at] = at_->layer;
        table.places[*at] = change_->new_cell.span;
        tell("cell " + key_text(book_, table, *at) + " of ", "table " + table.name, stands,
             cell_text(book_, type, *put));
    }

    bool settled(Claim &claim, const std::string &stands) {
        claim.layer = at_->layer;
        claim.change = at_->span;
        Diagnostics told;
        const Outcome outcome = settle(*draft_.disputes, claim, book_, told);
        for (Diagnostic d : told.list()) {
            if (d.code == "wrong-old-value" && claim.past->empty())
                d.other_is = "the table stands here";
            if (d.code == "wrong-old-value")
                d.message = claim.what + " holds " + (stands == "--" ? "nothing (--)" : stands);
            typer_.diagnostics().add(std::move(d));
        }
        return outcome == Outcome::put;
    }

    // --- lists

    std::size_t place_in(const List &list, double value) const {
        return static_cast<std::size_t>(
            std::find_if(list.values.begin(), list.values.end(),
                         [&](double v) { return same_value(list.type, v, value); }) -
            list.values.begin());
    }

    std::optional<std::size_t> entry(const List &list, const ast::Cell &cell) {
        const auto value = cell_value(cell, list.type, typer_);
        if (!value)
            return std::nullopt;
        const std::size_t at = place_in(list, *value);
        if (at < list.values.size())
            return at;
        Diagnostic &d = typer_.diagnostics().error("no-target", cell.span,
                                                   "list " + list.name + " has no entry " +
                                                       cell_text(cell, book_.sources));
        d.other = list.span;
        d.other_is = "the list stands here";
        return std::nullopt;
    }

    void insert(List &list, const ast::Cell &cell) {
        const auto value = cell_value(cell, list.type, typer_);
        if (!value)
            return;
        if (place_in(list, *value) < list.values.size()) {
            Diagnostic &d =
                typer_.diagnostics().error("stands-already", cell.span,
                                           "list " + list.name + " has the entry " +
                                               cell_text(cell, book_.sources) + " already");
            d.other = list.span;
            d.other_is = "the list stands here";
            return;
        }
        const auto at =
            std::lower_bound(list.values.begin(), list.values.end(), *value) - list.values.begin();
        list.values.insert(list.values.begin() + at, *value);
        list.layers.insert(list.layers.begin() + at, at_->layer);
        list.places.insert(list.places.begin() + at, cell.span);
    }

    void remove(List &list, const ast::Cell &cell) {
        const auto at = entry(list, cell);
        if (!at)
            return;
        list.values.erase(list.values.begin() + static_cast<std::ptrdiff_t>(*at));
        list.layers.erase(list.layers.begin() + static_cast<std::ptrdiff_t>(*at));
        list.places.erase(list.places.begin() + static_cast<std::ptrdiff_t>(*at));
    }

    void change_list(List &list) {
        const ChangeDecl &c = *change_;
        if (c.kind == Kind::change_entry) {
            const std::size_t before = list.values.size();
            remove(list, c.old_cell);
            if (list.values.size() == before)
                return;
            insert(list, c.new_cell);
            tell("entry of ", "list " + list.name, cell_text(c.old_cell, book_.sources),
                 cell_text(c.new_cell, book_.sources));
            return;
        }
        const bool adds = c.kind == Kind::add_entries;
        for (const ast::Cell &cell : c.keys) {
            if (adds)
                insert(list, cell);
            else
                remove(list, cell);
            const std::string text = cell_text(cell, book_.sources);
            tell("entry of ", "list " + list.name, adds ? "" : text, adds ? text : "");
        }
        if (list.values.empty())
            typer_.diagnostics().error("wrong-count", at_->span,
                                       "this leaves nothing of list " + list.name);
    }

    // A figure, or part of it: "row of ".
    void tell(const std::string &part, const std::string &figure, std::string from,
              std::string to) {
        book_.changes.push_back(
            {at_->layer, part + figure, std::move(from), std::move(to), at_->span, {}, figure});
    }

    const Draft &draft_;
    Typer &typer_;
    Book &book_;
    const FigureChange *at_ = nullptr;
    const ChangeDecl *change_ = nullptr;
    std::map<std::string, const DraftTable *> tables_;
    std::map<std::string, const DraftList *> lists_;
    std::map<std::string, std::vector<Past>> past_texts_;
    std::map<std::string, std::vector<Past>> past_cells_;
    std::map<std::string, Span> rows_changed_; // of tables: the last change
};

} // namespace

bool same_value(const Type &type, double a, double b) {
    return on_grid(a, scale_of(type)) == on_grid(b, scale_of(type));
}

std::string cell_text(const ast::Cell &cell, const Sources &sources) {
    const SourceText &source = sources[cell.span.file];
    return std::string(source.text().substr(cell.span.begin, cell.span.end - cell.span.begin));
}

void change_figures(const Draft &draft, Typer &typer) {
    Figures figures(draft, typer);
    for (const FigureChange &change : draft.figure_changes)
        figures.apply(change);
    figures.check();
}

} // namespace groundrule::book
