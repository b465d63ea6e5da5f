// Loops that look up: codes and whole numbers in tables.
#pragma once

#include "columns/kernel_compare.h"
#include "columns/kernel_lanes.h"
#include "columns/kernel_wide.h"

namespace groundrule::columns {

namespace {

// --- tables of finite inputs. A code beyond a domain is the domain's size: unknown.

#if defined(__AVX512VBMI__)
void map1(const Call &c, std::size_t rows) {
    const LongTable table(static_cast<const Byte *>(c.table));
    const Byte *in = aligned<Byte>(c.in[0]);
    Byte *out = aligned<Byte>(c.out);
    for (std::size_t i = 0; i < rows; i += 64)
        store_wide(out + i, table(load_wide(in + i)));
}
#else
void map1(const Call &c, std::size_t rows) {
    const Byte *__restrict table = static_cast<const Byte *>(c.table);
    each<Byte, Byte>(c, rows, [table](Byte a) { return table[a]; });
}
#endif

// Tables of at most 63 values, the last of them for every code beyond.
#if defined(__AVX512VBMI__)
void map1_short(const Call &c, std::size_t rows) {
    const Wide table = _mm512_loadu_si512(c.table);
    const Byte *in = aligned<Byte>(c.in[0]);
    Byte *out = aligned<Byte>(c.out);
    for (std::size_t i = 0; i < rows; i += 64)
        store_wide(out + i, _mm512_permutexvar_epi8(
                                _mm512_min_epu8(load_wide(in + i), byte_wide(63)), table));
}

// The low bytes of 16-bit numbers, and 64 bytes behind them the high ones.
void code_to_whole(const Call &c, std::size_t rows) {
    const Byte *tables = static_cast<const Byte *>(c.table);
    const Wide low = _mm512_loadu_si512(tables);
    const Wide high = _mm512_loadu_si512(tables + 64);
    const Wide order = _mm512_setr_epi64(0, 4, 1, 5, 2, 6, 3, 7);
    const Byte *in = aligned<Byte>(c.in[0]);
    std::int16_t *out = aligned<std::int16_t>(c.out);
    for (std::size_t i = 0; i < rows; i += 64) {
        const Wide key =
            _mm512_permutexvar_epi64(order, _mm512_min_epu8(load_wide(in + i), byte_wide(63)));
        const Wide l = _mm512_permutexvar_epi8(key, low);
        const Wide h = _mm512_permutexvar_epi8(key, high);
        store_wide(out + i, _mm512_unpacklo_epi8(l, h));
        store_wide(out + i + 32, _mm512_unpackhi_epi8(l, h));
    }
}
#elif defined(__AVX2__)
template <int parts>
void map_lanes(const Call &c, std::size_t rows) {
    const ShortTable<parts> table(static_cast<const Byte *>(c.table));
    const Byte *in = aligned<Byte>(c.in[0]);
    Byte *out = aligned<Byte>(c.out);
    for (std::size_t i = 0; i < rows; i += 32)
        store_lane(out + i, table(load_lane(in + i)));
}
void map1_short(const Call &c, std::size_t rows) {
    return c.a == 1 ? map_lanes<1>(c, rows)
                    : (c.a == 2 ? map_lanes<2>(c, rows) : map_lanes<4>(c, rows));
}

// The low bytes of 16-bit numbers, and 64 bytes behind them the high ones.
template <int parts>
void widen_lanes(const Call &c, std::size_t rows) {
    const ShortTable<parts> low(static_cast<const Byte *>(c.table));
    const ShortTable<parts> high(static_cast<const Byte *>(c.table) + 64);
    const Byte *in = aligned<Byte>(c.in[0]);
    std::int16_t *out = aligned<std::int16_t>(c.out);
    for (std::size_t i = 0; i < rows; i += 32) {
        const Lane key = _mm256_permute4x64_epi64(load_lane(in + i), 0xD8);
        const Lane l = low(key);
        const Lane h = high(key);
        store_lane(out + i, _mm256_unpacklo_epi8(l, h));
        store_lane(out + i + 16, _mm256_unpackhi_epi8(l, h));
    }
}
void code_to_whole(const Call &c, std::size_t rows) {
    return c.a == 1 ? widen_lanes<1>(c, rows)
                    : (c.a == 2 ? widen_lanes<2>(c, rows) : widen_lanes<4>(c, rows));
}
#else
void map1_short(const Call &c, std::size_t rows) {
    const Byte *__restrict table = static_cast<const Byte *>(c.table);
    const auto last = static_cast<Byte>(16 * c.a - 1);
    each<Byte, Byte>(c, rows, [table, last](Byte a) { return table[least(a, last)]; });
}
void code_to_whole(const Call &c, std::size_t rows) {
    const Byte *__restrict table = static_cast<const Byte *>(c.table);
    const auto last = static_cast<Byte>(16 * c.a - 1);
    each<std::int16_t, Byte>(c, rows, [table, last](Byte a) {
        const Byte at = least(a, last);
        return static_cast<std::int16_t>(table[at] | table[at + 64] << 8);
    });
}
#endif

// Codes to numbers; fewer than 16, 32 or 64 of them stand in registers (c.a: in how many pairs).
#if defined(__AVX512VBMI__)
template <int pairs>
void spread_numbers(const Call &c, std::size_t rows) {
    const double *table = static_cast<const double *>(c.table);
    __m512d low[pairs];
    __m512d high[pairs];
    for (int k = 0; k < pairs; ++k) {
        low[k] = _mm512_loadu_pd(table + 16 * k);
        high[k] = _mm512_loadu_pd(table + 16 * k + 8);
    }
    const Byte *in = aligned<Byte>(c.in[0]);
    double *out = aligned<double>(c.out);
    const __m128i last = _mm_set1_epi8(16 * pairs - 1);
    for (std::size_t i = 0; i < rows; i += 8) {
        const __m128i codes = _mm_loadl_epi64(reinterpret_cast<const __m128i *>(in + i));
        const Wide at = _mm512_cvtepu8_epi64(_mm_min_epu8(codes, last));
        const auto bit = [at](int b) { return _mm512_test_epi64_mask(at, _mm512_set1_epi64(b)); };
        const auto pair = [&](int k) { return _mm512_permutex2var_pd(low[k], at, high[k]); };
        __m512d x = pair(0);
        if constexpr (pairs > 1)
            x = _mm512_mask_mov_pd(x, bit(16), pair(1));
        if constexpr (pairs > 2)
            x = _mm512_mask_mov_pd(x, bit(32), _mm512_mask_mov_pd(pair(2), bit(16), pair(3)));
        _mm512_store_pd(out + i, x);
    }
}
#endif
void code_to_real(const Call &c, std::size_t rows) {
#if defined(__AVX512VBMI__)
    if (c.a != 0)
        return c.a == 1 ? spread_numbers<1>(c, rows)
                        : (c.a == 2 ? spread_numbers<2>(c, rows) : spread_numbers<4>(c, rows));
#endif
    const double *__restrict table = static_cast<const double *>(c.table);
    each<double, Byte>(c, rows, [table](Byte a) { return table[a]; });
}

// Of up to four keys: a place in a table, of bytes if the table has at most 256.
template <typename Place, int keys>
void mapped(const Call &c, std::size_t rows) {
    constexpr std::size_t block = 256;
    alignas(64) Place place[block];
    Byte *out = aligned<Byte>(c.out);
    const Byte *table = static_cast<const Byte *>(c.table);
    const std::size_t n = padded(rows);
    for (std::size_t from = 0; from < n; from += block) {
        const std::size_t count = n - from < block ? n - from : block;
        for (int k = 0; k < keys; ++k) {
            const Byte *__restrict in = static_cast<const Byte *>(c.in[k]) + from;
            const auto size = static_cast<Byte>(c.size[k]);
            const auto stride = static_cast<Place>(c.stride[k]);
            Place *__restrict to = place;
            if (k == 0) {
                for (std::size_t i = 0; i < count; ++i)
                    to[i] = static_cast<Place>(least(in[i], size) * stride);
            } else {
                for (std::size_t i = 0; i < count; ++i)
                    to[i] = static_cast<Place>(to[i] + least(in[i], size) * stride);
            }
        }
        for (std::size_t i = 0; i < count; ++i)
            out[from + i] = table[place[i]];
    }
}
#if defined(__AVX512VBMI__)
template <int keys>
void mapped_bytes(const Call &c, std::size_t rows) {
    const LongTable table(static_cast<const Byte *>(c.table));
    Byte *out = aligned<Byte>(c.out);
    for (std::size_t i = 0; i < rows; i += 64) {
        Wide place = byte_wide(0);
        for (int k = 0; k < keys; ++k) {
            const Wide key = _mm512_min_epu8(load_wide(static_cast<const Byte *>(c.in[k]) + i),
                                             byte_wide(c.size[k]));
            place = _mm512_add_epi8(
                place,
                c.stride[k] == 1
                    ? key
                    : multiplied(key, _mm512_set1_epi16(static_cast<std::int16_t>(c.stride[k]))));
        }
        store_wide(out + i, table(place));
    }
}
#else
template <int keys>
void mapped_bytes(const Call &c, std::size_t rows) {
    mapped<Byte, keys>(c, rows);
}
#endif
void map2(const Call &c, std::size_t rows) {
    mapped_bytes<2>(c, rows);
}
void map3(const Call &c, std::size_t rows) {
    mapped_bytes<3>(c, rows);
}
void map4(const Call &c, std::size_t rows) {
    mapped_bytes<4>(c, rows);
}
void map2_wide(const Call &c, std::size_t rows) {
    mapped<std::uint16_t, 2>(c, rows);
}
void map3_wide(const Call &c, std::size_t rows) {
    mapped<std::uint16_t, 3>(c, rows);
}
void map4_wide(const Call &c, std::size_t rows) {
    mapped<std::uint16_t, 4>(c, rows);
}
// Of whole numbers among 254 neighbours, the first of them c.a: a byte for all below, one for each,
// one for all above, and none for what is unknown.
void map_window(const Call &c, std::size_t rows) {
#if defined(__AVX512VBMI__)
    const LongTable table(static_cast<const Byte *>(c.table));
    const std::int16_t *in = aligned<std::int16_t>(c.in[0]);
    Byte *out = aligned<Byte>(c.out);
    const Wide first = _mm512_set1_epi16(static_cast<std::int16_t>(c.a - 1));
    const Wide lacking = _mm512_set1_epi16(no_whole);
    const Wide order = _mm512_setr_epi64(0, 2, 4, 6, 1, 3, 5, 7);
    for (std::size_t i = 0; i < rows; i += 64) {
        const Wide a = load_wide(in + i);
        const Wide b = load_wide(in + i + 32);
        const Wide key =
            _mm512_packus_epi16(_mm512_subs_epi16(a, first), _mm512_subs_epi16(b, first));
        const Rows64 unknowns = _mm512_cmpeq_epi16_mask(a, lacking) |
                                static_cast<Rows64>(_mm512_cmpeq_epi16_mask(b, lacking)) << 32;
        const Wide code = table(_mm512_permutexvar_epi64(order, key));
        store_wide(out + i, _mm512_mask_mov_epi8(code, unknowns, byte_wide(no_code)));
    }
#else
    const Byte *__restrict table = static_cast<const Byte *>(c.table);
    const std::int32_t first = c.a - 1;
    each<Byte, Whole>(c, rows, [table, first](Whole a) {
        const std::int32_t at = a - first;
        return a == no_whole ? no_code : table[at < 0 ? 0 : (at > 255 ? 255 : at)];
    });
#endif
}
// The same of a few steps far apart: the byte behind as many of them as a number has reached.
void count_wholes(const Call &c, std::size_t rows) {
    const Byte *table = static_cast<const Byte *>(c.table);
    std::int16_t steps[15] = {};
    for (int k = 0; k < c.a; ++k)
        steps[k] = static_cast<std::int16_t>(table[2 * k] | table[2 * k + 1] << 8);
    const Byte *meaning = table + 30;
    const std::int32_t count = c.a;
#if defined(__AVX512VBMI__)
    const std::int16_t *in = aligned<std::int16_t>(c.in[0]);
    Byte *out = aligned<Byte>(c.out);
    const Wide told =
        _mm512_broadcast_i32x4(_mm_loadu_si128(reinterpret_cast<const __m128i *>(meaning)));
    for (std::size_t i = 0; i < rows; i += 64) {
        const Wide a = load_wide(in + i);
        const Wide b = load_wide(in + i + 32);
        Wide reached = byte_wide(0);
        for (int k = 0; k < count; ++k) {
            const Wide step = _mm512_set1_epi16(steps[k]);
            const Rows64 there = _mm512_cmpge_epi16_mask(a, step) |
                                 static_cast<Rows64>(_mm512_cmpge_epi16_mask(b, step)) << 32;
            reached = _mm512_mask_add_epi8(reached, there, reached, byte_wide(1));
        }
        const Rows64 unknowns = lacking_whole(a) | static_cast<Rows64>(lacking_whole(b)) << 32;
        store_wide(out + i, _mm512_mask_mov_epi8(_mm512_shuffle_epi8(told, reached), unknowns,
                                                 byte_wide(no_code)));
    }
#else
    each<Byte, Whole>(c, rows, [&steps, meaning, count](Whole a) {
        std::int32_t reached = 0;
        for (std::int32_t k = 0; k < count; ++k)
            reached += a >= steps[k] ? 1 : 0;
        return a == no_whole ? no_code : meaning[reached];
    });
#endif
}
void map_whole(const Call &c, std::size_t rows) {
    const Byte *__restrict table = static_cast<const Byte *>(c.table);
    each<Byte, Whole>(c, rows, [table](Whole a) { return table[a + 32768]; });
}

} // namespace

} // namespace groundrule::columns
