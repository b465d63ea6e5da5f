// The loops on numbers that can carry a bound give, for every pair of such numbers and on every
// kind of machine, what the scalar operators give.
#include "catch.h"

#include "columns/form.h"
#include "columns/kernels.h"
#include "evaluate/operators.h"

#include <array>
#include <cmath>
#include <limits>
#include <vector>

namespace {

using namespace groundrule;
using columns::Call;
using columns::Kernel;
using columns::Kernels;

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

std::vector<Cell> cells() {
    std::vector<Cell> out = {{}};
    for (const double value : {-40.5, -1.0, -0.0, 0.0, 0.25, 1.0, 3.0, 1e6}) {
        for (const Bound bound : {Bound::exact, Bound::at_least, Bound::at_most})
            out.push_back({value, bound});
    }
    return out;
}

// The two buffers of many numbers, aligned and padded as the loops want them.
struct Numbers {
    explicit Numbers(std::size_t count) : room((count + 63) / 64 * 64 + 8, nan), more(room) {}
    static double *aligned(std::vector<double> &v) {
        const auto at = reinterpret_cast<std::uintptr_t>(v.data());
        return v.data() + (64 - at % 64) % 64 / sizeof(double);
    }
    double *low() { return aligned(room); }
    double *high() { return aligned(more); }
    void put(std::size_t row, const Cell &c) {
        low()[row] = evaluate::has_low(c) ? c.value : nan;
        high()[row] = evaluate::has_high(c) ? c.value : nan;
    }
    Cell at(std::size_t row) {
        if (std::isnan(low()[row]))
            return std::isnan(high()[row]) ? Cell{} : Cell{high()[row], Bound::at_most};
        if (std::isnan(high()[row]))
            return {low()[row], Bound::at_least};
        CHECK(low()[row] == high()[row]);
        return exactly(low()[row]);
    }
    std::vector<double> room;
    std::vector<double> more;
};

// Every pair of numbers, in rows.
struct Pairs {
    Pairs() : all(cells()), rows(all.size() * all.size()), a(rows), b(rows), out(rows) {
        for (std::size_t row = 0; row < rows; ++row) {
            a.put(row, first(row));
            b.put(row, second(row));
        }
    }
    const Cell &first(std::size_t row) const { return all[row / all.size()]; }
    const Cell &second(std::size_t row) const { return all[row % all.size()]; }

    void run(Kernel kernel, std::array<const double *, 4> in, double *to) const {
        Call call;
        call.out = to;
        for (std::size_t k = 0; k < in.size(); ++k)
            call.in[k] = in[k];
        kernel(call, rows);
    }

    template <typename Scalar>
    void expect(Scalar scalar) {
        for (std::size_t row = 0; row < rows; ++row) {
            const Cell wanted = scalar(first(row), second(row));
            const Cell got = out.at(row);
            INFO(first(row).value << " bound " << static_cast<int>(first(row).bound) << ", "
                                  << second(row).value << " bound "
                                  << static_cast<int>(second(row).bound));
            CHECK(got.bound == wanted.bound);
            if (wanted.known())
                CHECK(got.value == wanted.value);
        }
    }

    std::vector<Cell> all;
    std::size_t rows;
    Numbers a;
    Numbers b;
    Numbers out;
};

} // namespace

TEST_CASE("columns: the larger and the smaller of two bounds are those of the scalar operators") {
    Pairs p;
    for (const Kernels *set : columns::kernel_sets()) {
        p.run(set->most_known, {p.a.low(), p.b.low()}, p.out.low());
        p.run(set->larger_exact, {p.a.high(), p.a.low(), p.b.high(), p.b.low()}, p.out.high());
        p.expect(evaluate::larger);
        p.run(set->smaller_exact, {p.a.low(), p.a.high(), p.b.low(), p.b.high()}, p.out.low());
        p.run(set->least_known, {p.a.high(), p.b.high()}, p.out.high());
        p.expect(evaluate::smaller);
    }
}

TEST_CASE("columns: bounds pass through a product and a quotient as in the scalar operators") {
    Pairs p;
    for (const Kernels *set : columns::kernel_sets()) {
        p.run(set->multiply_bound, {p.a.low(), p.a.high(), p.b.low(), p.b.high()}, p.out.low());
        p.run(set->multiply_bound, {p.a.high(), p.a.low(), p.b.high(), p.b.low()}, p.out.high());
        p.expect(evaluate::multiply);
        p.run(set->divide_bound, {p.a.low(), p.a.high(), p.b.low(), p.b.high()}, p.out.low());
        p.run(set->divide_bound, {p.a.high(), p.a.low(), p.b.high(), p.b.low()}, p.out.high());
        p.expect(evaluate::divide);
    }
}

TEST_CASE("columns: of bounds only what is known exactly is left where a bound will not do") {
    Pairs p;
    for (const Kernels *set : columns::kernel_sets()) {
        p.run(set->both_known, {p.a.low(), p.a.high()}, p.out.low());
        p.run(set->both_known, {p.a.high(), p.a.low()}, p.out.high());
        p.expect([](const Cell &a, const Cell &) { return a.exact() ? a : Cell{}; });
    }
}

TEST_CASE("columns: a comparison of bounds holds where it must and fails where it can't hold") {
    Pairs p;
    for (const Kernels *set : columns::kernel_sets()) {
        std::vector<std::uint8_t> bytes(4 * (p.rows + 128));
        std::uint8_t *from =
            bytes.data() + (64 - reinterpret_cast<std::uintptr_t>(bytes.data()) % 64) % 64;
        const std::size_t room = (p.rows + 63) / 64 * 64;
        const auto compare = [&](Kernel kernel, const double *x, const double *y,
                                 std::uint8_t *to) {
            Call call;
            call.out = to;
            call.in[0] = x;
            call.in[1] = y;
            call.x = 1e6;
            kernel(call, p.rows);
        };
        for (const bool more : {false, true}) {
            const Kernel kernel = more ? set->grid_more : set->grid_at_least;
            compare(kernel, p.a.low(), p.b.high(), from);
            compare(kernel, p.a.high(), p.b.low(), from + room);
            Call call;
            call.out = from + 2 * room;
            call.in[0] = from;
            call.in[1] = from + room;
            set->decide(call, p.rows);
            for (std::size_t row = 0; row < p.rows; ++row) {
                const Truth wanted = more ? evaluate::more_than(p.first(row), p.second(row), 1e6)
                                          : evaluate::at_least(p.first(row), p.second(row), 1e6);
                CHECK(from[2 * room + row] == columns::byte_of(wanted));
            }
        }
    }
}
