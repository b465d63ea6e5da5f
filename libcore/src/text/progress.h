// Long work asks now and then whether it is to go on.
#pragma once

#include <cstdint>
#include <functional>

namespace groundrule {

// Told how much is done of how much there is at most, in the work's own units, by the thread that
// the work was called from. False ends it. Empty: nobody is asked.
using GoOn = std::function<bool(std::uint64_t done, std::uint64_t of)>;

inline bool told_to_stop(const GoOn &go_on, std::uint64_t done, std::uint64_t of) {
    return go_on && !go_on(done, of);
}

} // namespace groundrule
