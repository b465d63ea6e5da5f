// Lines and places as editors count them, and which bytes are UTF-8.
#include "text/source_text.h"

#include "catch.h"

using groundrule::first_bad_utf8;
using groundrule::Place;
using groundrule::SourceText;

TEST_CASE("a line is what stands before its end, of either kind, and other numbers have none") {
    const SourceText text("a.rules", "one\r\n\r\n\ntwo\rthree\n");
    CHECK(text.line(1) == "one");
    CHECK(text.line(2).empty());
    CHECK(text.line(3).empty());
    CHECK(text.line(4) == "two\rthree");
    CHECK(text.line(5).empty());
    CHECK(text.line(6).empty());
    CHECK(text.line(0).empty());
}

TEST_CASE("a column counts characters, and a place behind the end is the end") {
    const SourceText text("a.rules", "a\n30 °C x");
    const auto is = [&](std::uint32_t offset, Place place) {
        const Place got = text.place(offset);
        return got.line == place.line && got.column == place.column;
    };
    CHECK(is(0, {1, 1}));
    CHECK(is(1, {1, 2}));
    CHECK(is(2, {2, 1}));
    CHECK(is(7, {2, 5})); // behind the two bytes of °
    CHECK(is(100, {2, 8}));
}

// The Unicode Standard, table 3-7: well-formed UTF-8 byte sequences. Of each row the first and last
// sequence are well formed, and those beside them are not.
TEST_CASE("UTF-8 is what the Unicode Standard lists, and nothing beside it") {
    for (const char *good : {"",
                             "\x01",
                             "\x7F",
                             "\xC2\x80",
                             "\xDF\xBF",
                             "\xE0\xA0\x80",
                             "\xE0\xBF\xBF",
                             "\xE1\x80\x80",
                             "\xEC\xBF\xBF",
                             "\xED\x80\x80",
                             "\xED\x9F\xBF",
                             "\xEE\x80\x80",
                             "\xEF\xBF\xBF",
                             "\xF0\x90\x80\x80",
                             "\xF0\xBF\xBF\xBF",
                             "\xF1\x80\x80\x80",
                             "\xF3\xBF\xBF\xBF",
                             "\xF4\x80\x80\x80",
                             "\xF4\x8F\xBF\xBF",
                             "plain text",
                             "more than eight plain bytes"}) {
        INFO(good);
        CHECK(first_bad_utf8(good) == std::string_view::npos);
    }
    for (const char *bad :
         {"\x80", "\xBF", "\xC0\x80", "\xC1\xBF", "\xC2", "\xC2\x7F", "\xC2\xC0", "\xE0\x9F\xBF",
          "\xE0\xA0", "\xE1\x80\xC0", "\xED\xA0\x80", "\xED\xBF\xBF", "\xF0\x8F\xBF\xBF",
          "\xF0\x90\x80", "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xFF"}) {
        INFO(bad);
        CHECK(first_bad_utf8(bad) == 0);
        CHECK(first_bad_utf8(std::string("eight plain bytes ") + bad) == 18);
    }
}
