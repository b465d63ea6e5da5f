// What is known of an operation without its arguments.
#pragma once

#include "program/program.h"

#include <string_view>

namespace groundrule::columns {

using program::Op;

inline constexpr bool truth_ops[] = {
#define OP(name, arguments, result) std::string_view(#result) == "truth",
#include "program/opcodes.def"
#undef OP
};

inline bool gives_truth(Op op) {
    return truth_ops[static_cast<std::size_t>(op)];
}

// Unknown whenever an argument is.
inline bool is_strict(Op op) {
    switch (op) {
    case Op::negation:
    case Op::equal:
    case Op::at_least:
    case Op::more_than:
    case Op::in_set:
    case Op::add:
    case Op::subtract:
    case Op::multiply:
    case Op::divide:
    case Op::round_down:
    case Op::round_up:
    case Op::round_nearest:
    case Op::lookup:
    case Op::next:
        return true;
    default:
        return false;
    }
}

// Unknown where an argument is but a bound.
inline bool needs_exact(Op op) {
    return op == Op::round_down || op == Op::round_up || op == Op::round_nearest ||
           op == Op::lookup;
}

} // namespace groundrule::columns
