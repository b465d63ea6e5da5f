// What lowering needs to know of single nodes, tables and lists.
#pragma once

#include "book/model.h"
#include "program/program.h"

#include <optional>

namespace groundrule::program {

// The operation of a node whose children are its arguments. `at most` and `less than` are their
// mirror images.
Op plain_op(book::NodeOp op);

// Of a search `smallest(x in list … where x at least LIMIT)` whose limit does not speak of x: the
// limit. Such a search is one step instead of one test an element.
std::optional<book::NodeId> threshold(const book::Book &book, const book::Node &search);

// Tables and lists of the book, with their keys in grid steps.
void copy_tables(const book::Book &book, Program &program);

} // namespace groundrule::program
