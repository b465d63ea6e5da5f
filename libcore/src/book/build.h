// From a draft to the typed book, in the order in which names become known.
#pragma once

#include "book/draft.h"
#include "book/typer.h"

namespace groundrule::book {

void build_vocabulary(const Draft &draft, Typer &typer);
void build_tables(const Draft &draft, Typer &typer);
void build_definitions(const Draft &draft, Typer &typer); // signatures, then values
void build_implications(const Draft &draft, Typer &typer);
void build_remedies(const Draft &draft, Typer &typer);
void build_rules(const Draft &draft, Typer &typer);

// A cell as a value of a type; reports what does not fit.
std::optional<double> cell_value(const ast::Cell &cell, const Type &type, Typer &typer);

// Equal on the grid of the type.
bool same_value(const Type &type, double a, double b);

// A cell as it is written.
std::string cell_text(const ast::Cell &cell, const Sources &sources);

// A table or list by itself; nothing if it is at fault.
std::optional<Table> built(const DraftTable &draft, Typer &typer);
std::optional<List> built(const DraftList &draft, Typer &typer);

// What layers do to tables and lists, each change checked against what stands there.
void change_figures(const Draft &draft, Typer &typer);

} // namespace groundrule::book
