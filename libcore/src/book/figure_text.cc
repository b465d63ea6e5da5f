#include "book/figure_text.h"

#include "syntax/print.h"

#include <cmath>

namespace groundrule::book {

namespace {

using syntax::printed;

// "310.15(B)(16) numbered …": a table that expressions call by another number.
template <typename Figure>
std::string number_line(const Book &book, const Figure &figure) {
    if (figure.declared == figure.name)
        return {};
    return "  numbered " + printed(ast::Citation{figure.name, {}, false}) + " in " +
           book.layers.front().name + "\n";
}

template <typename Figure, typename DraftFigure>
std::string head_line(const char *word, const Figure &figure, const DraftFigure &draft) {
    return std::string(word) + " " +
           printed(ast::Citation{figure.declared, {}, draft.decl.citation.quoted}) +
           (figure.title.empty() ? "" : " " + syntax::in_quotes(figure.title));
}

class TableWriter {
  public:
    TableWriter(const Book &book, const Table &table, const DraftTable &draft,
                const Endings &endings)
        : book_(book), table_(table), draft_(draft), endings_(endings) {
        for (std::size_t k = 0; k < table.keys.size(); ++k)
            (table.keys[k].across ? across_ : down_).push_back(k);
    }

    std::string text() {
        std::string body = columns() + keys();
        heads(body);
        rows(body);
        return head_line("table", table_, draft_) + "\n" + number_line(book_, table_) +
               mark_line() + body;
    }

  private:
    std::string mark_line() const {
        const std::string mark = endings_.mark(table_.layer);
        return mark.empty() ? "" : " " + mark + "\n";
    }

    std::string columns() const {
        std::string out;
        for (const ast::TableColumn &c : draft_.decl.gives)
            out += (out.empty() ? "" : ", ") + (c.name.text.empty() ? "" : c.name.text + " : ") +
                   printed(c.type);
        return "  gives " + out + "\n";
    }

    std::string keys() const {
        std::string out;
        for (const ast::TableKey &k : draft_.decl.keys) {
            static constexpr const char *matches[] = {"", " at most", " at least"};
            out += (out.empty() ? "" : ", ") + k.name.text + " : " + printed(k.type) +
                   matches[static_cast<std::size_t>(k.match)];
        }
        return "  by " + out + "\n";
    }

    // The place in `cells` of values of the keys down and across.
    static void next(const Table &t, const std::vector<std::size_t> &of,
                     std::vector<std::size_t> &at) {
        for (std::size_t i = of.size(); i-- > 0;) {
            if (++at[of[i]] < t.counts[of[i]])
                return;
            at[of[i]] = 0;
        }
    }
    std::size_t count(const std::vector<std::size_t> &of) const {
        std::size_t out = 1;
        for (const std::size_t k : of)
            out *= table_.counts[k];
        return out;
    }
    std::size_t place(const std::vector<std::size_t> &at) const {
        std::size_t out = 0;
        for (std::size_t k = 0; k < at.size(); ++k)
            out = out * table_.counts[k] + at[k];
        return out * table_.types.size();
    }

    std::string value(std::size_t key, std::size_t index) const {
        return cell_text(book_, table_.keys[key].type, table_.keys[key].values[index]);
    }

    void heads(std::string &out) const {
        for (const std::size_t k : across_) {
            out += "  " + table_.keys[k].name;
            std::vector<std::size_t> at(table_.keys.size(), 0);
            for (std::size_t i = 0; i < count(across_); ++i, next(table_, across_, at))
                out += " | " + value(k, at[k]);
            out += "\n";
        }
    }

    void rows(std::string &out) const {
        std::vector<std::size_t> at(table_.keys.size(), 0);
        for (std::size_t i = 0; i < count(down_); ++i, next(table_, down_, at)) {
            std::string line;
            for (const std::size_t k : down_)
                line += (line.empty() ? "  " : " | ") + value(k, at[k]);
            std::vector<std::size_t> of = at;
            for (std::size_t c = 0; c < count(across_); ++c, next(table_, across_, of)) {
                for (std::size_t column = 0; column < table_.types.size(); ++column)
                    line += (line.empty() ? "  " : " | ") + cell(place(of) + column, column);
            }
            out += line + "\n";
        }
    }

    std::string cell(std::size_t at, std::size_t column) const {
        const std::int32_t layer = table_.layers[at];
        const std::string mark = layer == table_.layer ? "" : endings_.mark(layer);
        return cell_text(book_, table_.types[column], table_.cells[at]) + mark;
    }

    const Book &book_;
    const Table &table_;
    const DraftTable &draft_;
    const Endings &endings_;
    std::vector<std::size_t> across_;
    std::vector<std::size_t> down_;
};

} // namespace

std::string cell_text(const Book &book, const Type &type, double value) {
    if (std::isnan(value))
        return "--";
    const std::string text = value_text(book, type, value);
    return type.kind == ValueKind::choice ? syntax::printed_choice(text) : text;
}

std::string key_text(const Book &book, const Table &table, std::size_t cell) {
    std::size_t rest = cell / table.types.size();
    std::string out;
    for (std::size_t k = table.keys.size(); k-- > 0;) {
        const Key &key = table.keys[k];
        if (!out.empty())
            out.insert(0, ", ");
        out.insert(0, cell_text(book, key.type, key.values[rest % table.counts[k]]));
        rest /= table.counts[k];
    }
    return "[" + out + "]" +
           (table.columns.size() > 1 ? "." + table.columns[cell % table.types.size()] : "");
}

std::string table_lines(const Book &book, const Table &table, const DraftTable &draft,
                        const Endings &endings) {
    return TableWriter(book, table, draft, endings).text();
}

std::string list_lines(const Book &book, const List &list, const DraftList &draft,
                       const Endings &endings) {
    std::string values;
    for (std::size_t i = 0; i < list.values.size(); ++i) {
        const std::int32_t layer = list.layers[i];
        values += (values.empty() ? "" : ", ") + cell_text(book, list.type, list.values[i]) +
                  (layer == list.layer ? "" : endings.mark(layer));
    }
    return head_line("list", list, draft) + " of " + printed(draft.decl.type) + "\n" +
           number_line(book, list) +
           (endings.mark(list.layer).empty() ? "" : " " + endings.mark(list.layer) + "\n") +
           "  = " + values + "\n";
}

} // namespace groundrule::book
