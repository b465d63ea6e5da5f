// The loops for machines with AVX2. Compiled for x86-64-v3, but never with fused
// multiplication and addition.
#if defined(GROUNDRULE_AVX2)
#define GROUNDRULE_KERNEL_SET avx2_kernels
#include "columns/kernel_loops.h"
#endif
