// Typed expressions back as text of the rule language, in one form whatever their layout was: two
// expressions with the same text say the same, given the same definitions and tables.
#pragma once

#include "book/model.h"

#include <string>
#include <vector>

namespace groundrule::book {

// Where an expression stands: what its limits and parameters are called, and whose fields need no
// qualifier.
struct Surroundings {
    std::int32_t self = -1;
    const Rule *rule = nullptr;
    const Define *define = nullptr;
};

// How shared things are called. By edition: tables and lists by their number there, choices one by
// one. By declaration: by the number under which they are declared, which stays when an edition
// renumbers them, and a test that names a group as it was written.
enum class Called : std::uint8_t { by_edition, by_declaration };

std::string expression_text(const Book &book, NodeId node, const Surroundings &place,
                            Called called = Called::by_edition);

// What stands between two operands: " and ", " at least ", " * "; null if nothing does.
const char *infix(NodeOp op);

// A message with its expressions between braces.
std::string message_text(const Book &book, const std::vector<MessagePart> &parts,
                         const Surroundings &place, Called called = Called::by_edition);

// The groups that a test of choices names, in the order of the book.
std::vector<const Group *> groups_named(const Book &book, NodeId test);

// A choice as it is written: quoted if it is no plain name.
std::string choice_text(const std::string &choice);

} // namespace groundrule::book
