// The algebra of dimensions and the grid on which values are compared.

#include "quantity/dimension.h"

#include <algorithm>
#include <random>
#include <vector>

#include "catch.h"

namespace {

using namespace groundrule;
using namespace groundrule::dimension;

const std::vector<Dimension> named_ones = {
    number, current,       voltage, power, resistance, length, area, volume, temperature_difference,
    torque, conductor_area};

} // namespace

TEST_CASE("amperes times volts are power, volts over amperes resistance, lengths make areas") {
    CHECK(product(current, voltage) == power);
    CHECK(quotient(voltage, current) == resistance);
    CHECK(quotient(power, voltage) == current);
    CHECK(product(current, resistance) == voltage);
    CHECK(product(length, length) == area);
    CHECK(product(area, length) == volume);
    CHECK(quotient(volume, area) == length);
}

TEST_CASE("multiplying dimensions commutes, associates and is undone by dividing") {
    for (const Dimension &a : named_ones) {
        CHECK(product(a, number) == a);
        CHECK(quotient(a, a) == number);
        for (const Dimension &b : named_ones) {
            CHECK(product(a, b) == product(b, a));
            CHECK(quotient(product(a, b), b) == a);
            for (const Dimension &c : named_ones)
                CHECK(product(product(a, b), c) == product(a, product(b, c)));
        }
    }
}

TEST_CASE("what is made of a point of temperature is told from what is made of a difference") {
    for (const Dimension &d : {number, current}) {
        CHECK(product(temperature, d).point);
        CHECK(product(d, temperature).point);
        CHECK(quotient(temperature, d).point);
        CHECK_FALSE(product(temperature_difference, d).point);
    }
}

TEST_CASE("every named dimension is found by its name") {
    for (const Dimension &d : named_ones)
        CHECK(named(name_of(d)) == d);
    CHECK(named("temperature") == temperature);
    CHECK_FALSE(named("ampere").has_value());
}

TEST_CASE("a product without a name is told by its units") {
    CHECK(name_of(product(current, length)) == "A·mm");
    CHECK(name_of(quotient(number, current)) == "A^-1");
}

TEST_CASE("grid: 50 A × 1.16 is 58 A, and 40 A × 125 % is 50 A") {
    const double a = grid_scale(current);
    CHECK(50 * 1.16 != 58.0); // what raw doubles miss
    CHECK(on_grid(50 * 1.16, a) == on_grid(58, a));
    CHECK(on_grid(40 * (125.0 / 100), a) == on_grid(50, a));
    CHECK(on_grid(0.1F, a) == on_grid(0.1, a));
}

TEST_CASE("grid: rounding is monotone and idempotent over random pairs") {
    std::mt19937_64 random(7);
    for (const Dimension &d : named_ones) {
        const double scale = grid_scale(d);
        std::uniform_real_distribution<> far(-1e4, 1e4);
        std::uniform_real_distribution<> near(-3 / scale, 3 / scale);
        for (int i = 0; i < 3000; ++i) {
            const double x = far(random);
            const double y = i % 2 == 0 ? far(random) : x + near(random);
            const auto [low, high] = std::minmax(x, y);
            REQUIRE(on_grid(low, scale) <= on_grid(high, scale));
            REQUIRE(snapped(low, scale) <= snapped(high, scale));
            REQUIRE(snapped(snapped(x, scale), scale) == snapped(x, scale));
            REQUIRE(on_grid(snapped(x, scale), scale) == on_grid(x, scale));
        }
    }
}

TEST_CASE("grid: equality is transitive, unlike a relative tolerance") {
    const double scale = grid_scale(current);
    std::vector<double> values;
    for (int i = 0; i < 60; ++i)
        values.push_back(16 + i * 1e-7);
    for (const double a : values) {
        for (const double b : values) {
            for (const double c : values) {
                const bool ab = on_grid(a, scale) == on_grid(b, scale);
                const bool bc = on_grid(b, scale) == on_grid(c, scale);
                if (ab && bc)
                    REQUIRE(on_grid(a, scale) == on_grid(c, scale));
            }
        }
    }
}

TEST_CASE("grid: what a double no longer resolves does not fit") {
    CHECK(fits_grid(9007199254.0, grid_scale(current)));
    CHECK_FALSE(fits_grid(9007199255.0, grid_scale(current)));
    CHECK_FALSE(fits_grid(1.0 / 0.0, grid_scale(power)));
    CHECK_FALSE(fits_grid(std::nan(""), grid_scale(power)));
}
