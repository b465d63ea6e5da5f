// The shared library's operator new. The library holds its own C++ runtime and exports none of
// this, so every allocation inside it comes here and none of the host's does: a block is always
// given back where it was taken.
#include "c_api/given.h"
#include "groundrule/host.h"

#include <atomic>
#include <cstdlib>
#include <new>

using groundrule::c_api::bad_pointer;
using groundrule::c_api::fail;

namespace {

void *from_the_system(std::size_t bytes, std::size_t alignment, void *) {
    if (alignment <= __STDCPP_DEFAULT_NEW_ALIGNMENT__)
        return std::malloc(bytes);
    return std::aligned_alloc(alignment, (bytes + alignment - 1) / alignment * alignment);
}

void to_the_system(void *block, void *) {
    std::free(block);
}

constinit gr_allocator memory = {sizeof(gr_allocator), from_the_system, to_the_system, nullptr};
constinit std::atomic<bool> taken{false};

void *allocate(std::size_t bytes, std::size_t alignment) noexcept {
    if (!taken.load(std::memory_order_relaxed))
        taken.store(true, std::memory_order_relaxed);
    return memory.allocate(bytes == 0 ? 1 : bytes, alignment, memory.user);
}

void *or_throw(void *block) {
    if (block == nullptr)
        throw std::bad_alloc();
    return block;
}

void release(void *block) noexcept {
    if (block != nullptr)
        memory.release(block, memory.user);
}

} // namespace

gr_status gr_set_allocator(const gr_allocator *allocator, gr_error *error) noexcept {
    gr_allocator wanted = GR_ALLOCATOR_INIT;
    if (allocator == nullptr)
        return bad_pointer(error);
    if (!groundrule::c_api::take(allocator, wanted))
        return groundrule::c_api::bad_size(error);
    if (wanted.allocate == nullptr || wanted.release == nullptr)
        return bad_pointer(error);
    if (taken.load(std::memory_order_relaxed))
        return fail(error, GR_BAD_ARGUMENT, "too-late", "the library has taken memory already");
    memory = wanted;
    return GR_OK;
}

#include "operators.h"
