// What typing needs to tell its faults.
#pragma once

#include "text/nearest.h"

#include <cstdint>
#include <string>
#include <vector>

namespace groundrule::book {

// A table or list by the citation of its declaration.
template <typename T>
std::int32_t declared_index(const std::vector<T> &list, const std::string &citation) {
    for (std::size_t i = 0; i < list.size(); ++i) {
        if (list[i].declared == citation)
            return static_cast<std::int32_t>(i);
    }
    return -1;
}

template <typename T>
std::vector<std::string> names_in(const std::vector<T> &list) {
    std::vector<std::string> out;
    out.reserve(list.size());
    for (const T &t : list)
        out.push_back(t.name);
    return out;
}

inline std::string counted(std::size_t count, const std::string &thing) {
    return std::to_string(count) + " " + thing + (count == 1 ? "" : "s");
}

// The first few of a list of names.
inline std::string some_of(const std::string &owner, const std::vector<std::string> &names) {
    std::string out;
    for (std::size_t i = 0; i < names.size() && i < 9; ++i)
        out += (i == 0 ? owner + " has: " : ", ") + (i == 8 ? "…" : names[i]);
    return out;
}

inline std::string did_you_mean(const std::string &near) {
    return near.empty() ? "" : "did you mean `" + near + "`?";
}

} // namespace groundrule::book
