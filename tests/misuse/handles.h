// One good handle of each kind, and what may be done to any of them.
#pragma once

#include "../capi/every_handle.h"

#include <cstddef>
#include <string_view>
#include <type_traits>

namespace misuse {

inline void free_handle(gr_book *h) {
    gr_book_free(h);
}
inline void free_handle(gr_job *h) {
    gr_job_free(h);
}
inline void free_handle(gr_report *h) {
    gr_report_free(h);
}
inline void free_handle(gr_document *h) {
    gr_document_free(h);
}
inline void free_handle(gr_explanation *h) {
    gr_explanation_free(h);
}
inline void free_handle(gr_interview *h) {
    gr_interview_free(h);
}
inline void free_handle(gr_remedies *h) {
    gr_remedies_free(h);
}
inline void free_handle(gr_audit *h) {
    gr_audit_free(h);
}
inline void free_handle(gr_comparison *h) {
    gr_comparison_free(h);
}
inline void free_handle(gr_mutation *h) {
    gr_mutation_free(h);
}
inline void free_handle(gr_adoption *h) {
    gr_adoption_free(h);
}
inline void free_handle(gr_answer *h) {
    gr_answer_free(h);
}

template <typename T>
concept Handle = requires(T *h) {
    free_handle(h);
};

// A pointer to a handle, constant or not.
template <typename T>
inline constexpr bool is_handle_pointer = false;
template <typename T>
inline constexpr bool is_handle_pointer<T *> = Handle<std::remove_const_t<T>>;

// A pointer to a struct that carries its size: options, or what a call fills in.
template <typename T>
inline constexpr bool is_sized_struct = false;
template <typename T>
requires requires(T s) {
    s.size;
} &&(!std::is_same_v<std::remove_const_t<T>, gr_text>)inline constexpr bool is_sized_struct<T *> =
    std::is_same_v<decltype(T::size), std::size_t>;

// Made once for all calls; none of the calls of this test may harm them.
struct Handles : EveryHandle {
    Handles();
};

inline gr_text words(std::string_view text) {
    return {text.data(), text.size()};
}

} // namespace misuse
