// Conductor sizes are ordered by thickness and named as the trade names them.

#include "quantity/conductor_size.h"

#include <string>
#include <vector>

#include "catch.h"

using namespace groundrule;

TEST_CASE("a thicker conductor compares as larger, from 18 AWG to 2000 kcmil") {
    const std::vector<std::string> thin_to_thick = {
        "18 AWG",    "16 AWG",     "14 AWG",     "12 AWG",     "10 AWG",     "8 AWG",
        "6 AWG",     "4 AWG",      "3 AWG",      "2 AWG",      "1 AWG",      "1/0 AWG",
        "2/0 AWG",   "3/0 AWG",    "4/0 AWG",    "250 kcmil",  "300 kcmil",  "350 kcmil",
        "400 kcmil", "500 kcmil",  "600 kcmil",  "700 kcmil",  "750 kcmil",  "800 kcmil",
        "900 kcmil", "1000 kcmil", "1250 kcmil", "1500 kcmil", "1750 kcmil", "2000 kcmil"};
    REQUIRE(conductor_size_count() == static_cast<int>(thin_to_thick.size()));
    for (std::size_t i = 0; i < thin_to_thick.size(); ++i) {
        CHECK(conductor_size_named(thin_to_thick[i]) == static_cast<int>(i));
        CHECK(conductor_size_name(static_cast<int>(i)) == thin_to_thick[i]);
    }
}

TEST_CASE("only sizes that are made have a name") {
    for (const char *name :
         {"", "0 AWG", "5 AWG", "1/0", "1/0 kcmil", "14AWG", "14 awg", "14  AWG"})
        CHECK_FALSE(conductor_size_named(name).has_value());
}
