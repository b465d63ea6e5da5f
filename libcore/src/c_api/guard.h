// The one place where exceptions end. Every function of the C API that can fail is a single `return
// guard(error, …)`.
#pragma once

#include "c_api/log.h"
#include "groundrule/groundrule.h"
#include "text/diagnostics.h"

#include <algorithm>
#include <cstring>
#include <exception>
#include <memory>
#include <new>
#include <stdexcept>
#include <string>
#include <string_view>
#include <system_error>

namespace groundrule::c_api {

inline void copy_cut(char *to, std::size_t size, std::string_view from) {
    std::size_t length = std::min(from.size(), size - 1);
    // Never in the middle of a character.
    while (length < from.size() && length > 0 &&
           (static_cast<unsigned char>(from[length]) & 0xC0u) == 0x80u)
        --length;
    std::memcpy(to, from.data(), length);
    to[length] = '\0';
}

inline gr_status fill(gr_error *error, gr_status status, std::string_view code,
                      std::string_view message) noexcept {
    if (error != nullptr) {
        *error = {};
        error->status = status;
        copy_cut(error->code, sizeof error->code, code);
        copy_cut(error->message, sizeof error->message, message);
    }
    return status;
}

inline gr_status fail(gr_error *error, gr_status status, std::string_view code,
                      std::string_view message) noexcept {
    gr_error for_the_log;
    if (error == nullptr && somebody_listens())
        error = &for_the_log;
    fill(error, status, code, message);
    if (error != nullptr)
        tell(GR_LOG_FAILED, error->code, error->message);
    return status;
}

// The first diagnostic's place, and all of them as text.
gr_status fail_with(gr_error *error, gr_status status, const Diagnostics &diagnostics,
                    const Sources &sources);

template <typename Body>
gr_status guard(gr_error *error, Body body) noexcept {
    try {
        return body();
    } catch (const std::bad_alloc &) {
        return fail(error, GR_NO_MEMORY, "no-memory", "out of memory");
    } catch (const std::length_error &) {
        return fail(error, GR_BAD_ARGUMENT, "too-large", "a text or a list is longer than can be");
    } catch (const std::system_error &) {
        return fail(error, GR_NO_MEMORY, "no-threads", "the system gives no further thread");
    } catch (const std::exception &e) {
        return fail(error, GR_INTERNAL, "internal", e.what());
    } catch (...) {
        return fail(error, GR_INTERNAL, "internal", "an unknown exception");
    }
}

// A handle for the caller to own.
template <typename Handle>
Handle *handed_over(Handle handle) {
    return std::make_unique<Handle>(std::move(handle)).release();
}

inline std::string_view view(const char *data, std::size_t size) {
    return data == nullptr ? std::string_view() : std::string_view(data, size);
}
inline gr_text text_of(const std::string &s) {
    return {s.c_str(), s.size()};
}

} // namespace groundrule::c_api
