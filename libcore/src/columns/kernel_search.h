// Loops that find numbers among thresholds.
#pragma once

#include "columns/kernel_lanes.h"
#include "columns/kernel_wide.h"

namespace groundrule::columns {

namespace {

// What the thresholds that a value has reached mean, by buckets with at most one of them each: a
// threshold, and the codes before and from it in the two low bytes of a word.
void search(const Call &c, std::size_t rows) {
    const double *thresholds = static_cast<const double *>(c.table);
    const std::int32_t *codes = static_cast<const std::int32_t *>(c.more);
    const double *in = aligned<double>(c.in[0]);
    Byte *out = aligned<Byte>(c.out);
    const std::size_t n = padded(rows);
#if defined(__AVX2__)
    const __m256d origin = _mm256_set1_pd(c.x);
    const __m256d per_unit = _mm256_set1_pd(c.y);
    const __m256d last = _mm256_set1_pd(c.a);
    const __m128i even = _mm_setr_epi8(0, 4, 8, 12, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0);
    for (std::size_t i = 0; i < n; i += 4) {
        const __m256d x = _mm256_load_pd(in + i);
        // The second operand is the result if the first is NaN.
        __m256d at = _mm256_mul_pd(_mm256_sub_pd(x, origin), per_unit);
        at = _mm256_min_pd(_mm256_max_pd(at, _mm256_setzero_pd()), last);
        const __m128i bucket = _mm256_cvttpd_epi32(at);
        const __m256d threshold = _mm256_i32gather_pd(thresholds, bucket, 8);
        const __m128i both = _mm_i32gather_epi32(codes, bucket, 4);
        const __m128i reached = narrow_mask(_mm256_cmp_pd(x, threshold, _CMP_GE_OQ));
        const __m128i lacking = narrow_mask(_mm256_cmp_pd(x, x, _CMP_UNORD_Q));
        __m128i code = _mm_blendv_epi8(both, _mm_srli_epi32(both, 8), reached);
        code = _mm_shuffle_epi8(_mm_or_si128(code, lacking), even);
        const std::int32_t four = _mm_cvtsi128_si32(code);
        __builtin_memcpy(out + i, &four, 4);
    }
#else
    for (std::size_t i = 0; i < n; ++i) {
        double at = (in[i] - c.x) * c.y;
        at = at > 0 ? at : 0;
        at = at < c.a ? at : c.a;
        const auto bucket = static_cast<std::int32_t>(at);
        const std::int32_t code = codes[bucket] >> (in[i] >= thresholds[bucket] ? 8 : 0);
        out[i] = in[i] == in[i] ? static_cast<Byte>(code) : no_code;
    }
#endif
}

// The same of fewer than 32 thresholds in at most 256 buckets: how many stand before each bucket,
// and behind these 256 bytes what so many mean.
void search_short(const Call &c, std::size_t rows) {
    const double *thresholds = static_cast<const double *>(c.table);
    const Byte *before = static_cast<const Byte *>(c.more);
    const double *in = aligned<double>(c.in[0]);
    Byte *out = aligned<Byte>(c.out);
#if defined(__AVX512VBMI__)
    const __m512d origin = _mm512_set1_pd(c.x);
    const __m512d per_unit = _mm512_set1_pd(c.y);
    const __m512d last = _mm512_set1_pd(c.a);
    const __m512d zero = _mm512_setzero_pd();
    // Buckets first; they stand where the codes will.
    for (std::size_t i = 0; i < rows; i += 8) {
        // The second operand is the result if the first is NaN.
        __m512d at = _mm512_mul_pd(_mm512_sub_pd(_mm512_load_pd(in + i), origin), per_unit);
        at = _mm512_min_pd(_mm512_max_pd(at, zero), last);
        _mm_storel_epi64(reinterpret_cast<__m128i *>(out + i),
                         _mm256_cvtepi32_epi8(_mm512_cvttpd_epi32(at)));
    }
    const LongTable reached_before(before);
    const Wide meaning = _mm512_loadu_si512(before + 256);
    __m512d table[4];
    for (int k = 0; k < 4; ++k)
        table[k] = _mm512_loadu_pd(thresholds + 8 * k);
    alignas(64) Byte reached_of[64];
    for (std::size_t i = 0; i < rows; i += 64) {
        const Wide reached = reached_before(load_wide(out + i));
        store_wide(reached_of, reached);
        Asked asked;
        for (int k = 0; k < 64; k += 8) {
            const Wide at = _mm512_cvtepu8_epi64(
                _mm_loadl_epi64(reinterpret_cast<const __m128i *>(reached_of + k)));
            const __m512d next =
                _mm512_mask_mov_pd(_mm512_permutex2var_pd(table[0], at, table[1]),
                                   _mm512_test_epi64_mask(at, _mm512_set1_epi64(16)),
                                   _mm512_permutex2var_pd(table[2], at, table[3]));
            asked.see<_CMP_GE_OQ>(k, _mm512_load_pd(in + i + static_cast<std::size_t>(k)), next);
        }
        const Wide all = _mm512_mask_add_epi8(reached, asked.holds, reached, byte_wide(1));
        store_wide(out + i, _mm512_mask_mov_epi8(_mm512_permutexvar_epi8(all, meaning),
                                                 asked.lacking, byte_wide(no_code)));
    }
#else
    const std::size_t n = padded(rows);
    for (std::size_t i = 0; i < n; ++i) {
        double at = (in[i] - c.x) * c.y;
        at = at > 0 ? at : 0;
        at = at < c.a ? at : c.a;
        const Byte reached = before[static_cast<std::int32_t>(at)];
        const Byte code = before[256 + reached + (in[i] >= thresholds[reached] ? 1 : 0)];
        out[i] = in[i] == in[i] ? code : no_code;
    }
#endif
}

// The same by comparing with each.
void count_steps(const Call &c, std::size_t rows) {
    const double *__restrict steps = static_cast<const double *>(c.table);
    const Byte *__restrict meaning = static_cast<const Byte *>(c.more);
    const std::int32_t count = c.a;
    each<Byte, double>(c, rows, [=](double x) {
        std::int32_t reached = 0;
        for (std::int32_t k = 0; k < count; ++k)
            reached += x >= steps[k] ? 1 : 0;
        return x == x ? meaning[reached] : no_code;
    });
}

} // namespace

} // namespace groundrule::columns
