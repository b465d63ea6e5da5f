// What a rule or an expression reads, directly and through definitions and implied facts.
#pragma once

#include "book/model.h"

#include <set>
#include <utility>

namespace groundrule::book {

struct Reached {
    std::set<std::int32_t> defines;
    std::set<std::int32_t> tables;
    std::set<std::int32_t> lists;
    std::set<std::pair<std::int32_t, std::int32_t>> facts; // item, field
    std::set<NodeId> choices;                              // tests of choices: may name groups

    void merge(const Reached &other);
};

// What is reached is added to `out`; what is in it already is not walked again.
void reach(const Book &book, NodeId id, Reached &out);

// Requirement, conditions and parts of a rule; its messages not.
void reach(const Book &book, const Rule &rule, Reached &out);

} // namespace groundrule::book
