// Which loops run here.
#include "columns/kernels.h"

#include <vector>

namespace groundrule::columns {

std::span<const Kernels *const> kernel_sets() {
    static const std::vector<const Kernels *> sets = [] {
        std::vector<const Kernels *> here = {&portable_kernels};
#if defined(GROUNDRULE_AVX2)
        if (__builtin_cpu_supports("avx2") != 0 && __builtin_cpu_supports("fma") != 0 &&
            __builtin_cpu_supports("bmi2") != 0) {
            here.push_back(&avx2_kernels);
            if (__builtin_cpu_supports("avx512f") != 0 && __builtin_cpu_supports("avx512bw") != 0 &&
                __builtin_cpu_supports("avx512cd") != 0 &&
                __builtin_cpu_supports("avx512dq") != 0 &&
                __builtin_cpu_supports("avx512vl") != 0 &&
                __builtin_cpu_supports("avx512vbmi") != 0)
                here.push_back(&avx512_kernels);
        }
#endif
        return here;
    }();
    return sets;
}

const Kernels &kernels() {
    return *kernel_sets().back();
}

} // namespace groundrule::columns
