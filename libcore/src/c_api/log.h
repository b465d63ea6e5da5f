// The host's ear: nobody, until gr_set_log.
#pragma once

#include "groundrule/host.h"

#include <string_view>

namespace groundrule::c_api {

bool somebody_listens() noexcept;
void tell(gr_log_level level, const char *code, const char *message) noexcept;

} // namespace groundrule::c_api
