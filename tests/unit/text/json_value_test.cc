#include "text/json_value.h"

#include "catch.h"
#include <nlohmann/json.hpp>

#include <limits>

using groundrule::JsonValue;

namespace {

// Another library reads what was written, and writes it again in the same layout.
std::string written_by_another(const std::string &text, int indent) {
    return nlohmann::ordered_json::parse(text).dump(indent);
}

} // namespace

TEST_CASE("braces of pairs are an object, other braces an array") {
    const JsonValue both = {{"texts", {"a", "b", "c"}},
                            {"none", JsonValue::array()},
                            {"nothing", nullptr},
                            {"deep", {{"yes", true}, {"numbers", std::vector<int>{1, -2}}}}};
    CHECK(both.dump() == R"({"texts":["a","b","c"],"none":[],"nothing":null,)"
                         R"("deep":{"yes":true,"numbers":[1,-2]}})");
    CHECK(both.dump(2) == written_by_another(both.dump(), 2));
}

TEST_CASE("numbers are written as another library writes them") {
    for (const double value : {0.0, -0.0, 1.0, 0.1, 1.0 / 3, 1e-4, 9.9e-5, 100000.0, 1e14, 1e15,
                               1e22, 5e-324, std::numeric_limits<double>::max()}) {
        INFO(value);
        CHECK(JsonValue(value).dump() == nlohmann::json(value).dump());
    }
    CHECK(JsonValue(std::numeric_limits<double>::infinity()).dump() == "null");
    CHECK(JsonValue(std::numeric_limits<std::uint64_t>::max()).dump() == "18446744073709551615");
    CHECK(JsonValue(std::numeric_limits<std::int64_t>::min()).dump() == "-9223372036854775808");
}

TEST_CASE("every byte of a text comes back, except those that are no UTF-8") {
    std::string all;
    for (char c = 0; c >= 0 && c < 127; ++c)
        all += c;
    all += "\x7F \xC2\xB0 in\xC2\xB3";
    CHECK(nlohmann::json::parse(JsonValue(all).dump()).get<std::string>() == all);
    CHECK(JsonValue(all).dump() == nlohmann::json(all).dump());
    CHECK(JsonValue("a\xFF"
                    "b\xC2")
              .dump() == "\"a\xEF\xBF\xBD"
                         "b\xEF\xBF\xBD\"");
}

TEST_CASE("a key that is there is set anew, a new one comes last") {
    JsonValue value = {{"a", 1}, {"b", 2}};
    value["a"] = "x";
    value["c"].push_back(3);
    JsonValue more = {{"d", 4}, {"b", 5}};
    value.update(std::move(more));
    CHECK(value.dump() == R"({"a":"x","b":5,"c":[3],"d":4})");
    CHECK(value.contains("c"));
    CHECK_FALSE(value.contains("e"));
}

TEST_CASE("nothing becomes an object by a key, and an array by an element") {
    JsonValue object;
    CHECK(object.empty());
    CHECK_FALSE(object.contains("a"));
    object["a"] = 1;
    CHECK(object.dump() == R"({"a":1})");
    CHECK_FALSE(object.empty());
    CHECK(JsonValue::object().empty());
    JsonValue list;
    list.push_back(std::string("a"));
    CHECK(list.dump() == R"(["a"])");
    CHECK_FALSE(list.contains("a"));
    CHECK_FALSE(JsonValue("").empty());
    CHECK(JsonValue().empty());
}

TEST_CASE("a copy stays as it was when the original changes") {
    JsonValue original = {{"a", {1, 2u, 3.5, nullptr, false, "x"}}};
    const JsonValue copy = original;
    original["a"][0] = "changed";
    CHECK(copy.dump() == R"({"a":[1,2,3.5,null,false,"x"]})");
}
