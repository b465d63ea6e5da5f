// Conductor sizes of the American trade: an ordered type, never a number. A size is its index in
// the ordered list from 18 AWG to 2000 kcmil, so that a thicker conductor compares as larger. Order
// and circular mils: NFPA 70 Chapter 9 Table 8.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace groundrule {

// "8 AWG", "1/0 AWG", "250 kcmil"; no value for a size that is not made.
std::optional<int> conductor_size_named(std::string_view name);
std::string_view conductor_size_name(int index);
int conductor_size_count();

} // namespace groundrule
