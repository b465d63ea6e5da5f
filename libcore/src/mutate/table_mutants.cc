// Cells, the bounds of rows, and the values of lists.
#include "mutate/mutants.h"
#include "mutate/neighbours.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace groundrule::mutate {

namespace {

using book::Book;

class Tables {
  public:
    Tables(const Book &book, const Reach &reach, const Files &files, std::vector<Mutant> &out)
        : book_(book), reach_(reach), files_(files), out_(out) {}

    void table(std::uint32_t index) {
        const book::Table &t = book_.tables[index];
        const std::string subject = "table " + t.name;
        const std::vector<Readers> &columns = reach_.columns[index];
        if (std::none_of(columns.begin(), columns.end(), [](const Readers &r) { return r.any(); }))
            return;
        for (std::size_t c = 0; c < t.cells.size(); ++c) {
            if (!std::isnan(t.cells[c]) && columns[c % columns.size()].any())
                each("table cell", subject, t.places[c], t.types[c % t.types.size()], t.cells[c],
                     [&](double value) {
                         return Edit(CellEdit{index, c, value});
                     });
        }
        for (std::uint32_t k = 0; k < t.keys.size(); ++k)
            bounds(index, k, subject);
    }

    void list(std::uint32_t index) {
        const book::List &l = book_.lists[index];
        for (std::size_t i = 0; i < l.values.size() && reach_.lists[index].any(); ++i)
            each("list value", "list " + l.name, l.places[i], l.type, l.values[i],
                 [&](double value) -> std::optional<Edit> {
                     if (!between_neighbours(l.values, i, value, scale_of(l.type)))
                         return std::nullopt;
                     return Edit(ListEdit{index, i, value});
                 });
    }

  private:
    // The bounds of ranges. A key that is met exactly only says where its cells stand.
    void bounds(std::uint32_t table, std::uint32_t k, const std::string &subject) {
        const book::Key &key = book_.tables[table].keys[k];
        for (std::size_t i = 0; i < key.values.size() && key.match != ast::KeyMatch::exact; ++i)
            each("table bound", subject, key.places[i], key.type, key.values[i],
                 [&](double value) -> std::optional<Edit> {
                     if (!between_neighbours(key.values, i, value, scale_of(key.type)))
                         return std::nullopt;
                     return Edit(KeyEdit{table, k, i, value});
                 });
    }

    static bool between_neighbours(const std::vector<double> &values, std::size_t i, double value,
                                   double scale) {
        const double step = on_grid(value, scale);
        return (i == 0 || on_grid(values[i - 1], scale) < step) &&
               (i + 1 == values.size() || step < on_grid(values[i + 1], scale));
    }

    template <typename Make>
    void each(const char *kind, const std::string &subject, Span span, const book::Type &type,
              double value, Make make) {
        if (!changed(files_, span))
            return;
        const std::string from = written(book_, span);
        for (const Neighbour &n : neighbours(book_, type, value, from)) {
            std::optional<Edit> edit = make(n.value);
            if (edit)
                out_.push_back({span, kind, subject, from, n.text, std::move(*edit)});
        }
    }

    const Book &book_;
    const Reach &reach_;
    const Files &files_;
    std::vector<Mutant> &out_;
};

} // namespace

void mutate_tables(const Book &book, const Reach &reach, const Files &files,
                   std::vector<Mutant> &out) {
    Tables tables(book, reach, files, out);
    for (std::uint32_t i = 0; i < book.tables.size(); ++i)
        tables.table(i);
    for (std::uint32_t i = 0; i < book.lists.size(); ++i)
        tables.list(i);
}

} // namespace groundrule::mutate
