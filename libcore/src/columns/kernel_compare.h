// Loops that compare: numbers to truths. NaN, and the whole number that stands for it, compare as
// unknown.
#pragma once

#include "columns/kernel_lanes.h"
#include "columns/kernel_wide.h"

namespace groundrule::columns {

namespace {

using Whole = std::int16_t;

#if defined(__AVX512VBMI__)

// `see(asked, at, row)` looks at eight rows.
template <typename See>
void ask(const Call &c, std::size_t rows, See see) {
    Byte *out = aligned<Byte>(c.out);
    for (std::size_t i = 0; i < rows; i += 64) {
        Asked asked;
        for (int k = 0; k < 64; k += 8)
            see(asked, k, i + static_cast<std::size_t>(k));
        store_truths(out + i, asked.holds, asked.lacking);
    }
}

template <int predicate>
void real_pair(const Call &c, std::size_t rows) {
    const double *a = aligned<double>(c.in[0]);
    const double *b = aligned<double>(c.in[1]);
    ask(c, rows, [a, b](Asked &asked, int at, std::size_t row) {
        asked.see<predicate>(at, _mm512_load_pd(a + row), _mm512_load_pd(b + row));
    });
}
void real_at_least(const Call &c, std::size_t rows) {
    real_pair<_CMP_GE_OQ>(c, rows);
}
void real_more(const Call &c, std::size_t rows) {
    real_pair<_CMP_GT_OQ>(c, rows);
}
void real_equal(const Call &c, std::size_t rows) {
    real_pair<_CMP_EQ_OQ>(c, rows);
}

template <int predicate>
void grid_pair(const Call &c, std::size_t rows) {
    const double *a = aligned<double>(c.in[0]);
    const double *b = aligned<double>(c.in[1]);
    const __m512d scale = _mm512_set1_pd(c.x);
    const auto steps = [scale](const double *p) {
        return _mm512_roundscale_pd(_mm512_mul_pd(_mm512_load_pd(p), scale), 8);
    };
    ask(c, rows, [=](Asked &asked, int at, std::size_t row) {
        asked.see<predicate>(at, steps(a + row), steps(b + row));
    });
}
void grid_at_least(const Call &c, std::size_t rows) {
    grid_pair<_CMP_GE_OQ>(c, rows);
}
void grid_more(const Call &c, std::size_t rows) {
    grid_pair<_CMP_GT_OQ>(c, rows);
}
void grid_equal(const Call &c, std::size_t rows) {
    grid_pair<_CMP_EQ_OQ>(c, rows);
}

template <int predicate>
void real_to(const Call &c, std::size_t rows) {
    const double *a = aligned<double>(c.in[0]);
    const __m512d bound = _mm512_set1_pd(c.x);
    ask(c, rows, [=](Asked &asked, int at, std::size_t row) {
        asked.see<predicate>(at, _mm512_load_pd(a + row), bound);
    });
}
void real_from(const Call &c, std::size_t rows) {
    real_to<_CMP_GE_OQ>(c, rows);
}
void real_below(const Call &c, std::size_t rows) {
    real_to<_CMP_LT_OQ>(c, rows);
}
void real_within(const Call &c, std::size_t rows) {
    const double *a = aligned<double>(c.in[0]);
    const __m512d low = _mm512_set1_pd(c.x);
    const __m512d high = _mm512_set1_pd(c.y);
    ask(c, rows, [=](Asked &asked, int at, std::size_t row) {
        const __m512d x = _mm512_load_pd(a + row);
        asked.see<_CMP_GE_OQ>(at, x, low);
        asked.holds &= ~(static_cast<Rows64>(_mm512_cmp_pd_mask(x, high, _CMP_GE_OQ)) << at);
    });
}

// `holds(x, row)` and `lacks(x, row)` of 32 whole numbers.
template <typename Holds, typename Lacks>
void ask_wholes(const Call &c, std::size_t rows, Holds holds, Lacks lacks) {
    const Whole *in = aligned<Whole>(c.in[0]);
    Byte *out = aligned<Byte>(c.out);
    for (std::size_t i = 0; i < rows; i += 64) {
        const Wide x = load_wide(in + i);
        const Wide y = load_wide(in + i + 32);
        store_truths(out + i, holds(x, i) | static_cast<Rows64>(holds(y, i + 32)) << 32,
                     lacks(x, i) | static_cast<Rows64>(lacks(y, i + 32)) << 32);
    }
}
__mmask32 lacking_whole(Wide x) {
    return _mm512_cmpeq_epi16_mask(x, _mm512_set1_epi16(no_whole));
}

template <int predicate>
void whole_pair(const Call &c, std::size_t rows) {
    const Whole *b = aligned<Whole>(c.in[1]);
    ask_wholes(
        c, rows,
        [b](Wide x, std::size_t row) {
            return _mm512_cmp_epi16_mask(x, load_wide(b + row), predicate);
        },
        [b](Wide x, std::size_t row) {
            return lacking_whole(x) | lacking_whole(load_wide(b + row));
        });
}
void whole_at_least(const Call &c, std::size_t rows) {
    whole_pair<_MM_CMPINT_NLT>(c, rows);
}
void whole_more(const Call &c, std::size_t rows) {
    whole_pair<_MM_CMPINT_NLE>(c, rows);
}
void whole_equal(const Call &c, std::size_t rows) {
    whole_pair<_MM_CMPINT_EQ>(c, rows);
}

template <int predicate>
void whole_to(const Call &c, std::size_t rows) {
    const Wide bound = _mm512_set1_epi16(static_cast<Whole>(c.a));
    ask_wholes(
        c, rows,
        [bound](Wide x, std::size_t) { return _mm512_cmp_epi16_mask(x, bound, predicate); },
        [](Wide x, std::size_t) { return lacking_whole(x); });
}
void whole_from(const Call &c, std::size_t rows) {
    whole_to<_MM_CMPINT_NLT>(c, rows);
}
void whole_below(const Call &c, std::size_t rows) {
    whole_to<_MM_CMPINT_LT>(c, rows);
}
void whole_within(const Call &c, std::size_t rows) {
    const Wide low = _mm512_set1_epi16(static_cast<Whole>(c.a));
    const Wide high = _mm512_set1_epi16(static_cast<Whole>(c.b)); // last one within
    ask_wholes(
        c, rows,
        [=](Wide x, std::size_t) {
            return _mm512_mask_cmple_epi16_mask(_mm512_cmpge_epi16_mask(x, low), x, high);
        },
        [](Wide x, std::size_t) { return lacking_whole(x); });
}

#else

template <typename T>
Byte truth(bool holds, T x, T y) {
    return static_cast<Byte>((holds ? yes : no) + (__builtin_isunordered(x, y) ? 1 : 0));
}

void real_at_least(const Call &c, std::size_t rows) {
    each<Byte, double, double>(c, rows, [](double a, double b) { return truth(a >= b, a, b); });
}
void real_more(const Call &c, std::size_t rows) {
    each<Byte, double, double>(c, rows, [](double a, double b) { return truth(a > b, a, b); });
}
void real_equal(const Call &c, std::size_t rows) {
    each<Byte, double, double>(c, rows, [](double a, double b) { return truth(a == b, a, b); });
}

template <typename F>
void on_grid(const Call &c, std::size_t rows, F f) {
    const double scale = c.x;
    each<Byte, double, double>(c, rows, [scale, f](double a, double b) {
        const double x = __builtin_rint(a * scale);
        const double y = __builtin_rint(b * scale);
        return truth(f(x, y), x, y);
    });
}
void grid_at_least(const Call &c, std::size_t rows) {
    on_grid(c, rows, [](double a, double b) { return a >= b; });
}
void grid_more(const Call &c, std::size_t rows) {
    on_grid(c, rows, [](double a, double b) { return a > b; });
}
void grid_equal(const Call &c, std::size_t rows) {
    on_grid(c, rows, [](double a, double b) { return a == b; });
}

void real_from(const Call &c, std::size_t rows) {
    const double bound = c.x;
    each<Byte, double>(c, rows, [bound](double a) { return truth(a >= bound, a, a); });
}
void real_below(const Call &c, std::size_t rows) {
    const double bound = c.x;
    each<Byte, double>(c, rows, [bound](double a) { return truth(a < bound, a, a); });
}
void real_within(const Call &c, std::size_t rows) {
    const double low = c.x;
    const double high = c.y;
    each<Byte, double>(c, rows,
                       [low, high](double a) { return truth((a >= low) & (a < high), a, a); });
}

Byte whole_truth(bool holds, bool lacking) {
    return static_cast<Byte>(lacking ? unknown : (holds ? yes : no));
}

template <typename F>
void wholes(const Call &c, std::size_t rows, F f) {
    each<Byte, Whole, Whole>(c, rows, [f](Whole a, Whole b) {
        return whole_truth(f(a, b), (a == no_whole) | (b == no_whole));
    });
}
void whole_at_least(const Call &c, std::size_t rows) {
    wholes(c, rows, [](Whole a, Whole b) { return a >= b; });
}
void whole_more(const Call &c, std::size_t rows) {
    wholes(c, rows, [](Whole a, Whole b) { return a > b; });
}
void whole_equal(const Call &c, std::size_t rows) {
    wholes(c, rows, [](Whole a, Whole b) { return a == b; });
}
void whole_from(const Call &c, std::size_t rows) {
    const auto bound = static_cast<Whole>(c.a);
    each<Byte, Whole>(c, rows, [bound](Whole a) { return whole_truth(a >= bound, a == no_whole); });
}
void whole_below(const Call &c, std::size_t rows) {
    const auto bound = static_cast<Whole>(c.a);
    each<Byte, Whole>(c, rows, [bound](Whole a) { return whole_truth(a < bound, a == no_whole); });
}
void whole_within(const Call &c, std::size_t rows) {
    const auto low = static_cast<Whole>(c.a);
    const auto high = static_cast<Whole>(c.b); // last one within
    each<Byte, Whole>(c, rows, [low, high](Whole a) {
        return whole_truth((a >= low) & (a <= high), a == no_whole);
    });
}

#endif

} // namespace

} // namespace groundrule::columns
