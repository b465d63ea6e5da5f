// Values with units: what is read, what is refused, and that what is written is read again.

#include "quantity/literal.h"

#include "quantity/conductor_size.h"
#include "quantity/date.h"

#include <cmath>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "catch.h"

namespace {

using namespace groundrule;

struct Reading {
    std::string text;
    Dimension dimension;
    double value;
};

double step(double value, const Dimension &d) {
    return on_grid(value, dimension::grid_scale(d));
}

LiteralFault fault_of(const std::string &text) {
    return read_literal(text).fault;
}

} // namespace

TEST_CASE("a literal is read in the base unit of its dimension, in every unit") {
    const std::vector<Reading> readings = {
        {"30 A", dimension::current, 30},
        {"30A", dimension::current, 30},
        {"30\tA", dimension::current, 30},
        {"500 mA", dimension::current, 0.5},
        {"10 kA", dimension::current, 10000},
        {"240 V", dimension::voltage, 240},
        {"1.5 kV", dimension::voltage, 1500},
        {"9600 VA", dimension::power, 9600},
        {"9.6 kVA", dimension::power, 9600},
        {"9600 W", dimension::power, 9600},
        {"9.6 kW", dimension::power, 9600},
        {"0.2 ohm", dimension::resistance, 0.2},
        {"0.2 Ω", dimension::resistance, 0.2},
        {"1 in", dimension::length, 25.4},
        {"6 ft", dimension::length, 1828.8},
        {"4 ft 6 in", dimension::length, 1371.6},
        {"-4 ft 6 in", dimension::length, -1371.6},
        {"1 ft 1/2 in", dimension::length, 317.5},
        {"1 ft 2 1/4 in", dimension::length, 361.95},
        {"1 1/4 in", dimension::length, 31.75},
        {"1/16 in", dimension::length, 1.5875},
        {"1 1/2 ft", dimension::length, 457.2},
        {"50 mm", dimension::length, 50},
        {"5 cm", dimension::length, 50},
        {"1.5 m", dimension::length, 1500},
        {"0.5 in²", dimension::area, 322.58},
        {"0.5 in2", dimension::area, 322.58},
        {"1 ft²", dimension::area, 92903.04},
        {"1 ft2", dimension::area, 92903.04},
        {"50 mm²", dimension::area, 50},
        {"50 mm2", dimension::area, 50},
        {"2 in³", dimension::volume, 32774.128},
        {"2 in3", dimension::volume, 32774.128},
        {"2 cm³", dimension::volume, 2000},
        {"2 cm3", dimension::volume, 2000},
        {"16510 cmil", dimension::conductor_area, 16510},
        {"35 lbf-in", dimension::torque, 35},
        {"3 lbf-ft", dimension::torque, 36},
        {"30 °C", dimension::temperature, 30},
        {"30 C", dimension::temperature, 30},
        {"-10 °C", dimension::temperature, -10},
        {"86 °F", dimension::temperature, 30},
        {"-40 F", dimension::temperature, -40},
        {"33 °C rise", dimension::temperature_difference, 33},
        {"54 °F rise", dimension::temperature_difference, 30},
        {"125 %", dimension::number, 1.25},
        {"80%", dimension::number, 0.8},
        {"3", dimension::number, 3},
        {"0.8", dimension::number, 0.8},
    };
    for (const Reading &r : readings) {
        INFO(r.text);
        const LiteralResult got = read_literal(r.text);
        CHECK(got.fault == LiteralFault::none);
        CHECK(got.literal.kind == ValueKind::quantity);
        CHECK(got.literal.dimension == r.dimension);
        CHECK(got.literal.size == r.text.size());
        CHECK(step(got.literal.value, r.dimension) == step(r.value, r.dimension));
    }
}

TEST_CASE("one newton metre is 8.850746 pound-force inches") {
    const LiteralResult r = read_literal("1 N-m");
    CHECK(r.fault == LiteralFault::none);
    CHECK(step(r.literal.value, dimension::torque) == 8850746);
}

TEST_CASE("a temperature without rise is a point, with rise a difference") {
    CHECK(read_literal("60 °F rise").literal.dimension == dimension::temperature_difference);
    CHECK(read_literal("60 °F").literal.dimension == dimension::temperature);
    CHECK_FALSE(dimension::temperature == dimension::temperature_difference);
}

TEST_CASE("conductor sizes and dates are values of their own kind") {
    const LiteralResult size = read_literal("1/0 AWG");
    CHECK(size.literal.kind == ValueKind::conductor_size);
    CHECK(size.literal.value == *conductor_size_named("1/0 AWG"));
    CHECK(read_literal("250 kcmil").literal.kind == ValueKind::conductor_size);
    const LiteralResult date = read_literal("2021-07-01");
    CHECK(date.literal.kind == ValueKind::date);
    CHECK(date_text(static_cast<int>(date.literal.value)) == "2021-07-01");
}

TEST_CASE("an unknown unit is told by name, with the number that stands before it") {
    const LiteralResult r = read_literal("30 amps");
    CHECK(r.fault == LiteralFault::unknown_unit);
    CHECK(r.word == "amps");
    CHECK(r.literal.value == 30);
    CHECK(fault_of("30 a") == LiteralFault::unknown_unit);
    CHECK(fault_of("30 Va") == LiteralFault::unknown_unit);
    CHECK(fault_of("30 °") == LiteralFault::unknown_unit);
}

TEST_CASE("a fraction stands only before a length or a conductor size") {
    CHECK(fault_of("1/2 A") == LiteralFault::unknown_unit);
    CHECK(fault_of("1/2") == LiteralFault::unknown_unit);
    CHECK(fault_of("1 1/2 V") == LiteralFault::unknown_unit);
    CHECK(fault_of("125/250 V") == LiteralFault::unknown_unit);
    CHECK(fault_of("1/2 °C") == LiteralFault::unknown_unit);
}

TEST_CASE("a fraction over zero is no length") {
    CHECK(fault_of("3/0 in") != LiteralFault::none);
    CHECK(read_literal("1 1/0 in").literal.size < std::string("1 1/0 in").size());
}

TEST_CASE("sizes that are not made and days that do not exist are refused") {
    CHECK(fault_of("7 AWG") == LiteralFault::no_such_size);
    CHECK(fault_of("5/0 AWG") == LiteralFault::no_such_size);
    CHECK(fault_of("251 kcmil") == LiteralFault::no_such_size);
    CHECK(fault_of("08 AWG") == LiteralFault::no_such_size);
    CHECK(fault_of("2021-02-29") == LiteralFault::bad_date);
    CHECK(fault_of("2021-13-01") == LiteralFault::bad_date);
    CHECK(fault_of("2021-07-011") == LiteralFault::bad_date);
    CHECK(read_literal("2021-010 °C").word == "2021-010"); // never half of a sign
    CHECK(fault_of("2020-02-29") == LiteralFault::none);
}

TEST_CASE("a value beyond what its grid resolves is too large") {
    CHECK(fault_of("9007199254 A") == LiteralFault::none);
    CHECK(fault_of("9007199255 A") == LiteralFault::too_large);
    CHECK(fault_of("9007199255 °C") == LiteralFault::too_large);
    CHECK(fault_of("99999999999 °F rise") == LiteralFault::too_large);
    CHECK(fault_of("9007199") == LiteralFault::none);
    CHECK(fault_of("9007200") == LiteralFault::too_large);
    CHECK(fault_of("900720000 %") == LiteralFault::too_large);
    CHECK(fault_of(std::string(400, '9') + " A") == LiteralFault::too_large);
    CHECK(fault_of("-" + std::string(400, '9')) == LiteralFault::too_large);
    const std::string endless(400, '9'); // no double is so large, none so small as one over it
    CHECK(fault_of("1/" + endless + " in") != LiteralFault::none);
    CHECK(fault_of("0." + std::string(400, '0') + "1") != LiteralFault::none);
    CHECK(read_literal("1 1/" + endless + " in").literal.size == 1);
}

TEST_CASE("only four digits and a stroke with a digit behind it begin a date") {
    CHECK(fault_of("word-12345") == LiteralFault::not_a_value);
    CHECK(read_literal("1234-other").literal.size == 4);
    CHECK(fault_of("1234-56789") == LiteralFault::bad_date);
}

TEST_CASE("text without a number is no value") {
    for (const char *text : {"", " ", "A", "-", "- 3 A", ".5 A", "°C", "/2 in"}) {
        INFO(text);
        CHECK(fault_of(text) == LiteralFault::not_a_value);
    }
}

TEST_CASE("a literal ends where the next word begins") {
    CHECK(read_literal("30 A and").literal.size == 4);
    CHECK(read_literal("4 ft 6 A").literal.size == 4);
    CHECK(read_literal("4 ft 6 in long").literal.size == 9);
    CHECK(read_literal("3)").literal.size == 1);
    CHECK(read_literal("3.x").literal.size == 1);
    CHECK(read_literal("4 ft 1/0 AWG").literal.size == 4);
    for (const char *text : {"1/x in", "1 2 in", "1 2/x in"})
        CHECK(read_literal(text).literal.size == 1);
    for (const char *text : {"3 in-", "3 in-4", "3 in -x"})
        CHECK(read_literal(text).literal.size == 4);
    for (const char *text : {"3-x", "3 -x", "3 _x"})
        CHECK(read_literal(text).literal.size == 1);
    CHECK(fault_of("3 in-x") == LiteralFault::unknown_unit);
    CHECK(fault_of("3 in_x") == LiteralFault::unknown_unit);
}

TEST_CASE("a carriage return parts a number from its unit as a blank does") {
    CHECK(read_literal("30\rA").literal.dimension == dimension::current);
    CHECK(fault_of("0\r  entry") == LiteralFault::unknown_unit);
    CHECK(read_literal("0\r\nentry").literal.size == 1);
}

TEST_CASE("values are written as the trade writes them") {
    const std::vector<std::pair<std::string, std::string>> pairs = {{"30 A", "30 A"},
                                                                    {"0.5 A", "0.5 A"},
                                                                    {"9.6 kVA", "9600 VA"},
                                                                    {"23 in", "23 in"},
                                                                    {"24 in", "2 ft"},
                                                                    {"54 in", "4 ft 6 in"},
                                                                    {"1 1/4 in", "1 1/4 in"},
                                                                    {"1/16 in", "1/16 in"},
                                                                    {"0 in", "0 in"},
                                                                    {"2 ft 1/2 in", "2 ft 1/2 in"},
                                                                    {"100 mm", "100 mm"},
                                                                    {"20.5 in³", "20.5 in³"},
                                                                    {"0.5 in2", "0.5 in²"},
                                                                    {"86 °F", "30 °C"},
                                                                    {"-10 °C", "-10 °C"},
                                                                    {"33 °C rise", "33 °C rise"},
                                                                    {"125 %", "1.25"},
                                                                    {"0.2 ohm", "0.2 ohm"},
                                                                    {"16510 cmil", "16510 cmil"},
                                                                    {"3 lbf-ft", "36 lbf-in"},
                                                                    {"-0.0 °C", "0 °C"}};
    for (const auto &[in, out] : pairs) {
        INFO(in);
        const LiteralResult r = read_literal(in);
        CHECK(format_quantity(r.literal.value, r.literal.dimension) == out);
    }
}

TEST_CASE("a length is written in sixteenths only if it is one on the grid") {
    CHECK(format_quantity(25.4, dimension::length) == "1 in");
    CHECK(format_quantity(25.40001, dimension::length) == "25.40001 mm");
    CHECK(format_quantity(25.399999, dimension::length) == "25.399999 mm");
    CHECK(format_quantity(25.4 + 1e-8, dimension::length) == "1 in");
    CHECK(format_quantity(-25.4, dimension::length) == "-25.4 mm");
    // Beyond the grid there are no sixteenths.
    CHECK(format_quantity(25.4 / 16 * 2199023255552, dimension::length).ends_with(" mm"));
}

TEST_CASE("a quantity without a unit of its own is written in those that it is made of") {
    CHECK(format_quantity(5, dimension::product(dimension::current, dimension::length)) ==
          "5 A·mm");
}

TEST_CASE("what is written is read again as the same grid step") {
    const std::vector<Dimension> all = {
        dimension::number,         dimension::current,
        dimension::voltage,        dimension::power,
        dimension::resistance,     dimension::length,
        dimension::area,           dimension::volume,
        dimension::temperature,    dimension::temperature_difference,
        dimension::conductor_area, dimension::torque};
    std::mt19937_64 random(20240601);
    for (const Dimension &d : all) {
        const double scale = dimension::grid_scale(d);
        for (int i = 0; i < 2000; ++i) {
            // From single steps to thousands of units.
            const double width = std::pow(10.0, static_cast<double>(random() % 10));
            double value = std::floor(std::uniform_real_distribution<>(0, width)(random)) / scale;
            if (d.kelvin != 0 && i % 2 == 0)
                value = -value;
            const std::string text = format_quantity(value, d);
            INFO(dimension::name_of(d) << " " << value << " " << text);
            const LiteralResult r = read_literal(text);
            REQUIRE(r.fault == LiteralFault::none);
            REQUIRE(r.literal.size == text.size());
            REQUIRE(r.literal.dimension == d);
            REQUIRE(step(r.literal.value, d) == step(value, d));
        }
    }
}

TEST_CASE("units_of names each unit once and only real units") {
    CHECK(units_of(dimension::current) == "A, mA, kA");
    CHECK(units_of(dimension::length) == "in, ft, mm, cm, m");
    CHECK(units_of(dimension::area) == "in², ft², mm²");
    CHECK(units_of(dimension::temperature) == "°C, °F");
}

TEST_CASE("a unit spelled out, in other letters or with a slip is answered with the unit") {
    const std::vector<std::pair<std::string, std::string>> pairs = {
        {"Amps", "A"},         {"inches", "in"},   {"kva", "kVA"}, {"awg", "AWG"}, {"MM", "mm"},
        {"lbf-inn", "lbf-in"}, {"kcmli", "kcmil"}, {"xy", ""},     {"bananas", ""}};
    for (const auto &[word, unit] : pairs) {
        INFO(word);
        CHECK(nearest_unit(word) == unit);
    }
}
