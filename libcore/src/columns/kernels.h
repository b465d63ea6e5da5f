// The loops that batches are made of, without branches on data. Most are written once, for the
// compiler to turn into vector code: for any machine, for one with AVX2, and for one with AVX-512.
// Where the wider machines have operations of their own for it, a loop says so by their intrinsics.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

namespace groundrule::columns {

// What a loop works on. Buffers are aligned to 64 bytes and padded to a multiple of 64 rows, so
// loops run over whole vectors; what stands in the padding means nothing.
struct Call;
using Kernel = void (*)(const Call &, std::size_t rows);

struct Call {
    Kernel run = nullptr;
    void *out = nullptr;
    const void *in[4] = {};
    const void *table = nullptr;
    const void *more = nullptr; // a second table, or pointers to further inputs
    double x = 0;
    double y = 0;
    std::int32_t a = 0;
    std::int32_t b = 0;
    std::uint8_t *apart = nullptr; // joins: set where two sources differ
    std::uint8_t size[4] = {};     // of the domains of codes
    std::uint16_t stride[4] = {};  // in a table of several keys
};

// What a column's numbers become as they enter.
struct Entry {
    double factor = 1;
    double offset = 0;
    double scale = 1; // the fact's grid
    double low = 0;   // rows outside are marked
    double high = 0;
    double fill = 0;          // of rows that tell nothing
    std::int32_t entries = 0; // of a dictionary
};

// One for each type of number that a column may hold, in the order of Storage from int8 on.
inline constexpr std::size_t number_types = 10;

// KERNEL(name): one loop.
#define GROUNDRULE_KERNELS(KERNEL)                                                                 \
    KERNEL(enter_bits)                                                                             \
    KERNEL(and2)                                                                                   \
    KERNEL(and3)                                                                                   \
    KERNEL(and4)                                                                                   \
    KERNEL(or2)                                                                                    \
    KERNEL(or3)                                                                                    \
    KERNEL(or4)                                                                                    \
    KERNEL(negate)                                                                                 \
    KERNEL(choose_truth)                                                                           \
    KERNEL(decide)                                                                                 \
    KERNEL(real_at_least)                                                                          \
    KERNEL(real_more)                                                                              \
    KERNEL(real_equal)                                                                             \
    KERNEL(grid_at_least)                                                                          \
    KERNEL(grid_more)                                                                              \
    KERNEL(grid_equal)                                                                             \
    KERNEL(real_from)                                                                              \
    KERNEL(real_below)                                                                             \
    KERNEL(real_within)                                                                            \
    KERNEL(whole_at_least)                                                                         \
    KERNEL(whole_more)                                                                             \
    KERNEL(whole_equal)                                                                            \
    KERNEL(whole_from)                                                                             \
    KERNEL(whole_below)                                                                            \
    KERNEL(whole_within)                                                                           \
    KERNEL(map1)                                                                                   \
    KERNEL(map1_short)                                                                             \
    KERNEL(map2)                                                                                   \
    KERNEL(map3)                                                                                   \
    KERNEL(map4)                                                                                   \
    KERNEL(map2_wide)                                                                              \
    KERNEL(map3_wide)                                                                              \
    KERNEL(map4_wide)                                                                              \
    KERNEL(map_window)                                                                             \
    KERNEL(map_whole)                                                                              \
    KERNEL(code_to_real)                                                                           \
    KERNEL(code_to_whole)                                                                          \
    KERNEL(whole_to_real)                                                                          \
    KERNEL(add)                                                                                    \
    KERNEL(subtract)                                                                               \
    KERNEL(multiply)                                                                               \
    KERNEL(divide)                                                                                 \
    KERNEL(add_constant)                                                                           \
    KERNEL(subtract_from)                                                                          \
    KERNEL(multiply_constant)                                                                      \
    KERNEL(divide_constant)                                                                        \
    KERNEL(divide_into)                                                                            \
    KERNEL(finite)                                                                                 \
    KERNEL(choose_real)                                                                            \
    KERNEL(most_known)                                                                             \
    KERNEL(least_known)                                                                            \
    KERNEL(larger_exact)                                                                           \
    KERNEL(smaller_exact)                                                                          \
    KERNEL(both_known)                                                                             \
    KERNEL(multiply_bound)                                                                         \
    KERNEL(divide_bound)                                                                           \
    KERNEL(search)                                                                                 \
    KERNEL(search_short)                                                                           \
    KERNEL(count_steps)                                                                            \
    KERNEL(count_wholes)                                                                           \
    KERNEL(real_or)                                                                                \
    KERNEL(join_truth)                                                                             \
    KERNEL(join_code)                                                                              \
    KERNEL(join_real)                                                                              \
    KERNEL(verdict)

// The first ones take columns into buffers (kernel_entry.h).
struct Kernels {
    Kernel enter_truth[number_types];
    Kernel enter_code[number_types]; // by the table of a dictionary
    Kernel enter_whole[number_types];
    Kernel enter_real[number_types];
#define KERNEL(name) Kernel name;
    GROUNDRULE_KERNELS(KERNEL)
#undef KERNEL
};

// The sets that this machine runs, the slowest first; and the quickest of them.
std::span<const Kernels *const> kernel_sets();
const Kernels &kernels();

extern const Kernels portable_kernels;
#if defined(GROUNDRULE_AVX2)
extern const Kernels avx2_kernels;
extern const Kernels avx512_kernels;
#endif

} // namespace groundrule::columns
