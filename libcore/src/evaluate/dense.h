// Keys of tables and lists found without a search: most are small whole numbers (amperes, degrees,
// sizes, choices), for which the position of every one is written down.
#pragma once

#include "program/program.h"
#include "quantity/cell.h"

#include <algorithm>
#include <cstdint>
#include <vector>

namespace groundrule::evaluate {

class DenseKey {
  public:
    explicit DenseKey(const program::TableKey &key);

    // Position of the value among the keys; -1 if there is none, or the value is not exact.
    std::int32_t position(const Cell &value) const {
        if (places_.empty())
            return searched(value);
        const double shifted = std::clamp(value.value + 1, 0.0, last_);
        const auto at = static_cast<std::int64_t>(shifted);
        const std::int32_t found = static_cast<double>(at) == shifted
                                       ? places_[static_cast<std::size_t>(at)]
                                       : between(value.value);
        // Whether a fact is told can't be foreseen, so nothing jumps on it.
        return found | -static_cast<std::int32_t>(!value.exact());
    }
    std::int64_t size() const { return size_; }

  private:
    std::int32_t searched(const Cell &value) const;
    std::int32_t between(double value) const; // of no whole number, as it seems

    const program::TableKey *key_; // of the program, which outlives this
    bool up_ = false;              // rows are upper bounds
    bool exact_ = false;
    double last_ = 0; // of the places
    std::int64_t size_ = 0;
    // Of -1 (everything below zero), 0, 1, …, up to the first number beyond the last key. Empty:
    // search.
    std::vector<std::int32_t> places_;
};

struct DenseTable {
    std::vector<DenseKey> keys;
    const double *cells = nullptr; // of the program's table
    std::size_t columns = 1;
};

// What a program looks things up in, made ready. Immutable; the program must outlive it.
struct Dense {
    explicit Dense(const program::Program &program);

    std::vector<DenseTable> tables;
    std::vector<program::TableKey> list_keys; // the elements of a list as upper bounds
    std::vector<DenseKey> lists;
};

} // namespace groundrule::evaluate
