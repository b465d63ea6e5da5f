// Dates are day numbers.

#include "quantity/date.h"

#include "catch.h"

using namespace groundrule;

TEST_CASE("dates count days, and their text is read again as the same day") {
    CHECK(date_from_text("1970-01-01") == 0);
    CHECK(date_from_text("1970-01-02") == 1);
    CHECK(*date_from_text("2020-03-01") - *date_from_text("2020-02-28") == 2);
    CHECK(*date_from_text("2021-03-01") - *date_from_text("2021-02-28") == 1);
    for (int day = -40000; day < 60000; day += 37)
        REQUIRE(date_from_text(date_text(day)) == day);
}

TEST_CASE("text that is no day of the calendar is no date") {
    for (const char *text :
         {"", "2021-7-1", "2021-07-1x", "2021/07/01", "2021-00-10", "2021-04-31", "2100-02-29",
          "-021-07-01", "2021-+7-01", "2021-07-01 ", "20x1-07-01", "2021-0x-01", "2021-07-0x"})
        CHECK_FALSE(date_from_text(text).has_value());
}
