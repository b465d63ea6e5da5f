// A key found without a search stands where the search finds it.

#include "evaluate/dense.h"
#include "evaluate/lookup.h"

#include "catch.h"

namespace {

using namespace groundrule;
using program::TableKey;

constexpr double grid = 1e6;

TableKey key_of(TableKey::Match match, const std::vector<double> &values) {
    TableKey key;
    key.match = match;
    key.scale = grid;
    for (const double v : values)
        key.steps.push_back(on_grid(v, grid));
    return key;
}

} // namespace

TEST_CASE("dense keys: every value is found where the search finds it, whatever the keys are") {
    const std::vector<std::vector<double>> lists = {
        {10, 20, 30}, {0},        {0, 1, 2, 3}, {0, 1024},       {1025},
        {-5, 10, 40}, {15, 2000}, {0.5, 1.5},   {10, 20.000001}, {},
    };
    const std::vector<double> values = {
        -1e9, -6,  -5, -1,        -0.5, -1e-9,      0,          1e-9, 0.2,  0.5,       1,    2,
        3,    3.5, 4,  9.9999996, 10,   10.0000004, 10.0000006, 15,   20,   20.000001, 25,   30,
        30.5, 31,  40, 41,        1023, 1024,       1024.5,     1025, 1026, 2000,      2001, 1e9};
    for (const auto match :
         {TableKey::Match::exact, TableKey::Match::at_most, TableKey::Match::at_least}) {
        for (const std::vector<double> &list : lists) {
            const TableKey key = key_of(match, list);
            const evaluate::DenseKey dense(key);
            CHECK(dense.size() == static_cast<std::int64_t>(list.size()));
            for (const double v : values) {
                const auto searched = evaluate::position(key, v);
                INFO("match " << static_cast<int>(match) << ", " << list.size() << " keys from "
                              << (list.empty() ? 0 : list.front()) << ", value " << v);
                CHECK(dense.position(exactly(v)) ==
                      (searched ? static_cast<std::int32_t>(*searched) : -1));
                CHECK(dense.position({v, Bound::at_least}) == -1);
                CHECK(dense.position({v, Bound::at_most}) == -1);
            }
            CHECK(dense.position({}) == -1);
        }
    }
}
