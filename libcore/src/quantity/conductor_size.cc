// The ordered list of sizes.
#include "quantity/conductor_size.h"

#include <array>

namespace groundrule {

namespace {

constexpr std::array<std::string_view, 30> sizes = {
    "18 AWG",    "16 AWG",     "14 AWG",     "12 AWG",     "10 AWG",     "8 AWG",
    "6 AWG",     "4 AWG",      "3 AWG",      "2 AWG",      "1 AWG",      "1/0 AWG",
    "2/0 AWG",   "3/0 AWG",    "4/0 AWG",    "250 kcmil",  "300 kcmil",  "350 kcmil",
    "400 kcmil", "500 kcmil",  "600 kcmil",  "700 kcmil",  "750 kcmil",  "800 kcmil",
    "900 kcmil", "1000 kcmil", "1250 kcmil", "1500 kcmil", "1750 kcmil", "2000 kcmil"};

} // namespace

std::optional<int> conductor_size_named(std::string_view name) {
    for (std::size_t i = 0; i < sizes.size(); ++i) {
        if (sizes[i] == name)
            return static_cast<int>(i);
    }
    return std::nullopt;
}

std::string_view conductor_size_name(int index) {
    return sizes.at(static_cast<std::size_t>(index));
}

int conductor_size_count() {
    return static_cast<int>(sizes.size());
}

} // namespace groundrule
