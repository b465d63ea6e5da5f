// Calendar dates as day numbers, so that order is the order of days.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace groundrule {

std::optional<int> date_from_text(std::string_view iso); // "2021-07-01"; days since 1970-01-01
std::string date_text(int days);

} // namespace groundrule
