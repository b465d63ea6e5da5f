// Texts that hold all that a look-up says, so that equal ones are made once.
#pragma once

#include "columns/plan.h"

#include <string>
#include <vector>

namespace groundrule::columns {

template <typename T>
void append(std::string &key, const std::vector<T> &values) {
    key.append(std::to_string(values.size()) + ":");
    key.append(reinterpret_cast<const char *>(values.data()), values.size() * sizeof(T));
}

inline void append(std::string &key, const Domain &domain) {
    std::vector<double> values;
    for (const Cell &c : domain.cells) {
        values.push_back(c.value);
        values.push_back(static_cast<double>(c.bound));
    }
    append(key, values);
}

} // namespace groundrule::columns
