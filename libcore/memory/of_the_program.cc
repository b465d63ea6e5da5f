// The static library takes its memory from the program's operator new: a second one can't be told
// from it.
#include "c_api/given.h"
#include "groundrule/host.h"

gr_status gr_set_allocator(const gr_allocator *allocator, gr_error *error) noexcept {
    if (allocator == nullptr)
        return groundrule::c_api::bad_pointer(error);
    return groundrule::c_api::fail(error, GR_BAD_ARGUMENT, "not-here",
                                   "memory is that of the program's operator new");
}
