// The one place that knows which version of Catch2 is installed: version 2 is a single header,
// version 3 is a library. Tests include this file and keep to names that exist in both:
// TEST_CASE, SECTION, REQUIRE, CHECK and their kin, INFO, CAPTURE, FAIL, GENERATE,
// Catch::Approx, Catch::Matchers::ContainsSubstring, StartsWith and EndsWith.

#pragma once

#if __has_include(<catch2/catch_test_macros.hpp>)

#include <catch2/catch_approx.hpp>
#include <catch2/catch_test_macros.hpp>
#include <catch2/generators/catch_generators.hpp>
#include <catch2/generators/catch_generators_range.hpp>
#include <catch2/matchers/catch_matchers.hpp>
#include <catch2/matchers/catch_matchers_string.hpp>

#else

#include <catch2/catch.hpp>

namespace Catch::Matchers {

inline auto ContainsSubstring(const std::string &part) {
    return Contains(part);
}

} // namespace Catch::Matchers

#endif
