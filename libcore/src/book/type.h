// Types of values in a book.
#pragma once

#include "quantity/literal.h"

#include <cstdint>

namespace groundrule::book {

struct Type {
    ValueKind kind = ValueKind::truth;
    Dimension dimension;       // of a quantity
    std::int32_t choices = -1; // of a choice: index of its ChoiceType

    friend bool operator==(const Type &a, const Type &b) {
        return a.kind == b.kind && (a.kind != ValueKind::quantity || a.dimension == b.dimension) &&
               (a.kind != ValueKind::choice || a.choices == b.choices);
    }
    bool is_truth() const { return kind == ValueKind::truth; }
    bool is_quantity() const { return kind == ValueKind::quantity; }
};

inline Type truth_type() {
    return {};
}
inline Type quantity_type(const Dimension &d) {
    return {ValueKind::quantity, d, -1};
}

// Grid steps per unit of a type's values; 1 for what is counted by index.
inline double scale_of(const Type &type) {
    return type.is_quantity() ? dimension::grid_scale(type.dimension) : 1;
}

} // namespace groundrule::book
