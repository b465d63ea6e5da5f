// The loops themselves. Included by one source a machine, which names the set that it defines.
#include "columns/kernel_bounds.h"
#include "columns/kernel_compare.h"
#include "columns/kernel_entry.h"
#include "columns/kernel_search.h"
#include "columns/kernel_tables.h"

namespace groundrule::columns {

namespace {

// --- truths

void and2(const Call &c, std::size_t rows) {
    each<Byte, Byte, Byte>(c, rows, least);
}
void and3(const Call &call, std::size_t rows) {
    each<Byte, Byte, Byte, Byte>(call, rows,
                                 [](Byte a, Byte b, Byte c) { return least(least(a, b), c); });
}
void and4(const Call &c, std::size_t rows) {
    each_of_four<Byte, Byte>(
        c, rows, [](Byte a, Byte b, Byte x, Byte y) { return least(least(a, b), least(x, y)); });
}
void or2(const Call &c, std::size_t rows) {
    each<Byte, Byte, Byte>(c, rows, most);
}
void or3(const Call &call, std::size_t rows) {
    each<Byte, Byte, Byte, Byte>(call, rows,
                                 [](Byte a, Byte b, Byte c) { return most(most(a, b), c); });
}
void or4(const Call &c, std::size_t rows) {
    each_of_four<Byte, Byte>(
        c, rows, [](Byte a, Byte b, Byte x, Byte y) { return most(most(a, b), most(x, y)); });
}
void negate(const Call &c, std::size_t rows) {
    each<Byte, Byte>(c, rows, [](Byte a) { return static_cast<Byte>(2 - a); });
}
// With an unknown condition a truth is known where both branches agree.
void choose_truth(const Call &call, std::size_t rows) {
    each<Byte, Byte, Byte, Byte>(call, rows, [](Byte c, Byte a, Byte b) {
        const Byte agreed = a == b ? a : unknown;
        return static_cast<Byte>(c == yes ? a : (c == no ? b : agreed));
    });
}

// Of a comparison of bounds: it holds where it surely does, and fails where it can't.
void decide(const Call &c, std::size_t rows) {
    each<Byte, Byte, Byte>(c, rows, [](Byte sure, Byte possible) {
        return static_cast<Byte>(most(sure, unknown) + least(possible, unknown) - unknown);
    });
}

// --- numbers

void whole_to_real(const Call &c, std::size_t rows) {
    const double unit = c.x;
    each<double, Whole>(c, rows, [unit](Whole a) {
        const double x = a;
        return x == no_whole ? nan : x * unit;
    });
}
void add(const Call &c, std::size_t rows) {
    each<double, double, double>(c, rows, [](double a, double b) { return a + b; });
}
void subtract(const Call &c, std::size_t rows) {
    each<double, double, double>(c, rows, [](double a, double b) { return a - b; });
}
void multiply(const Call &c, std::size_t rows) {
    each<double, double, double>(c, rows, [](double a, double b) { return a * b; });
}
void divide(const Call &c, std::size_t rows) {
    each<double, double, double>(c, rows, [](double a, double b) { return a / b; });
}
void add_constant(const Call &c, std::size_t rows) {
    const double x = c.x;
    each<double, double>(c, rows, [x](double a) { return a + x; });
}
void subtract_from(const Call &c, std::size_t rows) {
    const double x = c.x;
    each<double, double>(c, rows, [x](double a) { return x - a; });
}
void multiply_constant(const Call &c, std::size_t rows) {
    const double x = c.x;
    each<double, double>(c, rows, [x](double a) { return a * x; });
}
void divide_constant(const Call &c, std::size_t rows) {
    const double x = c.x;
    each<double, double>(c, rows, [x](double a) { return a / x; });
}
void divide_into(const Call &c, std::size_t rows) {
    const double x = c.x;
    each<double, double>(c, rows, [x](double a) { return x / a; });
}
// A result that no double holds, or of a division by zero, is unknown.
void finite(const Call &c, std::size_t rows) {
    each<double, double>(c, rows, [](double a) {
        return __builtin_fabs(a) <= std::numeric_limits<double>::max() ? a : nan;
    });
}
#if defined(__AVX512VBMI__)
void choose_real(const Call &c, std::size_t rows) {
    const Byte *condition = aligned<Byte>(c.in[0]);
    const double *a = aligned<double>(c.in[1]);
    const double *b = aligned<double>(c.in[2]);
    double *out = aligned<double>(c.out);
    for (std::size_t i = 0; i < rows; i += 64) {
        const Wide chosen = load_wide(condition + i);
        const Rows64 first = _mm512_cmpeq_epi8_mask(chosen, byte_wide(yes));
        const Rows64 second = _mm512_cmpeq_epi8_mask(chosen, byte_wide(no));
        for (std::size_t k = 0; k < 64; k += 8) {
            const __m512d x = _mm512_mask_load_pd(_mm512_set1_pd(nan),
                                                  static_cast<__mmask8>(first >> k), a + i + k);
            _mm512_store_pd(out + i + k,
                            _mm512_mask_load_pd(x, static_cast<__mmask8>(second >> k), b + i + k));
        }
    }
}
#else
void choose_real(const Call &call, std::size_t rows) {
    each<double, Byte, double, double>(
        call, rows, [](Byte c, double a, double b) { return c == yes ? a : (c == no ? b : nan); });
}
#endif

void real_or(const Call &c, std::size_t rows) {
    const double x = c.x;
    each<double, double>(c, rows, [x](double a) { return __builtin_isunordered(a, a) ? x : a; });
}

// --- two sources of one fact: known if either knows it

void join_truth(const Call &c, std::size_t rows) {
    Byte *__restrict apart = c.apart;
    const Byte *__restrict a = aligned<Byte>(c.in[0]);
    const Byte *__restrict b = aligned<Byte>(c.in[1]);
    Byte *__restrict out = aligned<Byte>(c.out);
    const std::size_t n = padded(rows);
    for (std::size_t i = 0; i < n; ++i) {
        apart[i] = static_cast<Byte>(apart[i] | ((a[i] ^ b[i]) == 2 ? 1 : 0));
        out[i] = a[i] == unknown ? b[i] : a[i];
    }
}
void join_code(const Call &c, std::size_t rows) {
    Byte *__restrict apart = c.apart;
    const Byte *__restrict a = aligned<Byte>(c.in[0]);
    const Byte *__restrict b = aligned<Byte>(c.in[1]);
    Byte *__restrict out = aligned<Byte>(c.out);
    const std::size_t n = padded(rows);
    for (std::size_t i = 0; i < n; ++i) {
        const bool differ = (a[i] != b[i]) & (a[i] != no_code) & (b[i] != no_code);
        apart[i] = static_cast<Byte>(apart[i] | (differ ? 1 : 0));
        out[i] = a[i] == no_code ? b[i] : a[i];
    }
}
void join_real(const Call &c, std::size_t rows) {
    const double scale = c.x;
    Byte *__restrict apart = c.apart;
    const double *__restrict a = aligned<double>(c.in[0]);
    const double *__restrict b = aligned<double>(c.in[1]);
    double *__restrict out = aligned<double>(c.out);
    const std::size_t n = padded(rows);
    for (std::size_t i = 0; i < n; ++i) {
        const double x = __builtin_rint(a[i] * scale);
        const double y = __builtin_rint(b[i] * scale);
        apart[i] = static_cast<Byte>(apart[i] | (__builtin_islessgreater(x, y) ? 1 : 0));
        out[i] = __builtin_isunordered(a[i], a[i]) ? b[i] : a[i];
    }
}

// "It applies" and "its requirement is met" to a verdict. Writes into the caller's column, which
// may be neither aligned nor padded; past the cache if c.a says so.
void verdict(const Call &c, std::size_t rows) {
    Byte *__restrict out = static_cast<Byte *>(c.out);
    const Byte *__restrict applies = static_cast<const Byte *>(c.in[0]);
    const Byte *__restrict met = static_cast<const Byte *>(c.in[1]);
    std::size_t i = 0;
#if defined(__AVX512VBMI__)
    const Wide table =
        _mm512_broadcast_i32x4(_mm_setr_epi8(2, 2, 2, 3, 3, 0, 1, 3, 0, 0, 0, 0, 0, 0, 0, 0));
    const auto verdicts = [=](std::size_t row) {
        const Wide a = load_wide(applies + row);
        const Wide at =
            _mm512_add_epi8(_mm512_add_epi8(a, a), _mm512_add_epi8(a, load_wide(met + row)));
        return _mm512_shuffle_epi8(table, at);
    };
    if (c.a != 0 && reinterpret_cast<std::uintptr_t>(out) % 64 == 0) {
        for (; i + 64 <= rows; i += 64)
            _mm512_stream_si512(reinterpret_cast<Wide *>(out + i), verdicts(i));
    }
    for (; i < rows; i += 64)
        _mm512_mask_storeu_epi8(out + i, first_rows(rows - i), verdicts(i));
#elif defined(__AVX2__)
    // By "applies", of each three by "met": 2 2 2, 3 3 0, 1 3 0.
    const Lane table =
        _mm256_broadcastsi128_si256(_mm_setr_epi8(2, 2, 2, 3, 3, 0, 1, 3, 0, 0, 0, 0, 0, 0, 0, 0));
    const bool past = c.a != 0 && reinterpret_cast<std::uintptr_t>(out) % 32 == 0;
    for (; i + 32 <= rows; i += 32) {
        const Lane a = load_lane(applies + i);
        const Lane at =
            _mm256_add_epi8(_mm256_add_epi8(a, a), _mm256_add_epi8(a, load_lane(met + i)));
        const Lane told = _mm256_shuffle_epi8(table, at);
        if (past)
            _mm256_stream_si256(reinterpret_cast<Lane *>(out + i), told);
        else
            store_lane(out + i, told);
    }
#endif
    for (; i < rows; ++i) {
        const Byte open = ((applies[i] == yes) & (met[i] == no)) ? 1 : 3;
        out[i] = static_cast<Byte>(applies[i] == no ? 2 : (met[i] == yes ? 0 : open));
    }
}

} // namespace

extern const Kernels GROUNDRULE_KERNEL_SET = {
    GROUNDRULE_EVERY_NUMBER(enter_truth), GROUNDRULE_EVERY_NUMBER(enter_code),
    GROUNDRULE_EVERY_NUMBER(enter_whole), GROUNDRULE_EVERY_NUMBER(enter_real),
#define KERNEL(name) name,
    GROUNDRULE_KERNELS(KERNEL)
#undef KERNEL
};

} // namespace groundrule::columns
