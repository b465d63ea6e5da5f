// Memory that runs out on demand: the program's operator new, which also counts what is held.
#pragma once

#include <cstddef>

namespace faults {

// The n-th allocation from now on fails, alone or with all that follow; 0: none does.
void fail_at(std::size_t n, bool and_after = false);
// Since fail_at some allocation failed that does not do without (one that may, such as the room in
// which a list is sorted, is no failure).
bool failed();
std::size_t made();    // allocations since fail_at
std::ptrdiff_t held(); // blocks that are not given back

} // namespace faults
