// The smallest parts of a rule file's tree: names, cells, and what a remedy is made of.
#pragma once

#include "quantity/literal.h"
#include "text/source_text.h"

#include <cstdint>
#include <string>
#include <vector>

namespace groundrule::ast {

// In a printed book the layer that a text came from, by its place in the book's name; nowhere else.
using Mark = std::int32_t;
inline constexpr Mark no_mark = -1;

struct Name {
    std::string text;
    Span span;
};

// One cell of a row or head line: a literal, a word, a quoted text, or empty ("--").
struct Cell {
    enum class Kind : std::uint8_t { literal, word, empty } kind = Kind::empty;
    Literal literal;
    std::string word;
    Span span;
    Mark mark = no_mark;
};

// Values that a fact may be changed to, to make a job pass.
struct RemedyDecl {
    Name item;
    std::string title;
    Name field;
    bool any = false; // every choice or size, in the order of the type
    std::vector<Cell> values;
    std::vector<Name> without; // facts that are taken back then
    std::vector<Name> keeps;   // facts that these implied, and that stay
    struct Fact {
        Name field;
        Cell value;
    };
    std::vector<Fact> also; // other facts of the item that are then so
    struct Carried {
        Name item;
        Name field;
        Name with;
        std::vector<Name> keeps;
    };
    std::vector<Carried> carried; // facts of other items that say the same and change with it
};

} // namespace groundrule::ast
