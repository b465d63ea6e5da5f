// Columns of the host's into buffers: neither aligned nor padded. in[0] is the column, in[1] a bit
// for each row that tells something; `more` an Entry. `apart` is set if a row does not fit.
#pragma once

#include "columns/kernel_entry_wide.h"
#include "columns/kernel_lanes.h"

namespace groundrule::columns {

namespace {

#if defined(__AVX2__) && !defined(__AVX512VBMI__)
// The bits of up to 32 rows; none is read that stands behind the last row.
std::uint32_t bits_at(const void *bits, std::size_t row, std::size_t rows) {
    const Byte *from = static_cast<const Byte *>(bits) + row / 8;
    std::uint32_t word = 0;
    const std::size_t left = rows - row;
    __builtin_memcpy(&word, from, left >= 32 ? 4 : (left + 7) / 8);
    return left >= 32 ? word : word & ((1u << left) - 1);
}

// 32 bytes of the host's, less behind the last row.
Lane bytes_at(const Byte *in, std::size_t row, std::size_t rows) {
    if (rows - row >= 32)
        return load_lane(in + row);
    alignas(32) Byte tail[32] = {};
    __builtin_memcpy(tail, in + row, rows - row);
    return load_lane(tail);
}

void note(const Call &c, Lane misfits) {
    if (_mm256_testz_si256(misfits, misfits) == 0)
        *c.apart = 1;
}
#endif

// `enter(value)` gives what stands in the buffer; `fits(value, result)` whether that is what is
// meant.
template <typename Out, typename T, typename Enter, typename Fits>
void rows_one_by_one(const Call &c, std::size_t rows, Enter enter, Fits fits) {
    const T *in = static_cast<const T *>(c.in[0]);
    const Byte *bits = static_cast<const Byte *>(c.in[1]);
    Out *out = aligned<Out>(c.out);
    const auto fill = static_cast<Out>(static_cast<const Entry *>(c.more)->fill);
    bool misfit = false;
    for (std::size_t i = 0; i < rows; ++i) {
        const bool told = (bits[i / 8] >> (i % 8) & 1) != 0;
        const Out value = enter(in[i]);
        misfit |= told & !fits(in[i], value);
        out[i] = told ? value : fill;
    }
    if (misfit)
        *c.apart = 1;
}

template <typename T>
void enter_truth(const Call &c, std::size_t rows) {
#if defined(__AVX512VBMI__)
    if constexpr (sizeof(T) == 1)
        return enter_truth_bytes(c, rows);
#elif defined(__AVX2__)
    if constexpr (sizeof(T) == 1) {
        const Byte *in = static_cast<const Byte *>(c.in[0]);
        Byte *out = aligned<Byte>(c.out);
        const Lane fill = byte_lane(static_cast<int>(static_cast<const Entry *>(c.more)->fill));
        const Lane one = byte_lane(1);
        Lane misfits = byte_lane(0);
        for (std::size_t i = 0; i < rows; i += 32) {
            const Lane told = spread_bits(bits_at(c.in[1], i, rows));
            const Lane value = bytes_at(in, i, rows);
            const Lane bit = _mm256_min_epu8(value, one);
            misfits =
                _mm256_or_si256(misfits, _mm256_andnot_si256(_mm256_cmpeq_epi8(value, bit), told));
            store_lane(out + i, _mm256_blendv_epi8(fill, _mm256_add_epi8(bit, bit), told));
        }
        return note(c, misfits);
    }
#endif
    rows_one_by_one<Byte, T>(
        c, rows, [](T x) { return x == T{0} ? no : yes; },
        [](T x, Byte) { return (x == T{0}) | (x == T{1}); });
}

// Truths that stand as bits.
void enter_bits(const Call &c, std::size_t rows) {
    Byte *out = aligned<Byte>(c.out);
    const auto fill = static_cast<Byte>(static_cast<const Entry *>(c.more)->fill);
#if defined(__AVX512VBMI__)
    for (std::size_t i = 0; i < rows; i += 64) {
        const Rows64 told = told_at(c.in[1], i, rows);
        const Wide known = _mm512_maskz_mov_epi8(told_at(c.in[0], i, rows), byte_wide(yes));
        store_wide(out + i, _mm512_mask_mov_epi8(byte_wide(fill), told, known));
    }
#elif defined(__AVX2__)
    for (std::size_t i = 0; i < rows; i += 32) {
        const Lane told = spread_bits(bits_at(c.in[1], i, rows));
        const Lane value = spread_bits(bits_at(c.in[0], i, rows));
        store_lane(out + i, _mm256_blendv_epi8(byte_lane(fill),
                                               _mm256_and_si256(value, byte_lane(yes)), told));
    }
#else
    const Byte *values = static_cast<const Byte *>(c.in[0]);
    const Byte *bits = static_cast<const Byte *>(c.in[1]);
    for (std::size_t i = 0; i < rows; ++i) {
        const auto bit = static_cast<Byte>(values[i / 8] >> (i % 8) & 1);
        out[i] = (bits[i / 8] >> (i % 8) & 1) != 0 ? static_cast<Byte>(bit + bit) : fill;
    }
#endif
}

template <typename T>
void enter_code(const Call &c, std::size_t rows) {
    const Byte *table = static_cast<const Byte *>(c.table);
    const std::int64_t entries = static_cast<const Entry *>(c.more)->entries;
#if defined(__AVX512VBMI__)
    // The table has no codes behind its entries: neither for a negative place.
    if (sizeof(T) == 1 && (std::is_unsigned_v<T> || entries <= 128))
        return enter_code_bytes(c, rows);
#elif defined(__AVX2__)
    if (sizeof(T) == 1 && entries <= 63) {
        const ShortTable<4> short_table(table);
        const Byte *in = static_cast<const Byte *>(c.in[0]);
        Byte *out = aligned<Byte>(c.out);
        const Lane fill = byte_lane(static_cast<int>(static_cast<const Entry *>(c.more)->fill));
        Lane misfits = byte_lane(0);
        for (std::size_t i = 0; i < rows; i += 32) {
            const Lane told = spread_bits(bits_at(c.in[1], i, rows));
            const Lane code = short_table(bytes_at(in, i, rows));
            misfits = _mm256_or_si256(
                misfits, _mm256_and_si256(_mm256_cmpeq_epi8(code, byte_lane(no_code)), told));
            store_lane(out + i, _mm256_blendv_epi8(fill, code, told));
        }
        return note(c, misfits);
    }
#endif
    rows_one_by_one<Byte, T>(
        c, rows,
        [table, entries](T x) {
            const auto at = static_cast<std::int64_t>(x);
            return at >= 0 && at < entries ? table[at] : no_code;
        },
        [](T, Byte code) { return code != no_code; });
}

template <typename T>
void enter_whole(const Call &c, std::size_t rows) {
#if defined(__AVX512VBMI__)
    if constexpr (sizeof(T) == 1 || std::is_signed_v<T>)
        if constexpr (!std::is_floating_point_v<T>)
            return enter_whole_numbers<T>(c, rows);
#endif
    const auto low = static_cast<std::int16_t>(static_cast<const Entry *>(c.more)->low);
#if defined(__AVX2__) && !defined(__AVX512VBMI__)
    if constexpr (sizeof(T) == 1 || std::is_same_v<T, std::int16_t>) {
        const Byte *in = static_cast<const Byte *>(c.in[0]);
        std::int16_t *out = aligned<std::int16_t>(c.out);
        const Lane fill =
            _mm256_set1_epi16(static_cast<std::int16_t>(static_cast<const Entry *>(c.more)->fill));
        const Lane lowest = _mm256_set1_epi16(low);
        Lane misfits = byte_lane(0);
        const auto half = [&](std::size_t i, Lane value, Lane told) {
            misfits =
                _mm256_or_si256(misfits, _mm256_and_si256(_mm256_cmpgt_epi16(lowest, value), told));
            store_lane(out + i, _mm256_blendv_epi8(fill, value, told));
        };
        for (std::size_t i = 0; i < rows; i += 32) {
            const Lane told = spread_bits(bits_at(c.in[1], i, rows));
            Lane first;
            Lane second;
            if constexpr (sizeof(T) == 2) {
                first = bytes_at(in, 2 * i, 2 * rows);
                second = rows - i > 16 ? bytes_at(in, 2 * i + 32, 2 * rows) : first;
            } else {
                const Lane bytes = bytes_at(in, i, rows);
                const __m128i l = _mm256_castsi256_si128(bytes);
                const __m128i h = _mm256_extracti128_si256(bytes, 1);
                first = std::is_signed_v<T> ? _mm256_cvtepi8_epi16(l) : _mm256_cvtepu8_epi16(l);
                second = std::is_signed_v<T> ? _mm256_cvtepi8_epi16(h) : _mm256_cvtepu8_epi16(h);
            }
            half(i, first, _mm256_cvtepi8_epi16(_mm256_castsi256_si128(told)));
            half(i + 16, second, _mm256_cvtepi8_epi16(_mm256_extracti128_si256(told, 1)));
        }
        return note(c, misfits);
    }
#endif
    rows_one_by_one<std::int16_t, T>(
        c, rows, [](T x) { return static_cast<std::int16_t>(x); },
        [low](T x, std::int16_t narrow) {
            return (static_cast<T>(narrow) == x) & ((narrow < 0) == (x < T{0})) & (narrow >= low);
        });
}

// a / b, given 1 / b. With fused operations one correction of the product gives the correctly
// rounded quotient (Markstein, "Computation of elementary functions on the IBM RISC System/6000
// processor", 1990), which is what a division gives, in a fraction of the time.
#if defined(__AVX2__) && !defined(__AVX512VBMI__)
__m256d divided(__m256d a, __m256d b, __m256d per_b) {
    const __m256d q = _mm256_mul_pd(a, per_b);
    return _mm256_fmadd_pd(_mm256_fnmadd_pd(q, b, a), per_b, q);
}

// Four rows, unknown ones NaN.
__m256d four_of(const float *in, __m256d told) {
    const __m256d x = _mm256_cvtps_pd(_mm_loadu_ps(in));
    return _mm256_blendv_pd(_mm256_set1_pd(nan), x, told);
}
__m256d four_of(const double *in, __m256d told) {
    return _mm256_blendv_pd(_mm256_set1_pd(nan), _mm256_loadu_pd(in), told);
}

// Rounds each value to the grid. If all are multiples of 1/64 of the base unit they are on every
// grid of 10⁶ or 10⁹ steps already: `plain` tries that, and gives up at the first block that is
// not.
template <bool plain, typename T>
bool enter_fours(const Call &c, std::size_t rows) {
    const Entry &entry = *static_cast<const Entry *>(c.more);
    const T *in = static_cast<const T *>(c.in[0]);
    double *out = aligned<double>(c.out);
    const __m256d factor = _mm256_set1_pd(entry.factor);
    const __m256d offset = _mm256_set1_pd(entry.offset);
    const __m256d scale = _mm256_set1_pd(entry.scale);
    const __m256d per_scale = _mm256_set1_pd(1 / entry.scale);
    const __m256d fill = _mm256_set1_pd(entry.fill);
    const __m256d low = _mm256_set1_pd(entry.low);
    const __m256d high = _mm256_set1_pd(entry.high);
    __m256d misfits = _mm256_setzero_pd();
    __m256d off = _mm256_setzero_pd();
    for (std::size_t i = 0; i < rows; i += 32) {
        const std::uint32_t bits = bits_at(c.in[1], i, rows);
        const Lane told_bytes = spread_bits(bits);
        alignas(32) Byte told_of[32];
        store_lane(told_of, told_bytes);
        T tail[32] = {};
        const T *from = in + i;
        if (rows - i < 32) {
            __builtin_memcpy(tail, from, (rows - i) * sizeof(T));
            from = tail;
        }
        for (std::size_t k = 0; k < 32; k += 4) {
            std::int32_t four = 0;
            __builtin_memcpy(&four, told_of + k, 4);
            const __m256d told = _mm256_castsi256_pd(_mm256_cvtepi8_epi64(_mm_cvtsi32_si128(four)));
            const __m256d x = four_of(from + k, told);
            __m256d y = x;
            if constexpr (plain) {
                const __m256d parts = _mm256_mul_pd(x, _mm256_set1_pd(64));
                off =
                    _mm256_or_pd(off, _mm256_cmp_pd(parts, _mm256_round_pd(parts, 8), _CMP_NEQ_OQ));
            } else {
                y = _mm256_add_pd(_mm256_mul_pd(x, factor), offset);
                y = divided(_mm256_round_pd(_mm256_mul_pd(y, scale), 8), scale, per_scale);
            }
            y = _mm256_add_pd(y, _mm256_setzero_pd());
            const __m256d within = _mm256_and_pd(_mm256_cmp_pd(y, low, _CMP_GE_OQ),
                                                 _mm256_cmp_pd(y, high, _CMP_LE_OQ));
            misfits = _mm256_or_pd(misfits, _mm256_andnot_pd(within, told));
            _mm256_store_pd(out + i + k, _mm256_blendv_pd(fill, y, told));
        }
        if (plain && _mm256_movemask_pd(off) != 0)
            return false;
    }
    if (_mm256_movemask_pd(misfits) != 0)
        *c.apart = 1;
    return true;
}
#endif

template <typename T>
void enter_real(const Call &c, std::size_t rows) {
    const Entry entry = *static_cast<const Entry *>(c.more);
#if defined(__AVX2__)
    if constexpr (std::is_floating_point_v<T>) {
        const bool may_be_plain = entry.factor == 1 && entry.offset == 0 && entry.scale >= 1e6;
#if defined(__AVX512VBMI__)
        if (!may_be_plain || !enter_eights<true, T>(c, rows))
            enter_eights<false, T>(c, rows);
#else
        if (!may_be_plain || !enter_fours<true, T>(c, rows))
            enter_fours<false, T>(c, rows);
#endif
        return;
    }
#endif
    rows_one_by_one<double, T>(
        c, rows,
        [&entry](T x) {
            const double y = static_cast<double>(x) * entry.factor + entry.offset;
            return __builtin_rint(y * entry.scale) / entry.scale + 0.0;
        },
        [&entry](T, double y) { return (y >= entry.low) & (y <= entry.high); });
}

#define GROUNDRULE_EVERY_NUMBER(loop)                                                              \
    {                                                                                              \
        loop<std::int8_t>, loop<std::uint8_t>, loop<std::int16_t>, loop<std::uint16_t>,            \
            loop<std::int32_t>, loop<std::uint32_t>, loop<std::int64_t>, loop<std::uint64_t>,      \
            loop<float>, loop<double>                                                              \
    }

} // namespace

} // namespace groundrule::columns
