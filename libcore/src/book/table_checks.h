// What the cells of a table say together: their order, and what they leave out.
#pragma once

#include "book/typer.h"

#include <vector>

namespace groundrule::book {

// A cell that is written, also one with `--`, and the cells of its keys.
struct PlacedCell {
    std::size_t at = 0; // in the dense table
    Span span;
    const std::vector<Span> *keys = nullptr;
};

// Rows and columns of an ordered key are written in ascending order, so that a slip of the pen
// shows. Cells are given as they are written. False after a reported fault.
bool check_table_order(const Table &table, const std::vector<PlacedCell> &cells, Typer &typer);

// A key that is looked up by its bounds finds one row, whether or not that row is written for the
// other keys too: a row that is missing where a further one stands hides that one.
bool check_table_holes(const Table &table, const std::vector<PlacedCell> &cells, Typer &typer);

} // namespace groundrule::book
