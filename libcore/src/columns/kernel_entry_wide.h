// Columns into buffers on machines with AVX-512: 64 rows at a time, the bits of validity used as
// they stand.
#pragma once

#include "columns/kernel_wide.h"

#if defined(__AVX512VBMI__)

namespace groundrule::columns {

namespace {

const Entry &entry_of(const Call &c) {
    return *static_cast<const Entry *>(c.more);
}

void note(const Call &c, Rows64 misfits) {
    if (misfits != 0)
        *c.apart = 1;
}

// Columns of bytes; `enter` gives the bytes that stand in the buffer and the rows that don't fit.
template <typename Enter>
void enter_bytes(const Call &c, std::size_t rows, Enter enter) {
    const Byte *in = static_cast<const Byte *>(c.in[0]);
    Byte *out = aligned<Byte>(c.out);
    const Wide fill = byte_wide(static_cast<int>(entry_of(c).fill));
    Rows64 misfits = 0;
    for (std::size_t i = 0; i < rows; i += 64) {
        const Rows64 told = told_at(c.in[1], i, rows);
        Rows64 bad = 0;
        const Wide value = enter(_mm512_maskz_loadu_epi8(first_rows(rows - i), in + i), bad);
        misfits |= bad & told;
        store_wide(out + i, _mm512_mask_mov_epi8(fill, told, value));
    }
    note(c, misfits);
}

void enter_truth_bytes(const Call &c, std::size_t rows) {
    enter_bytes(c, rows, [](Wide value, Rows64 &bad) {
        const Wide bit = _mm512_min_epu8(value, byte_wide(1));
        bad = _mm512_cmpneq_epi8_mask(value, bit);
        return _mm512_add_epi8(bit, bit);
    });
}

void enter_code_bytes(const Call &c, std::size_t rows) {
    const LongTable table(static_cast<const Byte *>(c.table));
    enter_bytes(c, rows, [&table](Wide value, Rows64 &bad) {
        const Wide code = table(value);
        bad = _mm512_cmpeq_epi8_mask(code, byte_wide(no_code));
        return code;
    });
}

// 32 numbers as 16 bits, and the rows that 16 bits don't hold.
template <typename T>
Wide narrowed(const T *in, std::uint32_t there, std::uint32_t &beyond) {
    if constexpr (sizeof(T) == 1) {
        const __m256i x = _mm256_maskz_loadu_epi8(there, in);
        return std::is_signed_v<T> ? _mm512_cvtepi8_epi16(x) : _mm512_cvtepu8_epi16(x);
    } else if constexpr (sizeof(T) == 2) {
        return _mm512_maskz_loadu_epi16(there, in);
    } else {
        constexpr int at_once = 64 / sizeof(T);
        alignas(64) std::int16_t narrow[32];
        for (int k = 0; k < 32; k += at_once) {
            if constexpr (sizeof(T) == 4) {
                const Wide x = _mm512_maskz_loadu_epi32(static_cast<__mmask16>(there >> k), in + k);
                const __m256i y = _mm512_cvtsepi32_epi16(x);
                _mm256_store_si256(reinterpret_cast<__m256i *>(narrow + k), y);
                beyond |= static_cast<std::uint32_t>(
                              _mm512_cmpneq_epi32_mask(x, _mm512_cvtepi16_epi32(y)))
                          << k;
            } else {
                const Wide x = _mm512_maskz_loadu_epi64(static_cast<__mmask8>(there >> k), in + k);
                const __m128i y = _mm512_cvtsepi64_epi16(x);
                _mm_store_si128(reinterpret_cast<__m128i *>(narrow + k), y);
                beyond |= static_cast<std::uint32_t>(
                              _mm512_cmpneq_epi64_mask(x, _mm512_cvtepi16_epi64(y)))
                          << k;
            }
        }
        return load_wide(narrow);
    }
}

template <typename T>
void enter_whole_numbers(const Call &c, std::size_t rows) {
    const T *in = static_cast<const T *>(c.in[0]);
    std::int16_t *out = aligned<std::int16_t>(c.out);
    const Wide fill = _mm512_set1_epi16(static_cast<std::int16_t>(entry_of(c).fill));
    const Wide low = _mm512_set1_epi16(static_cast<std::int16_t>(entry_of(c).low));
    std::uint32_t misfits = 0;
    for (std::size_t i = 0; i < rows; i += 64) {
        const Rows64 told = told_at(c.in[1], i, rows);
        const Rows64 there = first_rows(rows - i);
        for (std::size_t half = 0; half < 64; half += 32) {
            const auto known = static_cast<std::uint32_t>(told >> half);
            std::uint32_t beyond = 0;
            const Wide value =
                narrowed<T>(in + i + half, static_cast<std::uint32_t>(there >> half), beyond);
            misfits |= (beyond & known) | _mm512_mask_cmplt_epi16_mask(known, value, low);
            store_wide(out + i + half, _mm512_mask_mov_epi16(fill, known, value));
        }
    }
    note(c, misfits);
}

// a / b, given 1 / b: as in kernel_entry.h.
__m512d divided(__m512d a, __m512d b, __m512d per_b) {
    const __m512d q = _mm512_mul_pd(a, per_b);
    return _mm512_fmadd_pd(_mm512_fnmadd_pd(q, b, a), per_b, q);
}

__m512d eight_of(const float *in, __mmask8 there) {
    return _mm512_cvtps_pd(_mm256_maskz_loadu_ps(there, in));
}
__m512d eight_of(const double *in, __mmask8 there) {
    return _mm512_maskz_loadu_pd(there, in);
}

// Rounds each value to the grid; `plain` as in kernel_entry.h.
template <bool plain, typename T>
bool enter_eights(const Call &c, std::size_t rows) {
    const Entry &entry = entry_of(c);
    const T *in = static_cast<const T *>(c.in[0]);
    double *out = aligned<double>(c.out);
    const __m512d factor = _mm512_set1_pd(entry.factor);
    const __m512d offset = _mm512_set1_pd(entry.offset);
    const __m512d scale = _mm512_set1_pd(entry.scale);
    const __m512d per_scale = _mm512_set1_pd(1 / entry.scale);
    const __m512d fill = _mm512_set1_pd(entry.fill);
    const __m512d low = _mm512_set1_pd(entry.low);
    const __m512d high = _mm512_set1_pd(entry.high);
    const __m512d zero = _mm512_setzero_pd();
    unsigned misfits = 0;
    for (std::size_t i = 0; i < rows; i += 64) {
        const Rows64 told = told_at(c.in[1], i, rows);
        unsigned off = 0;
        for (std::size_t k = 0; k < 64; k += 8) {
            const auto known = static_cast<__mmask8>(told >> k);
            const __m512d x = eight_of(in + i + k, known);
            __m512d y = x;
            if constexpr (plain) {
                const __m512d parts = _mm512_mul_pd(x, _mm512_set1_pd(64));
                off |= _mm512_cmp_pd_mask(parts, _mm512_roundscale_pd(parts, 8), _CMP_NEQ_UQ);
            } else {
                y = _mm512_add_pd(_mm512_mul_pd(x, factor), offset);
                y = divided(_mm512_roundscale_pd(_mm512_mul_pd(y, scale), 8), scale, per_scale);
            }
            y = _mm512_add_pd(y, zero);
            // What is no number is beyond both bounds.
            misfits |= _mm512_mask_cmp_pd_mask(known, y, low, _CMP_NGE_UQ) |
                       _mm512_mask_cmp_pd_mask(known, y, high, _CMP_NLE_UQ);
            _mm512_store_pd(out + i + k, _mm512_mask_mov_pd(fill, known, y));
        }
        if (plain && off != 0)
            return false;
    }
    note(c, misfits);
    return true;
}

} // namespace

} // namespace groundrule::columns

#endif
