// Single loops on every kind of machine that this one can be, against what they mean row by row.
#include "catch.h"

#include "columns/form.h"
#include "columns/kernels.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <vector>

namespace {

using namespace groundrule;
using namespace groundrule::columns;

// Room for rows as the loops want it: aligned to 64 bytes, padded to 64 rows.
template <typename T>
struct Rows {
    explicit Rows(std::size_t count) : room(count + 128 + 64 / sizeof(T)) {}
    T *data() {
        const auto at = reinterpret_cast<std::uintptr_t>(room.data());
        return room.data() + (64 - at % 64) % 64 / sizeof(T);
    }
    std::vector<T> room;
};

} // namespace

TEST_CASE("columns: verdicts are the same wherever they are written, and nothing else is") {
    constexpr std::size_t rows = 200;
    static constexpr std::uint8_t wanted[3][3] = {{2, 2, 2}, {3, 3, 0}, {1, 3, 0}};
    Rows<std::uint8_t> applies(rows);
    Rows<std::uint8_t> met(rows);
    for (std::size_t i = 0; i < rows; ++i) {
        applies.data()[i] = static_cast<std::uint8_t>(i % 3);
        met.data()[i] = static_cast<std::uint8_t>(i / 3 % 3);
    }
    for (const Kernels *set : kernel_sets()) {
        for (const int past_cache : {0, 1}) {
            for (const std::size_t first : {0u, 1u, 32u, 64u}) {
                for (const std::size_t count : {0u, 1u, 31u, 32u, 63u, 64u, 65u, 130u, 200u}) {
                    Rows<std::uint8_t> out(rows + 128);
                    std::fill(out.room.begin(), out.room.end(), std::uint8_t{99});
                    Call call;
                    call.in[0] = applies.data();
                    call.in[1] = met.data();
                    call.out = out.data() + first;
                    call.a = past_cache;
                    set->verdict(call, count);
                    bool right = true;
                    for (std::size_t i = 0; i < first + count + 64; ++i) {
                        const std::size_t row = i - first;
                        const bool within = i >= first && row < count;
                        right =
                            right && out.data()[i] == (within ? wanted[row % 3][row / 3 % 3] : 99);
                    }
                    INFO(first << ", " << count << ", past the cache " << past_cache);
                    CHECK(right);
                }
            }
        }
    }
}

TEST_CASE("columns: truths enter from bits, and what is not told as what is assumed") {
    constexpr std::size_t rows = 157;
    std::mt19937 random(7);
    std::vector<std::uint8_t> values(rows / 8 + 1);
    std::vector<std::uint8_t> told(rows / 8 + 1);
    for (std::size_t i = 0; i < values.size(); ++i) {
        values[i] = static_cast<std::uint8_t>(random());
        told[i] = static_cast<std::uint8_t>(random());
    }
    for (const Kernels *set : kernel_sets()) {
        for (const std::uint8_t fill : {no, unknown, yes}) {
            Rows<std::uint8_t> out(rows);
            Entry entry;
            entry.fill = fill;
            Call call;
            call.in[0] = values.data();
            call.in[1] = told.data();
            call.more = &entry;
            call.out = out.data();
            set->enter_bits(call, rows);
            for (std::size_t i = 0; i < rows; ++i) {
                const bool is = (values[i / 8] >> i % 8 & 1) != 0;
                const bool known = (told[i / 8] >> i % 8 & 1) != 0;
                CHECK(out.data()[i] == (known ? (is ? yes : no) : fill));
            }
        }
    }
}

TEST_CASE("columns: whole numbers find their place among a few steps") {
    const std::vector<std::int16_t> steps = {-300, 15, 20, 400, 32767};
    std::vector<std::uint8_t> table(64, no_code);
    for (std::size_t k = 0; k < steps.size(); ++k) {
        table[2 * k] = static_cast<std::uint8_t>(steps[k] & 0xff);
        table[2 * k + 1] = static_cast<std::uint8_t>(steps[k] >> 8 & 0xff);
        table[31 + k] = static_cast<std::uint8_t>(k + 1);
    }
    table[30] = 0;
    std::vector<std::int16_t> numbers = {no_whole, -32767, -301, 0, 32766};
    for (const std::int16_t step : steps) {
        numbers.push_back(static_cast<std::int16_t>(step - 1));
        numbers.push_back(step);
    }
    Rows<std::int16_t> in(numbers.size());
    std::copy(numbers.begin(), numbers.end(), in.data());
    for (const Kernels *set : kernel_sets()) {
        Rows<std::uint8_t> out(numbers.size());
        Call call;
        call.in[0] = in.data();
        call.out = out.data();
        call.table = table.data();
        call.a = static_cast<std::int32_t>(steps.size());
        set->count_wholes(call, numbers.size());
        for (std::size_t i = 0; i < numbers.size(); ++i) {
            const auto reached = std::count_if(
                steps.begin(), steps.end(), [&](std::int16_t step) { return numbers[i] >= step; });
            INFO(numbers[i]);
            CHECK(out.data()[i] == (numbers[i] == no_whole ? no_code : reached));
        }
    }
}

TEST_CASE("columns: numbers find their place among the standard ratings") {
    // Each bucket of 5 holds one threshold at most.
    const std::vector<double> thresholds = {15, 20, 25, 30, 35, 40, 45, 50, 60, 200, 601, 1285};
    constexpr double infinity = std::numeric_limits<double>::infinity();
    std::vector<double> padded = thresholds;
    padded.resize(32, infinity);
    std::vector<std::uint8_t> bytes(320, no_code);
    for (std::size_t bucket = 0; bucket < 256; ++bucket)
        bytes[bucket] = static_cast<std::uint8_t>(
            std::count_if(thresholds.begin(), thresholds.end(),
                          [&](double t) { return t < 15 + 5 * static_cast<double>(bucket); }));
    for (std::size_t k = 0; k <= thresholds.size(); ++k)
        bytes[256 + k] = static_cast<std::uint8_t>(100 - k);
    std::vector<double> numbers = {std::numeric_limits<double>::quiet_NaN(), -1e300, 0, 1e300};
    for (const double t : thresholds) {
        numbers.push_back(std::nextafter(t, -infinity));
        numbers.push_back(t);
        numbers.push_back(t + 2.5);
    }
    Rows<double> in(numbers.size());
    std::copy(numbers.begin(), numbers.end(), in.data());
    for (const Kernels *set : kernel_sets()) {
        Rows<std::uint8_t> out(numbers.size());
        Call call;
        call.in[0] = in.data();
        call.out = out.data();
        call.table = padded.data();
        call.more = bytes.data();
        call.x = 15;
        call.y = 0.2;
        call.a = 255;
        set->search_short(call, numbers.size());
        for (std::size_t i = 0; i < numbers.size(); ++i) {
            const auto reached = std::count_if(thresholds.begin(), thresholds.end(),
                                               [&](double t) { return numbers[i] >= t; });
            INFO(numbers[i]);
            CHECK(out.data()[i] == (std::isnan(numbers[i]) ? no_code : 100 - reached));
        }
    }
}
