// Which rules' verdicts depend on which nodes, columns of tables and lists: only their tests can
// tell a mutant apart. What none depends on, such as a value that only a message tells, is not
// mutated.
#pragma once

#include "book/model.h"

#include <cstdint>
#include <vector>

namespace groundrule::mutate {

using Rules = std::vector<std::uint32_t>; // ascending
using Slots = std::vector<std::uint32_t>; // likewise

// What reads a thing.
struct Readers {
    Rules rules;
    Slots slots; // of facts that imply it into their value: any job may then contradict itself
    bool any() const { return !slots.empty() || !rules.empty(); }
};

struct Reach {
    explicit Reach(const book::Book &book);

    std::vector<Readers> nodes;
    std::vector<std::vector<Readers>> columns; // of each table
    std::vector<Readers> lists;
};

} // namespace groundrule::mutate
