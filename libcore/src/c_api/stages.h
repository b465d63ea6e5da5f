// Stages of work by name.
#pragma once

#include <algorithm>
#include <array>
#include <string>
#include <string_view>

namespace groundrule::c_api {

// Also empty: all stages.
inline bool is_stage(std::string_view name) {
    static constexpr std::array<std::string_view, 5> stages = {"", "design", "rough_in", "trim_out",
                                                               "acceptance"};
    return std::find(stages.begin(), stages.end(), name) != stages.end();
}

inline std::string no_such_stage(const std::string &name) {
    return "there is no stage \"" + name + "\"; design, rough_in, trim_out or acceptance";
}

} // namespace groundrule::c_api
