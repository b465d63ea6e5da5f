// From a draft to the typed book, in the order in which names become known.
#pragma once

#include "book/draft.h"
#include "book/typer.h"

#include <algorithm>

namespace groundrule::book {

void build_vocabulary(const Draft &draft, Typer &typer);
void build_tables(const Draft &draft, Typer &typer);
void build_definitions(const Draft &draft, Typer &typer); // signatures, then values
void build_implications(const Draft &draft, Typer &typer);
void build_remedies(const Draft &draft, Typer &typer);
void build_rules(const Draft &draft, Typer &typer);

// Tells names that stand before already: columns, keys or parameters of one declaration.
template <typename Named>
void refuse_twice(const std::vector<Named> &list, const std::string &what,
                  Diagnostics &diagnostics) {
    for (auto one = list.begin(); one != list.end(); ++one) {
        const auto before = std::find_if(
            list.begin(), one, [&](const Named &n) { return n.name.text == one->name.text; });
        if (before == one || one->name.text.empty())
            continue;
        Diagnostic &d =
            diagnostics.error("declared-twice", one->name.span,
                              "there is a " + what + " `" + one->name.text + "` already");
        d.other = before->name.span;
        d.other_is = "here";
    }
}

// A cell as a value of a type; reports what does not fit.
std::optional<double> cell_value(const ast::Cell &cell, const Type &type, Typer &typer);

// Equal on the grid of the type.
bool same_value(const Type &type, double a, double b);

// A cell as it is written.
std::string cell_text(const ast::Cell &cell, const Sources &sources);

// From the first of several cells to the last.
inline Span span_of(const std::vector<ast::Cell> &cells) {
    return {cells.front().span.file, cells.front().span.begin, cells.back().span.end};
}

// A table or list by itself; nothing if it is at fault.
std::optional<Table> built(const DraftTable &draft, Typer &typer);
std::optional<List> built(const DraftList &draft, Typer &typer);

// What layers do to tables and lists, each change checked against what stands there.
void change_figures(const Draft &draft, Typer &typer);

} // namespace groundrule::book
