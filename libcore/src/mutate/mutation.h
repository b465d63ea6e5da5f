// Which small changes to the rules of a book its tests would not notice.
#pragma once

#include "mutate/mutant.h"
#include "text/progress.h"

#include <cstdint>
#include <string>
#include <vector>

namespace groundrule::mutate {

struct Options {
    std::string file;          // only what stands in it; empty: in the files of the topmost layer
    std::uint32_t threads = 1; // changes nothing but the time
    GoOn go_on{};              // told of rules whose tests are through
};

struct Mutation {
    std::size_t mutants = 0;
    std::vector<Mutant> survivors; // in the order of their places
    std::size_t killed() const { return mutants - survivors.size(); }
};

enum class Refusal : std::uint8_t {
    none,
    no_such_file,
    failing_tests, // tests that fail without a change tell nothing apart
    ended,         // by go_on
};

// Runs the tests of the topmost layer on each mutant until one of them fails. On a refusal the
// outcome is empty.
Refusal mutate(const book::Book &book, const Options &options, Mutation &out);

} // namespace groundrule::mutate
