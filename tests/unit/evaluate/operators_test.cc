// Operators on cells: exact values, bounds, and two properties of all of them. Sound: the result
// holds for every value that the operands allow. Steady: operands that say more never make a result
// that says less, which is what keeps a verdict from being taken back.

#include "evaluate/operators.h"

#include <functional>
#include <limits>
#include <random>
#include <vector>

#include "catch.h"

namespace {

using namespace groundrule;
using namespace groundrule::evaluate;

constexpr double amps = 1e6;

Cell at_least_of(double v) {
    return {v, Bound::at_least};
}
Cell at_most_of(double v) {
    return {v, Bound::at_most};
}

bool same(const Cell &a, const Cell &b) {
    return a.bound == b.bound && (!a.known() || a.value == b.value);
}

bool allows(const Cell &c, double v) {
    switch (c.bound) {
    case Bound::unknown:
        return true;
    case Bound::exact:
        return on_grid(v, amps) == on_grid(c.value, amps);
    case Bound::at_least:
        return on_grid(v, amps) >= on_grid(c.value, amps);
    case Bound::at_most:
        return on_grid(v, amps) <= on_grid(c.value, amps);
    }
    return false;
}

// `b` says at least what `a` says.
bool refines(const Cell &a, const Cell &b) {
    if (!a.known())
        return true;
    if (a.exact())
        return b.exact() && allows(a, b.value);
    return b.known() && (b.exact() || b.bound == a.bound) && allows(a, b.value);
}

using Random = std::mt19937;

double small(Random &random) {
    return static_cast<double>(static_cast<int>(random() % 13)) / 2 - 3; // −3 … 3 by halves
}

Cell any_cell(Random &random) {
    return {small(random), static_cast<Bound>(random() % 4)};
}

// A value that the cell allows.
double member(const Cell &c, Random &random) {
    const double further = static_cast<double>(random() % 9) / 2;
    switch (c.bound) {
    case Bound::exact:
        return c.value;
    case Bound::at_least:
        return c.value + further;
    case Bound::at_most:
        return c.value - further;
    case Bound::unknown:
        break;
    }
    return small(random) * 2;
}

Cell more_known(const Cell &c, Random &random) {
    const double v = member(c, random);
    const auto choice = random() % 3;
    if (choice == 0 || c.exact())
        return exactly(v);
    if (choice == 1)
        return c;
    return c.known() ? Cell{v, c.bound}
                     : Cell{v, random() % 2 == 0 ? Bound::at_least : Bound::at_most};
}

struct Binary {
    const char *name;
    std::function<Cell(const Cell &, const Cell &)> cells;
    std::function<double(double, double)> values; // NaN where there is no value
};

const double none = std::numeric_limits<double>::quiet_NaN();

const std::vector<Binary> binaries = {
    {"add", add, [](double x, double y) { return x + y; }},
    {"subtract", subtract, [](double x, double y) { return x - y; }},
    {"multiply", multiply, [](double x, double y) { return x * y; }},
    {"divide", divide, [](double x, double y) { return y == 0 ? none : x / y; }},
    {"larger", larger, [](double x, double y) { return x > y ? x : y; }},
    {"smaller", smaller, [](double x, double y) { return x < y ? x : y; }},
    {"at least", [](const Cell &a, const Cell &b) { return cell_of(at_least(a, b, amps)); },
     [](double x, double y) { return x >= y ? 1.0 : 0.0; }},
    {"more than", [](const Cell &a, const Cell &b) { return cell_of(more_than(a, b, amps)); },
     [](double x, double y) { return x > y ? 1.0 : 0.0; }},
    {"equal", [](const Cell &a, const Cell &b) { return cell_of(equal(a, b, amps)); },
     [](double x, double y) { return x == y ? 1.0 : 0.0; }},
};

} // namespace

TEST_CASE("a comparison on the grid finds 50 A × 1.16 equal to 58 A") {
    const Cell load = multiply(exactly(50), exactly(1.16));
    CHECK(load.value != 58.0);
    CHECK(equal(load, exactly(58), amps) == Truth::yes);
    CHECK(at_least(exactly(58), load, amps) == Truth::yes);
    CHECK(more_than(load, exactly(58), amps) == Truth::no);
    CHECK(more_than(exactly(58.000001), load, amps) == Truth::yes);
}

TEST_CASE("a comparison is known where a bound decides it") {
    CHECK(at_least(at_least_of(5), exactly(5), amps) == Truth::yes);
    CHECK(at_least(at_least_of(5), exactly(6), amps) == Truth::unknown);
    CHECK(at_least(at_most_of(5), exactly(6), amps) == Truth::no);
    CHECK(at_least(at_most_of(5), exactly(5), amps) == Truth::unknown);
    CHECK(at_least(exactly(5), at_most_of(5), amps) == Truth::yes);
    CHECK(more_than(at_least_of(5), exactly(5), amps) == Truth::unknown);
    CHECK(more_than(at_most_of(5), exactly(5), amps) == Truth::no);
    CHECK(equal(at_least_of(6), exactly(5), amps) == Truth::no);
    CHECK(equal(at_least_of(5), exactly(5), amps) == Truth::unknown);
    CHECK(at_least(Cell{}, exactly(5), amps) == Truth::unknown);
    CHECK(at_least(Cell{}, Cell{}, amps) == Truth::unknown);
}

TEST_CASE("bounds pass through sums and flip through differences") {
    CHECK(same(add(at_least_of(2), exactly(3)), at_least_of(5)));
    CHECK(same(add(at_least_of(2), at_least_of(3)), at_least_of(5)));
    CHECK(same(add(at_least_of(2), at_most_of(3)), Cell{}));
    CHECK(same(subtract(exactly(5), at_least_of(2)), at_most_of(3)));
    CHECK(same(subtract(at_least_of(5), at_most_of(2)), at_least_of(3)));
    CHECK(same(subtract(at_least_of(5), at_least_of(2)), Cell{}));
}

TEST_CASE("bounds pass through products and quotients by exact values not below zero") {
    CHECK(same(multiply(at_least_of(4), exactly(1.25)), at_least_of(5)));
    CHECK(same(multiply(exactly(2), at_most_of(3)), at_most_of(6)));
    CHECK(same(multiply(at_least_of(4), exactly(-1)), Cell{}));
    CHECK(same(multiply(at_least_of(4), at_least_of(1)), Cell{}));
    CHECK(same(divide(at_most_of(4), exactly(2)), at_most_of(2)));
    CHECK(same(divide(at_most_of(4), exactly(-2)), Cell{}));
    CHECK(same(divide(exactly(4), at_least_of(2)), Cell{}));
}

TEST_CASE("zero times an unknown is unknown, and so is an unknown less itself") {
    CHECK(same(multiply(exactly(0), Cell{}), Cell{}));
    CHECK(same(subtract(Cell{}, Cell{}), Cell{}));
    CHECK(equal(Cell{}, Cell{}, amps) == Truth::unknown);
}

TEST_CASE("division by zero and what overflows a double have no value") {
    CHECK(same(divide(exactly(1), exactly(0)), Cell{}));
    CHECK(same(multiply(exactly(1e300), exactly(1e300)), Cell{}));
}

TEST_CASE("the larger of a known and an unknown value is at least the known one") {
    CHECK(same(larger(exactly(3), Cell{}), at_least_of(3)));
    CHECK(same(larger(exactly(3), at_least_of(5)), at_least_of(5)));
    CHECK(same(larger(exactly(3), at_most_of(2)), exactly(3)));
    CHECK(same(larger(exactly(3), at_most_of(7)), at_least_of(3)));
    CHECK(same(smaller(exactly(3), Cell{}), at_most_of(3)));
    CHECK(same(smaller(exactly(3), at_least_of(5)), exactly(3)));
    CHECK(same(smaller(exactly(3), at_least_of(1)), at_most_of(3)));
}

TEST_CASE("rounding goes to a multiple of the step, halves up, and forgives the last digits") {
    const auto round = [](double v, double step, Rounding way) {
        return rounded(exactly(v), exactly(step), way);
    };
    CHECK(round(2.5, 1, Rounding::nearest).value == 3);
    CHECK(round(-2.5, 1, Rounding::nearest).value == -2);
    CHECK(round(2.49, 1, Rounding::nearest).value == 2);
    CHECK(on_grid(round(0.1 * 3, 0.1, Rounding::up).value, amps) == on_grid(0.3, amps));
    CHECK(round(4.99999999999, 1, Rounding::down).value == 5);
    CHECK(round(51, 5, Rounding::up).value == 55);
    CHECK(round(54, 5, Rounding::down).value == 50);
    CHECK_FALSE(rounded(exactly(1), exactly(0), Rounding::up).known());
    CHECK_FALSE(rounded(at_least_of(1), exactly(1), Rounding::up).known());
    CHECK_FALSE(rounded(exactly(1), at_least_of(1), Rounding::up).known());
}

TEST_CASE("an unknown condition leaves a value unknown, even where both branches agree") {
    CHECK_FALSE(choose_value(Truth::unknown, exactly(1), exactly(1)).known());
    CHECK(same(choose_value(Truth::no, exactly(1), at_least_of(2)), at_least_of(2)));
}

TEST_CASE("two sources of one fact: the tighter is kept, and a conflict is told") {
    bool apart = false;
    CHECK(same(joined(Cell{}, exactly(3), amps, apart), exactly(3)));
    CHECK(same(joined(exactly(3), at_least_of(2), amps, apart), exactly(3)));
    CHECK(same(joined(at_least_of(2), exactly(3), amps, apart), exactly(3)));
    CHECK(same(joined(at_least_of(2), at_least_of(3), amps, apart), at_least_of(3)));
    CHECK(same(joined(at_most_of(2), at_most_of(3), amps, apart), at_most_of(2)));
    CHECK(same(joined(exactly(58), exactly(50 * 1.16), amps, apart), exactly(58)));
    // A cell holds one bound: of two that face each other the lower, whichever is told first.
    CHECK(same(joined(at_least_of(2), at_most_of(3), amps, apart), at_least_of(2)));
    CHECK(same(joined(at_most_of(3), at_least_of(2), amps, apart), at_least_of(2)));
    CHECK_FALSE(apart);
    joined(exactly(3), at_least_of(4), amps, apart);
    CHECK(apart);
    apart = false;
    joined(exactly(3), exactly(3.000001), amps, apart);
    CHECK(apart);
    apart = false;
    joined(at_most_of(3), at_least_of(4), amps, apart);
    CHECK(apart);
}

TEST_CASE("soundness: what an operator says holds for every value that its operands allow") {
    Random random(11);
    for (const Binary &op : binaries) {
        int known = 0;
        for (int i = 0; i < 60000; ++i) {
            const Cell a = any_cell(random);
            const Cell b = any_cell(random);
            const double x = member(a, random);
            const double y = member(b, random);
            const double v = op.values(x, y);
            if (std::isnan(v))
                continue;
            const Cell result = op.cells(a, b);
            known += result.known() ? 1 : 0;
            INFO(op.name << " of " << x << " and " << y << ": bound " << int(result.bound) << " "
                         << result.value);
            REQUIRE(allows(result, v));
        }
        CHECK(known > 5000);
    }
}

TEST_CASE("steadiness: operands that say more never make a result that says less") {
    Random random(12);
    for (const Binary &op : binaries) {
        for (int i = 0; i < 60000; ++i) {
            const Cell a = any_cell(random);
            const Cell b = any_cell(random);
            const Cell c = more_known(a, random);
            const Cell d = more_known(b, random);
            REQUIRE(refines(a, c));
            const Cell before = op.cells(a, b);
            const Cell after = op.cells(c, d);
            INFO(op.name << ": " << a.value << "/" << int(a.bound) << " → " << c.value << "/"
                         << int(c.bound) << ", " << b.value << "/" << int(b.bound) << " → "
                         << d.value << "/" << int(d.bound));
            REQUIRE(refines(before, after));
        }
    }
}

// A source that can tell both bounds, or two that face each other, pass "at least" on and no "at
// most": the compiler sees to that (program/compile.cc).
TEST_CASE(
    "steadiness of joins of sources whose bounds have one direction, and of what is passed on "
    "of others") {
    Random random(13);
    std::size_t faced = 0;
    for (int i = 0; i < 60000; ++i) {
        const Cell a = any_cell(random);
        const Cell b = any_cell(random);
        const Cell c = more_known(a, random);
        const Cell d = more_known(b, random);
        bool conflict = false;
        Cell before = joined(a, b, amps, conflict);
        Cell after = joined(c, d, amps, conflict);
        const auto has = [&](Bound bound) {
            return a.bound == bound || b.bound == bound || c.bound == bound || d.bound == bound;
        };
        const bool facing = has(Bound::at_least) && has(Bound::at_most);
        faced += facing ? 1 : 0;
        if (facing) {
            before = larger(before, before);
            after = larger(after, after);
        }
        INFO(a.value << "/" << int(a.bound) << " → " << c.value << "/" << int(c.bound) << ", "
                     << b.value << "/" << int(b.bound) << " → " << d.value << "/" << int(d.bound));
        if (!conflict)
            REQUIRE(refines(before, after));
    }
    CHECK(faced > 5000);
}
