// The places of a book's files that hold expressions, each with the nodes that it became.
#pragma once

#include "mutate/mutants.h"

#include <array>
#include <map>
#include <string>
#include <vector>

namespace groundrule::mutate {

// Nodes that were typed from the same text.
struct Expression {
    std::vector<book::NodeId> nodes;
    std::string subject;
};

// What a rule is made of, as a whole: a condition, a part, the requirement.
struct Clause {
    std::vector<book::NodeId> nodes;
    std::string subject;
    Span span;
    const char *kind;
    std::string words; // "exception 1"; empty: as written
    bool without;      // what its truth is if it is left out
};

struct Limits {
    std::vector<book::NodeId> nodes; // that read it
    std::string subject;
    book::Limit limit;
};

struct Places {
    Places(const book::Book &book, const Reach &reach, const Files &files);

    std::vector<Expression> expressions;
    std::vector<Clause> clauses;
    std::vector<Limits> limits;
};

} // namespace groundrule::mutate
