// What the loops share: aligned buffers, and bytes by 32 where the machine has AVX2.
#pragma once

#include "columns/form.h"
#include "columns/kernels.h"

#include <limits>
#include <type_traits>

#if defined(__AVX2__)
#include <immintrin.h>
#endif

namespace groundrule::columns {

namespace {

using Byte = std::uint8_t;

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

std::size_t padded(std::size_t rows) {
    return (rows + 31) / 32 * 32;
}

template <typename T>
const T *aligned(const void *p) {
    return static_cast<const T *>(__builtin_assume_aligned(p, 64));
}
template <typename T>
T *aligned(void *p) {
    return static_cast<T *>(__builtin_assume_aligned(p, 64));
}

// out[i] = f(inputs[i]…)
template <typename Out, typename A, typename F>
void each(const Call &c, std::size_t rows, F f) {
    Out *__restrict out = aligned<Out>(c.out);
    const A *__restrict a = aligned<A>(c.in[0]);
    const std::size_t n = padded(rows);
    for (std::size_t i = 0; i < n; ++i)
        out[i] = f(a[i]);
}

template <typename Out, typename A, typename B, typename F>
void each(const Call &c, std::size_t rows, F f) {
    Out *__restrict out = aligned<Out>(c.out);
    const A *__restrict a = aligned<A>(c.in[0]);
    const B *__restrict b = aligned<B>(c.in[1]);
    const std::size_t n = padded(rows);
    for (std::size_t i = 0; i < n; ++i)
        out[i] = f(a[i], b[i]);
}

template <typename Out, typename A, typename B, typename C, typename F>
void each(const Call &call, std::size_t rows, F f) {
    Out *__restrict out = aligned<Out>(call.out);
    const A *__restrict a = aligned<A>(call.in[0]);
    const B *__restrict b = aligned<B>(call.in[1]);
    const C *__restrict c = aligned<C>(call.in[2]);
    const std::size_t n = padded(rows);
    for (std::size_t i = 0; i < n; ++i)
        out[i] = f(a[i], b[i], c[i]);
}

template <typename Out, typename T, typename F>
void each_of_four(const Call &call, std::size_t rows, F f) {
    Out *__restrict out = aligned<Out>(call.out);
    const T *__restrict a = aligned<T>(call.in[0]);
    const T *__restrict b = aligned<T>(call.in[1]);
    const T *__restrict c = aligned<T>(call.in[2]);
    const T *__restrict d = aligned<T>(call.in[3]);
    const std::size_t n = padded(rows);
    for (std::size_t i = 0; i < n; ++i)
        out[i] = f(a[i], b[i], c[i], d[i]);
}

Byte least(Byte a, Byte b) {
    return a < b ? a : b;
}
Byte most(Byte a, Byte b) {
    return a > b ? a : b;
}

#if defined(__AVX2__)

using Lane = __m256i;

// Masks of four 64-bit lanes to 32-bit lanes.
__m128i narrow_mask(__m256d mask) {
    const __m256i m = _mm256_castpd_si256(mask);
    return _mm256_castsi256_si128(
        _mm256_permutevar8x32_epi32(m, _mm256_setr_epi32(0, 2, 4, 6, 0, 2, 4, 6)));
}

#if !defined(__AVX512VBMI__)

Lane byte_lane(int x) {
    return _mm256_set1_epi8(static_cast<char>(x));
}
Lane load_lane(const void *p) {
    return _mm256_loadu_si256(static_cast<const Lane *>(p));
}
void store_lane(void *p, Lane v) {
    _mm256_storeu_si256(static_cast<Lane *>(p), v);
}

// One bit a row, 32 of them, to bytes of all bits or none.
Lane spread_bits(std::uint32_t bits) {
    const Lane bytes =
        _mm256_shuffle_epi8(_mm256_set1_epi32(static_cast<int>(bits)),
                            _mm256_setr_epi8(0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 2, 2,
                                             2, 2, 2, 2, 2, 2, 3, 3, 3, 3, 3, 3, 3, 3));
    const Lane own = _mm256_set1_epi64x(static_cast<long long>(0x8040201008040201));
    return _mm256_cmpeq_epi8(_mm256_and_si256(bytes, own), own);
}

// Tables of at most 64 bytes stand in four registers. A shuffle gives zero where the top bit of a
// place is set, which a saturated sum sets for all places that belong to another part of the table.
template <int parts>
struct ShortTable {
    explicit ShortTable(const Byte *table) {
        for (int k = 0; k < parts; ++k)
            part[k] = _mm256_broadcastsi128_si256(
                _mm_loadu_si128(reinterpret_cast<const __m128i *>(table + 16 * k)));
    }
    Lane operator()(Lane key) const {
        Lane at = _mm256_min_epu8(key, byte_lane(16 * parts - 1));
        if (parts == 1)
            return _mm256_shuffle_epi8(part[0], at);
        Lane out = _mm256_shuffle_epi8(part[0], _mm256_adds_epu8(at, byte_lane(0x70)));
        for (int k = 1; k < parts; ++k) {
            at = _mm256_sub_epi8(at, byte_lane(16));
            out = _mm256_or_si256(
                out, _mm256_shuffle_epi8(part[k], _mm256_adds_epu8(at, byte_lane(0x70))));
        }
        return out;
    }
    Lane part[parts];
};

#endif

#endif

} // namespace

} // namespace groundrule::columns
