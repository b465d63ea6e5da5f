// Rows without verdicts, as gr_audit_faults tells them.
#pragma once

#include "columns/audit.h"

#include <cstdint>
#include <string>

namespace groundrule::c_api {

// `first`: the number of the batch's first row.
inline std::string fault_lines(const columns::Outcome &outcome, std::uint64_t first) {
    std::string out;
    for (const columns::RowFault &f : outcome.faults)
        out += std::to_string(first + f.row) + " " + f.message + "\n";
    return out;
}

} // namespace groundrule::c_api
