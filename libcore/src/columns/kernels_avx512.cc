// The loops for machines with AVX-512 and its byte permutations (x86-64-v4 and VBMI), but never
// with fused multiplication and addition.
#if defined(GROUNDRULE_AVX2)
#define GROUNDRULE_KERNEL_SET avx512_kernels
#include "columns/kernel_loops.h"
#endif
