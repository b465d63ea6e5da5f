#include "failing_memory.h"

#include <atomic>
#include <cstdlib>
#include <new>

namespace {

// Atomic: audits run threads.
std::atomic<std::size_t> count{0};
std::atomic<std::size_t> failing{0};
std::atomic<bool> has_failed{false};
std::atomic<std::ptrdiff_t> blocks{0};

std::atomic<bool> for_good{false};

void *allocate(std::size_t size, std::size_t alignment) noexcept {
    const std::size_t n = ++count;
    if (failing != 0 && (n == failing || (n > failing && for_good)))
        return nullptr;
    const std::size_t whole = (size + alignment - 1) / alignment * alignment;
    void *block = std::aligned_alloc(alignment, whole == 0 ? alignment : whole);
    if (block != nullptr)
        ++blocks;
    return block;
}

void *or_throw(void *block) {
    if (block == nullptr) {
        has_failed = true;
        throw std::bad_alloc();
    }
    return block;
}

void release(void *block) noexcept {
    if (block == nullptr)
        return;
    --blocks;
    std::free(block);
}

} // namespace

namespace faults {

void fail_at(std::size_t n, bool and_after) {
    failing = 0;
    for_good = and_after;
    count = 0;
    has_failed = false;
    failing = n;
}
bool failed() {
    return has_failed;
}
std::size_t made() {
    return count;
}
std::ptrdiff_t held() {
    return blocks;
}

} // namespace faults

#include "../../libcore/memory/operators.h"
