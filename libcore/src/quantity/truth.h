// Strong Kleene logic, written once.
#pragma once

#include <cstdint>

namespace groundrule {

enum class Truth : std::uint8_t { unknown = 0, yes = 1, no = 2 };

constexpr Truth truth_of(bool b) {
    return b ? Truth::yes : Truth::no;
}

constexpr Truth negation(Truth a) {
    return a == Truth::unknown ? a : (a == Truth::yes ? Truth::no : Truth::yes);
}

constexpr Truth both(Truth a, Truth b) {
    if (a == Truth::no || b == Truth::no)
        return Truth::no;
    return a == Truth::yes && b == Truth::yes ? Truth::yes : Truth::unknown;
}

constexpr Truth either(Truth a, Truth b) {
    return negation(both(negation(a), negation(b)));
}

// With an unknown condition a truth is known where both branches agree.
constexpr Truth choose(Truth condition, Truth then, Truth otherwise) {
    if (condition == Truth::unknown)
        return then == otherwise ? then : Truth::unknown;
    return condition == Truth::yes ? then : otherwise;
}

// The verdict of a rule from "it applies" and "its requirement is met".
enum class Verdict : std::uint8_t {
    complies = 0,
    violates = 1,
    not_applicable = 2,
    undetermined = 3
};

constexpr Verdict verdict_of(Truth applies, Truth met) {
    if (applies == Truth::no)
        return Verdict::not_applicable;
    if (met == Truth::yes)
        return Verdict::complies;
    return applies == Truth::yes && met == Truth::no ? Verdict::violates : Verdict::undetermined;
}

} // namespace groundrule
