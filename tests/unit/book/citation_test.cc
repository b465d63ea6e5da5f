// The order of clause numbers is that of a code book.

#include "book/model.h"

#include <algorithm>
#include <random>

#include "catch.h"

using groundrule::book::citation_less;

namespace {

const std::vector<std::string> in_order = {"90.2",
                                           "110.14(C)",
                                           "210.8",
                                           "210.8(A)",
                                           "210.8(A)(2)",
                                           "210.8(A)(10)",
                                           "210.8(B)",
                                           "210.19",
                                           "220.42",
                                           "310.9",
                                           "310.10",
                                           "310.15(B)(2)",
                                           "310.15(B)(16)",
                                           "310.16",
                                           "1000.1",
                                           "",
                                           "NEMA WD 6",
                                           "NEMA WD A",
                                           "cable designation"};

} // namespace

TEST_CASE("310.10 stands after 310.9 and is not 310.1") {
    CHECK(citation_less("310.9", "310.10"));
    CHECK(citation_less("310.1", "310.10"));
    CHECK_FALSE(citation_less("310.10", "310.1"));
}

TEST_CASE("numbers as numbers, parts below their clause, names last") {
    std::vector<std::string> shuffled = in_order;
    std::mt19937 random(3);
    for (int i = 0; i < 20; ++i) {
        std::shuffle(shuffled.begin(), shuffled.end(), random);
        std::sort(shuffled.begin(), shuffled.end(), citation_less);
        CHECK(shuffled == in_order);
    }
}

TEST_CASE("the order is strict: no citation stands before itself, and never both ways round") {
    for (const std::string &a : in_order) {
        CHECK_FALSE(citation_less(a, a));
        for (const std::string &b : in_order)
            CHECK_FALSE((citation_less(a, b) && citation_less(b, a)));
    }
}

TEST_CASE("numbers of many digits are compared whole") {
    CHECK(citation_less("1.1234567891", "1.1234567892"));
    CHECK(citation_less("1.999999999", "1.1000000000"));
}
