// What the caller hands in, looked at before it is used: handles, and structs that carry their
// size.
#pragma once

#include "c_api/guard.h"
#include "text/progress.h"

#include <algorithm>
#include <cstddef>
#include <cstring>

namespace groundrule::c_api {

template <typename Handle>
inline char kind_of = 0; // one address a kind

// Stands first in what a handle points to. It tells a handle from one of another kind, and from one
// that was freed as long as its memory went to nobody else.
template <typename Handle>
struct Mark {
    const void *kind = &kind_of<Handle>;

    Mark() = default;
    Mark(const Mark &) = default;
    Mark(Mark &&) noexcept = default;
    Mark &operator=(const Mark &) = default;
    Mark &operator=(Mark &&) noexcept = default;
    // Volatile: nothing else reads what is about to go, so the store would be left out.
    ~Mark() { *const_cast<const void *volatile *>(&kind) = nullptr; }
};

template <typename Handle>
bool live(const Handle *handle) {
    return handle != nullptr && *const_cast<const void *const volatile *>(&handle->kind) ==
                                    static_cast<const void *>(&kind_of<Handle>);
}

template <typename Handle>
void let_go(Handle *handle) noexcept {
    if (live(handle))
        delete handle;
}

inline gr_status bad_pointer(gr_error *error) noexcept {
    return fail(error, GR_BAD_ARGUMENT, "bad-pointer",
                "a pointer is null, or a handle is of another kind or was freed");
}

inline gr_status bad_size(gr_error *error) noexcept {
    return fail(error, GR_BAD_ARGUMENT, "bad-size",
                "a struct does not tell its size, or asks for what this version does not know");
}

// Larger than any struct will be: a size that nobody wrote.
constexpr std::size_t largest_struct = 4096;

// The caller's options over the usual ones; `least` is the size that the struct had when it was
// new. What an older caller does not know keeps its usual value. What a newer one asks for beyond
// what is known here has to be zero, which always means "as before".
template <typename Options>
bool take(const Options *given, Options &options, std::size_t least = sizeof(Options)) {
    if (given == nullptr)
        return true;
    if (given->size < least || given->size > largest_struct)
        return false;
    const auto *bytes = reinterpret_cast<const unsigned char *>(given);
    for (std::size_t i = sizeof(Options); i < given->size; ++i) {
        if (bytes[i] != 0)
            return false;
    }
    std::memcpy(&options, given, std::min(given->size, sizeof(Options)));
    options.size = sizeof(Options);
    return true;
}

inline gr_status cancelled(gr_error *error) noexcept {
    return fail(error, GR_CANCELLED, "cancelled", "the caller's progress function ended the work");
}

// The caller's progress function as the core calls it.
inline GoOn asking(gr_progress_function progress, void *user) {
    if (progress == nullptr)
        return {};
    return [progress, user](std::uint64_t done, std::uint64_t of) {
        const gr_progress told = {sizeof told, done, of};
        return progress(&told, user) == 0;
    };
}

template <typename Out>
bool has_room(const Out &out, std::size_t least = sizeof(Out)) {
    return out.size >= least && out.size <= largest_struct;
}

// As much of a struct as the caller has room for; zero in what only a newer caller knows.
template <typename Out>
void give(Out &out, const Out &value) {
    const std::size_t size = out.size;
    std::memcpy(&out, &value, std::min(size, sizeof(Out)));
    if (size > sizeof(Out))
        std::memset(reinterpret_cast<unsigned char *>(&out) + sizeof(Out), 0, size - sizeof(Out));
    out.size = size;
}

// How many things a handle holds, none if it is not live; and how it is told that there are fewer.
struct Elements {
    std::size_t count;
    const char *code;
    const char *message;
};

// One of them, as the struct that `make` fills.
template <typename Handle, typename Out, typename Make>
gr_status give_element(const Handle *handle, std::size_t index, const Elements &all, Out *out,
                       gr_error *error, Make make) noexcept {
    return guard(error, [&] {
        if (!live(handle) || out == nullptr)
            return bad_pointer(error);
        if (!has_room(*out))
            return bad_size(error);
        if (index >= all.count)
            return fail(error, GR_BAD_ARGUMENT, all.code, all.message);
        give(*out, make());
        return GR_OK;
    });
}

// A text that the caller names by pointer and size: no pointer, no text.
inline bool told(const char *data, std::size_t size) {
    return data != nullptr || size == 0;
}
inline bool told(const gr_text &text) {
    return told(text.data, text.size);
}

} // namespace groundrule::c_api
