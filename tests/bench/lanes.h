// 32 rows at a time in AVX2 registers. A truth is a signed byte, -1 no, 0 unknown, 1 yes: `all` is
// the minimum, `any` the maximum, `not` the negation. A mask is 0 or -1 a lane.
#pragma once

#include <cstdint>
#include <cstring>
#include <immintrin.h>
#include <initializer_list>

namespace lanes {

using Bytes = __m256i;

#define LANES_INLINE inline __attribute__((always_inline))

LANES_INLINE Bytes bytes(int x) {
    return _mm256_set1_epi8(static_cast<char>(x));
}
LANES_INLINE Bytes zero() {
    return _mm256_setzero_si256();
}
LANES_INLINE Bytes fetch(const void *p) {
    return _mm256_loadu_si256(static_cast<const Bytes *>(p));
}
LANES_INLINE void store(void *p, Bytes x) {
    _mm256_storeu_si256(static_cast<Bytes *>(p), x);
}

// --- masks
LANES_INLINE Bytes both(Bytes x, Bytes y) {
    return _mm256_and_si256(x, y);
}
template <typename... Rest>
LANES_INLINE Bytes both(Bytes x, Bytes y, Rest... rest) {
    return both(both(x, y), rest...);
}
LANES_INLINE Bytes either(Bytes x, Bytes y) {
    return _mm256_or_si256(x, y);
}
template <typename... Rest>
LANES_INLINE Bytes either(Bytes x, Bytes y, Rest... rest) {
    return either(either(x, y), rest...);
}
LANES_INLINE Bytes inverse(Bytes mask) {
    return _mm256_xor_si256(mask, _mm256_set1_epi8(-1));
}
// Unsigned bytes.
LANES_INLINE Bytes at_least(Bytes x, Bytes y) {
    return _mm256_cmpeq_epi8(_mm256_max_epu8(x, y), x);
}
LANES_INLINE Bytes at_most(Bytes x, Bytes y) {
    return _mm256_cmpeq_epi8(_mm256_min_epu8(x, y), x);
}
LANES_INLINE Bytes equal(Bytes x, Bytes y) {
    return _mm256_cmpeq_epi8(x, y);
}
// One of the codes 0 … 15 whose bit is set.
LANES_INLINE Bytes one_of(Bytes x, unsigned bits) {
    alignas(32) std::int8_t table[32];
    for (int i = 0; i < 32; ++i)
        table[i] = (bits >> (i & 15) & 1u) != 0 ? -1 : 0;
    return both(_mm256_shuffle_epi8(fetch(table), x), at_most(x, bytes(15)));
}
// A mask a row from a bitmap of validity.
LANES_INLINE Bytes known(const std::uint8_t *bits) {
    int word = 0;
    std::memcpy(&word, bits, 4);
    const Bytes spread = _mm256_shuffle_epi8(
        _mm256_set1_epi32(word), _mm256_setr_epi8(0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 2,
                                                  2, 2, 2, 2, 2, 2, 2, 3, 3, 3, 3, 3, 3, 3, 3));
    const Bytes bit = _mm256_set1_epi64x(0x8040201008040201ll);
    return equal(both(spread, bit), bit);
}

// --- truths
LANES_INLINE Bytes truth(Bytes holds, Bytes is_known) {
    return _mm256_sign_epi8(is_known, either(holds, bytes(1)));
}
LANES_INLINE Bytes all(Bytes x, Bytes y) {
    return _mm256_min_epi8(x, y);
}
template <typename... Rest>
LANES_INLINE Bytes all(Bytes x, Bytes y, Rest... rest) {
    return all(all(x, y), rest...);
}
LANES_INLINE Bytes any(Bytes x, Bytes y) {
    return _mm256_max_epi8(x, y);
}
LANES_INLINE Bytes negation(Bytes x) {
    return _mm256_sub_epi8(zero(), x);
}
// 4 × when + requirement + 5 is an index into the verdicts.
LANES_INLINE Bytes verdict(Bytes when, Bytes requirement) {
    const Bytes twice = _mm256_add_epi8(when, when);
    const Bytes index =
        _mm256_add_epi8(_mm256_add_epi8(twice, twice), _mm256_add_epi8(requirement, bytes(5)));
    return _mm256_shuffle_epi8(_mm256_setr_epi8(2, 2, 2, 2, 3, 3, 0, 3, 1, 3, 0, 0, 0, 0, 0, 0, 2,
                                                2, 2, 2, 3, 3, 0, 3, 1, 3, 0, 0, 0, 0, 0, 0),
                               index);
}

// --- from wider lanes to bytes
LANES_INLINE Bytes narrow(Bytes low, Bytes high) { // 16-bit masks
    return _mm256_permute4x64_epi64(_mm256_packs_epi16(low, high), 0xD8);
}
LANES_INLINE Bytes saturated(Bytes low, Bytes high) { // 16-bit values to 0 … 255
    return _mm256_permute4x64_epi64(_mm256_packus_epi16(low, high), 0xD8);
}
LANES_INLINE Bytes narrow(const __m256 *mask) { // four of 8 floats
    const auto pair = [&](int i) {
        return _mm256_packs_epi32(_mm256_castps_si256(mask[i]), _mm256_castps_si256(mask[i + 1]));
    };
    return _mm256_permutevar8x32_epi32(_mm256_packs_epi16(pair(0), pair(2)),
                                       _mm256_setr_epi32(0, 4, 1, 5, 2, 6, 3, 7));
}
LANES_INLINE Bytes narrow(const __m256d *mask) { // eight of 4 doubles
    const auto pair = [&](int i) {
        return _mm256_castps_si256(
            _mm256_shuffle_ps(_mm256_castpd_ps(mask[i]), _mm256_castpd_ps(mask[i + 1]), 0x88));
    };
    const Bytes q = _mm256_packs_epi16(_mm256_packs_epi32(pair(0), pair(2)),
                                       _mm256_packs_epi32(pair(4), pair(6)));
    const __m128i low = _mm256_castsi256_si128(q);
    const __m128i high = _mm256_extracti128_si256(q, 1);
    return _mm256_inserti128_si256(_mm256_castsi128_si256(_mm_unpacklo_epi16(low, high)),
                                   _mm_unpackhi_epi16(low, high), 1);
}

// --- eight of the 32 rows at a time
LANES_INLINE __m256i eight(const std::uint8_t *p) {
    return _mm256_cvtepu8_epi32(_mm_loadl_epi64(reinterpret_cast<const __m128i *>(p)));
}
LANES_INLINE __m256i eight(const std::int16_t *p) {
    return _mm256_cvtepi16_epi32(_mm_loadu_si128(reinterpret_cast<const __m128i *>(p)));
}
// One half of eight floats as doubles, of eight integers as integers.
LANES_INLINE __m256d half(__m256 x, int which) {
    return _mm256_cvtps_pd(which == 1 ? _mm256_extractf128_ps(x, 1) : _mm256_castps256_ps128(x));
}
LANES_INLINE __m128i half(__m256i x, int which) {
    return which == 1 ? _mm256_extracti128_si256(x, 1) : _mm256_castsi256_si128(x);
}

} // namespace lanes
