// Both checks walk the dense table along one key, with the other keys held.
#include "book/table_checks.h"

#include "book/typer_words.h"

namespace groundrule::book {

namespace {

bool has_order(const Type &type) {
    return !type.is_truth() && type.kind != ValueKind::choice;
}

// Steps of one key through the dense table.
class Walk {
  public:
    Walk(const Table &table, std::size_t key) : count_(table.counts[key]) {
        stride_ = table.types.size();
        for (std::size_t k = table.keys.size(); k-- > key + 1;)
            stride_ *= table.counts[k];
    }

    std::size_t row(std::size_t at) const { return at / stride_ % count_; }
    // The same cell in the first row.
    std::size_t line(std::size_t at) const { return at - row(at) * stride_; }
    std::size_t cell(std::size_t line, std::size_t row) const { return line + row * stride_; }

  private:
    std::size_t count_;
    std::size_t stride_ = 1;
};

std::string text_at(const Table &table, std::size_t key, std::size_t row, Typer &typer) {
    return value_text(typer.book(), table.keys[key].type, table.keys[key].values[row]);
}

// "aluminum, 60 °C": the other keys of a cell.
std::string others_at(const Table &table, std::size_t key, std::size_t at, Typer &typer) {
    std::string out;
    for (std::size_t k = 0; k < table.keys.size(); ++k) {
        if (k != key)
            out += (out.empty() ? "" : ", ") + text_at(table, k, Walk(table, k).row(at), typer);
    }
    return out;
}

// The first missing row of a line behind which, as a look-up goes, another stands.
bool line_has_hole(const Table &table, std::size_t key, const PlacedCell &cell,
                   const std::vector<std::uint8_t> &written, Typer &typer) {
    const Walk walk(table, key);
    const bool upper = table.keys[key].match == ast::KeyMatch::at_most;
    const std::size_t row = walk.row(cell.at);
    const std::size_t beside = upper ? row - 1 : row + 1;
    if ((upper && row == 0) || (!upper && beside == table.counts[key]) ||
        written[walk.cell(walk.line(cell.at), beside)] != 0)
        return false;
    const std::string missing = text_at(table, key, beside, typer);
    Diagnostic &d = typer.diagnostics().error(
        "table-hole", (*cell.keys)[key],
        "there is a hole " + std::string(upper ? "below" : "above") +
            " this row: " + (upper ? "up to " : "from ") + missing + (upper ? "" : " on") +
            " the row of " + missing + " is used, and for " +
            others_at(table, key, cell.at, typer) + " there is none");
    d.help = "write the row of " + missing + " for " + others_at(table, key, cell.at, typer) +
             " too, with -- if the code has no value there";
    return true;
}

} // namespace

bool check_table_order(const Table &table, const std::vector<PlacedCell> &cells, Typer &typer) {
    bool good = true;
    std::vector<std::size_t> last(table.cells.size());
    for (std::size_t k = 0; k < table.keys.size(); ++k) {
        if (table.counts[k] < 2 || !has_order(table.keys[k].type))
            continue;
        const Walk walk(table, k);
        Span told;
        last.assign(last.size(), 0);
        for (const PlacedCell &cell : cells) {
            std::size_t &before = last[walk.line(cell.at)];
            const std::size_t row = walk.row(cell.at);
            const Span at = (*cell.keys)[k];
            const bool new_place = told.file != at.file || told.begin != at.begin;
            if (row < before && new_place) {
                typer.diagnostics().error(
                    "table-order", at,
                    "the rows and columns of a table stand in ascending order, and " +
                        text_at(table, k, row, typer) + " comes after " +
                        text_at(table, k, before, typer));
                told = at;
                good = false;
            }
            before = row;
        }
    }
    return good;
}

bool check_table_holes(const Table &table, const std::vector<PlacedCell> &cells, Typer &typer) {
    std::vector<std::uint8_t> written(table.cells.size(), 0);
    for (const PlacedCell &cell : cells)
        written[cell.at] = 1;
    for (std::size_t k = 0; k < table.keys.size(); ++k) {
        if (table.keys[k].match == ast::KeyMatch::exact)
            continue;
        for (const PlacedCell &cell : cells) {
            if (line_has_hole(table, k, cell, written, typer))
                return false; // one is told; what fills it often fills the others
        }
    }
    return true;
}

} // namespace groundrule::book
