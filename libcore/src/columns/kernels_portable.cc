// The loops for any machine.
#define GROUNDRULE_KERNEL_SET portable_kernels
#include "columns/kernel_loops.h"

namespace groundrule::columns {

const Kernels &kernels() {
#if defined(GROUNDRULE_AVX2)
    static const bool wide = __builtin_cpu_supports("avx2") != 0;
    return wide ? avx2_kernels : portable_kernels;
#else
    return portable_kernels;
#endif
}

} // namespace groundrule::columns
