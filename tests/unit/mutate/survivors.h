// What survives the tests of a small book.
#pragma once

#include "mutate/mutation.h"
#include "trial.h"

#include "catch.h"

#include <algorithm>

namespace survivors {

namespace mutate = groundrule::mutate;
using mutate::Mutation;
using mutate::Refusal;

inline Mutation survivors_of(const std::string &rules,
                             const std::vector<std::string> &amendments = {}) {
    const auto opened = trial::open(rules, amendments);
    INFO(trial::faults(opened));
    REQUIRE(opened.book != nullptr);
    Mutation out;
    // The shipped words for facts belong to every edition; they are not what is tried here.
    const std::string file = amendments.empty() ? "trial.rules" : "";
    REQUIRE(mutate::mutate(*opened.book, {file, 1}, out) == Refusal::none);
    return out;
}

// "kind: from -> to", sorted.
inline std::vector<std::string> told(const Mutation &mutation) {
    std::vector<std::string> out;
    for (const mutate::Mutant &m : mutation.survivors)
        out.push_back(std::string(m.kind) + ": " + m.from + " -> " + m.to);
    std::sort(out.begin(), out.end());
    return out;
}

using Lines = std::vector<std::string>;

// A rule without tests: every mutant survives.
inline Lines all_of(const std::string &condition) {
    return told(survivors_of(trial::rule_that(condition)));
}

} // namespace survivors
