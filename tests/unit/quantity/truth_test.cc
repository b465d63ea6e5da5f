// Strong Kleene logic, and what learning a fact may do to a verdict.

#include "quantity/truth.h"

#include <array>
#include <utility>

#include "catch.h"

namespace {

using namespace groundrule;

constexpr Truth U = Truth::unknown;
constexpr Truth Y = Truth::yes;
constexpr Truth N = Truth::no;
constexpr std::array truths = {U, Y, N};

// `b` says at least what `a` says.
bool refines(Truth a, Truth b) {
    return a == U || a == b;
}

// What a truth may be once everything is known.
std::array<bool, 2> possible(Truth t) {
    return {t != Y, t != N}; // false, true
}

// The truth that fits all outcomes of the completions.
template <typename Function>
Truth by_completion(Function f, Truth a, Truth b, Truth c) {
    bool some_yes = false;
    bool some_no = false;
    for (int i = 0; i < 8; ++i) {
        const bool x = (i & 1) != 0;
        const bool y = (i & 2) != 0;
        const bool z = (i & 4) != 0;
        if (!possible(a)[x] || !possible(b)[y] || !possible(c)[z])
            continue;
        (f(x, y, z) ? some_yes : some_no) = true;
    }
    return some_yes && some_no ? U : truth_of(some_yes);
}

} // namespace

TEST_CASE("the tables of not, and, or are those of strong Kleene logic") {
    CHECK(negation(U) == U);
    CHECK(negation(Y) == N);
    CHECK(negation(N) == Y);
    const Truth and_table[3][3] = {{U, U, N}, {U, Y, N}, {N, N, N}};
    const Truth or_table[3][3] = {{U, Y, U}, {Y, Y, Y}, {U, Y, N}};
    for (std::size_t a = 0; a < 3; ++a) {
        for (std::size_t b = 0; b < 3; ++b) {
            CHECK(both(truths[a], truths[b]) == and_table[a][b]);
            CHECK(either(truths[a], truths[b]) == or_table[a][b]);
        }
    }
}

TEST_CASE("over all 27 combinations: the laws of and, or, not, and choosing") {
    for (const Truth a : truths) {
        CHECK(negation(negation(a)) == a);
        CHECK(both(a, a) == a);
        CHECK(either(a, a) == a);
        for (const Truth b : truths) {
            CHECK(both(a, b) == both(b, a));
            CHECK(negation(both(a, b)) == either(negation(a), negation(b)));
            CHECK(both(a, either(a, b)) == a);
            for (const Truth c : truths) {
                CHECK(both(a, both(b, c)) == both(both(a, b), c));
                CHECK(either(a, either(b, c)) == either(either(a, b), c));
                CHECK(both(a, either(b, c)) == either(both(a, b), both(a, c)));
                CHECK(choose(a, b, c) ==
                      by_completion([](bool x, bool y, bool z) { return x ? y : z; }, a, b, c));
                CHECK(both(a, both(b, c)) ==
                      by_completion([](bool x, bool y, bool z) { return x && y && z; }, a, b, c));
            }
        }
    }
}

TEST_CASE("p or not p stays unknown while p is: laws of two values are not assumed") {
    CHECK(either(U, negation(U)) == U);
    CHECK(both(U, negation(U)) == U);
}

TEST_CASE("learning more never changes a known outcome, over all 27 combinations") {
    for (const Truth a : truths) {
        for (const Truth b : truths) {
            for (const Truth c : truths) {
                for (const Truth x : truths) {
                    for (const Truth y : truths) {
                        for (const Truth z : truths) {
                            if (!refines(a, x) || !refines(b, y) || !refines(c, z))
                                continue;
                            CHECK(refines(both(a, b), both(x, y)));
                            CHECK(refines(either(a, b), either(x, y)));
                            CHECK(refines(choose(a, b, c), choose(x, y, z)));
                        }
                    }
                }
            }
        }
    }
}

TEST_CASE("the verdict over all states of scope, exception and requirement") {
    for (const Truth scope : truths) {
        for (const Truth excepted : truths) {
            for (const Truth met : truths) {
                const Truth applies = both(scope, negation(excepted));
                const Verdict v = verdict_of(applies, met);
                const bool out = scope == N || excepted == Y;
                const bool in = scope == Y && excepted == N;
                if (out)
                    CHECK(v == Verdict::not_applicable);
                else if (met == Y)
                    CHECK(v == Verdict::complies);
                else if (in && met == N)
                    CHECK(v == Verdict::violates);
                else
                    CHECK(v == Verdict::undetermined);
            }
        }
    }
}

TEST_CASE("learning a fact turns undetermined into anything, complies into not applicable, and "
          "nothing else") {
    int from_undetermined = 0;
    int out_of_scope = 0;
    for (int before = 0; before < 27; ++before) {
        const Truth scope = truths[static_cast<std::size_t>(before % 3)];
        const Truth excepted = truths[static_cast<std::size_t>(before / 3 % 3)];
        const Truth met = truths[static_cast<std::size_t>(before / 9)];
        for (int after = 0; after < 27; ++after) {
            const Truth scope_after = truths[static_cast<std::size_t>(after % 3)];
            const Truth excepted_after = truths[static_cast<std::size_t>(after / 3 % 3)];
            const Truth met_after = truths[static_cast<std::size_t>(after / 9)];
            if (!refines(scope, scope_after) || !refines(excepted, excepted_after) ||
                !refines(met, met_after))
                continue;
            const Verdict v = verdict_of(both(scope, negation(excepted)), met);
            const Verdict w = verdict_of(both(scope_after, negation(excepted_after)), met_after);
            if (v == w)
                continue;
            const bool lawful = v == Verdict::undetermined ||
                                (v == Verdict::complies && w == Verdict::not_applicable);
            CHECK(lawful);
            ++(v == Verdict::undetermined ? from_undetermined : out_of_scope);
        }
    }
    CHECK(from_undetermined > 0);
    CHECK(out_of_scope > 0);
}
