// Rows that a layer adds to a table or takes out of it.
#pragma once

#include "book/build.h"

#include <optional>

namespace groundrule::book {

// The place of a key's value among those that the table has; told if it has none.
std::optional<std::size_t> key_index(const Table &table, std::size_t key, const ast::Cell &cell,
                                     Typer &typer);

// `keys` are those that stand at the start of a row, in order. False if there is a fault.
bool delete_row(Table &table, const std::vector<ast::Cell> &keys, Typer &typer);

// `draft` has the head lines under which the new rows stand.
bool add_rows(Table &table, const DraftTable &draft, const std::vector<ast::TableRow> &rows,
              std::int32_t layer, Typer &typer);

// What all layers left of a table, of which `change` was the last of its rows: as in one that is
// read, a bound must not find a row that is missing for the other keys.
void check_rows(const Table &table, Span change, Typer &typer);

} // namespace groundrule::book
