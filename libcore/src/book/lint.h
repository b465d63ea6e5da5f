// What is wrong with a book that opens: text that can never have a say. The faults of text that
// does not open are told by opening it.
#pragma once

#include "book/model.h"
#include "text/diagnostics.h"

namespace groundrule::book {

// Warnings about definitions, tables, lists and groups that nothing reads, and messages that name a
// fact which the rule itself never asks for, so that it may be unknown when the message is told.
void lint(const Book &book, Diagnostics &diagnostics);

} // namespace groundrule::book
