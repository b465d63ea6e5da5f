// What the loops share on machines with AVX-512 and its byte permutations: 64 rows at a time, and
// one bit a row where something is asked of it.
#pragma once

#include "columns/kernel_lanes.h"

#if defined(__AVX512VBMI__)

namespace groundrule::columns {

namespace {

using Wide = __m512i;
using Rows64 = std::uint64_t; // a bit a row

Wide load_wide(const void *p) {
    return _mm512_load_si512(p);
}
void store_wide(void *p, Wide v) {
    _mm512_store_si512(p, v);
}
Wide byte_wide(int x) {
    return _mm512_set1_epi8(static_cast<char>(x));
}

void store_truths(Byte *out, Rows64 holds, Rows64 lacking) {
    const Wide known = _mm512_maskz_mov_epi8(holds, byte_wide(yes));
    store_wide(out, _mm512_mask_mov_epi8(known, lacking, byte_wide(unknown)));
}

// The first so many rows.
Rows64 first_rows(std::size_t rows) {
    return rows >= 64 ? ~Rows64{0} : (Rows64{1} << rows) - 1;
}

// The bits of up to 64 rows; none is read that stands behind the last row.
Rows64 told_at(const void *bits, std::size_t row, std::size_t rows) {
    const Byte *from = static_cast<const Byte *>(bits) + row / 8;
    const std::size_t left = rows - row;
    Rows64 word = 0;
    if (left >= 64)
        __builtin_memcpy(&word, from, 8);
    else
        __builtin_memcpy(&word, from, (left + 7) / 8);
    return word & first_rows(left);
}

// A table of 256 bytes.
struct LongTable {
    explicit LongTable(const Byte *table) {
        for (int k = 0; k < 4; ++k)
            part[k] = _mm512_loadu_si512(table + 64 * k);
    }
    Wide operator()(Wide key) const {
        return _mm512_mask_blend_epi8(_mm512_movepi8_mask(key),
                                      _mm512_permutex2var_epi8(part[0], key, part[1]),
                                      _mm512_permutex2var_epi8(part[2], key, part[3]));
    }
    Wide part[4];
};

// key × times, of bytes, what goes beyond 255 cut off.
Wide multiplied(Wide key, Wide times) {
    const Wide even = _mm512_mullo_epi16(key, times);
    const Wide odd = _mm512_slli_epi16(_mm512_mullo_epi16(_mm512_srli_epi16(key, 8), times), 8);
    return _mm512_mask_mov_epi8(even, 0xAAAAAAAAAAAAAAAA, odd);
}

// Rows of eight doubles whose comparison with the predicate holds, and those with a NaN.
struct Asked {
    Rows64 holds = 0;
    Rows64 lacking = 0;
    template <int predicate>
    void see(int at, __m512d a, __m512d b) {
        holds |= static_cast<Rows64>(_mm512_cmp_pd_mask(a, b, predicate)) << at;
        lacking |= static_cast<Rows64>(_mm512_cmp_pd_mask(a, b, _CMP_UNORD_Q)) << at;
    }
};

} // namespace

} // namespace groundrule::columns

#endif
