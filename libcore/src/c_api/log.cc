#include "c_api/log.h"

#include "c_api/given.h"

#include <atomic>

using groundrule::c_api::bad_pointer;
using groundrule::c_api::bad_size;
using groundrule::c_api::has_room;

namespace groundrule::c_api {

namespace {

constinit std::atomic<const gr_log *> listener{nullptr};

} // namespace

bool somebody_listens() noexcept {
    return listener.load(std::memory_order_relaxed) != nullptr;
}

void tell(gr_log_level level, const char *code, const char *message) noexcept {
    const gr_log *log = listener.load(std::memory_order_acquire);
    if (log != nullptr)
        log->tell(level, code, message, log->user);
}

} // namespace groundrule::c_api

gr_status gr_set_log(const gr_log *log, gr_error *error) noexcept {
    if (log != nullptr && !has_room(*log))
        return bad_size(error);
    if (log != nullptr && log->tell == nullptr)
        return bad_pointer(error);
    groundrule::c_api::listener.store(log, std::memory_order_release);
    return GR_OK;
}
