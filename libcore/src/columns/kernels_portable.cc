// The loops for any machine.
#define GROUNDRULE_KERNEL_SET portable_kernels
#include "columns/kernel_loops.h"
