// What the hardware allows: the twenty rules fused by hand over 32 rows at a time, AVX2, no
// branches, every look-up a gather or a shuffle, verdict bytes written to memory. Doubles wherever
// the rules compute.
#include "inventory.h"
#include "lanes.h"
#include "tables.h"

using namespace bench;
using namespace lanes;

namespace {

constexpr float none = -1e30f;

// Tables indexed directly, with a value for every key that a byte or a breaker's rating can hold.
struct Dense {
    alignas(64) float ampacity[256]; // material << 7 | rating << 5 | size
    float below[1024];               // largest standard rating under that of the breaker
    float circular_mils[32];
    double correction[1024]; // rating << 8 | ambient
    double adjustment[256];

    Dense() {
        for (int i = 0; i < 256; ++i) {
            const int wire = i & 31;
            const int rating = i >> 5 & 3;
            ampacity[i] = wire < 20 && rating < 3
                              ? static_cast<float>(tables::ampacity[i >> 7][rating][wire])
                              : -1;
            adjustment[i] = -1;
            for (int j = 6; j >= 0; --j) {
                if (i <= tables::adjustment_up_to[j])
                    adjustment[i] = tables::adjustment[j];
            }
        }
        for (int i = 0; i < 1024; ++i) {
            below[i] = none;
            for (const int s : tables::standard) {
                if (s < i)
                    below[i] = static_cast<float>(s);
            }
            correction[i] = none;
            const int degrees = static_cast<std::int8_t>(i & 255);
            for (int j = 10; j >= 0 && i >> 8 < 3; --j) {
                if (degrees <= tables::correction_up_to[j])
                    correction[i] = tables::correction[i >> 8][j] < 0
                                        ? static_cast<double>(none)
                                        : tables::correction[i >> 8][j];
            }
        }
        for (int i = 0; i < 32; ++i)
            circular_mils[i] = i < 20 ? static_cast<float>(tables::circular_mils[i]) : -1;
    }
};
const Dense dense;

// What the numeric part leaves for the logic: comparisons of 32 rows.
struct Compared {
    __m256 load_in_breaker[4], load_over_0[4], load_in_cord[4], length_over_50[4], sink_in_6[4],
        has_ampacity[4], load_in_ampacity[4];
    __m256d continuous_in_breaker[8], continuous_in_ampacity[8], has_derated[8],
        over_rating_below[8], in_standard[8], load_in_derated[8], drop_in_3[8];
};

// Keys of the 32 rows as bytes.
struct Keys {
    alignas(32) std::uint8_t by_insulation[32], by_terminals[32],
        insulation_index[32], cord[32], wire[32];
    alignas(32) std::int8_t is_aluminum[32], is_three_phase[32];
};

LANES_INLINE void numbers(const Inventory &in, std::size_t row, const Keys &keys, Compared &out) {
    const auto *loads = in.as<float>(load) + row;
    const auto *lengths = in.as<float>(length) + row;
    const auto *sinks = in.as<float>(sink) + row;
    const auto *ambients = in.as<std::uint8_t>(ambient) + row;
    const auto *counts = in.as<std::uint8_t>(conductors) + row;
    const auto *breakers = in.as<std::int16_t>(breaker) + row;
    const auto *voltages = in.as<std::int16_t>(voltage) + row;
    const __m256d one_phase =
        _mm256_setr_pd(100.0 * 2 * 12.9, 100.0 * 2 * 21.2, 100.0 * 2 * 12.9, 100.0 * 2 * 21.2);
    const __m256d three_phase = _mm256_setr_pd(100 * 1.732 * 12.9, 100 * 1.732 * 21.2,
                                               100 * 1.732 * 12.9, 100 * 1.732 * 21.2);
#pragma GCC unroll 4
    for (int g = 0; g < 4; ++g) {
        const int at = 8 * g;
        const __m256 amps = _mm256_loadu_ps(loads + at);
        const __m256 feet = _mm256_loadu_ps(lengths + at);
        const __m256i rating = eight(breakers + at);
        const __m256 rating_f = _mm256_cvtepi32_ps(rating);
        const __m256 terminal =
            _mm256_i32gather_ps(dense.ampacity, eight(keys.by_terminals + at), 4);
        const __m256 uncorrected =
            _mm256_i32gather_ps(dense.ampacity, eight(keys.by_insulation + at), 4);
        const __m256i bounded =
            _mm256_min_epi32(_mm256_max_epi32(rating, zero()), _mm256_set1_epi32(1023));
        const __m256 rating_below = _mm256_i32gather_ps(dense.below, bounded, 4);
        const __m256 cmils = _mm256_i32gather_ps(dense.circular_mils, eight(keys.wire + at), 4);
        const __m256i correction_at = _mm256_add_epi32(
            _mm256_slli_epi32(eight(keys.insulation_index + at), 8), eight(ambients + at));
        const __m256i count = eight(counts + at);
        const __m256i volts = eight(voltages + at);
        out.load_in_breaker[g] = _mm256_cmp_ps(amps, rating_f, _CMP_LE_OQ);
        out.load_over_0[g] = _mm256_cmp_ps(amps, _mm256_setzero_ps(), _CMP_GT_OQ);
        out.load_in_cord[g] =
            _mm256_cmp_ps(amps, _mm256_cvtepi32_ps(eight(keys.cord + at)), _CMP_LE_OQ);
        out.length_over_50[g] = _mm256_cmp_ps(feet, _mm256_set1_ps(50), _CMP_GT_OQ);
        out.sink_in_6[g] =
            _mm256_cmp_ps(_mm256_loadu_ps(sinks + at), _mm256_set1_ps(6), _CMP_LE_OQ);
        out.has_ampacity[g] = _mm256_cmp_ps(terminal, _mm256_setzero_ps(), _CMP_GE_OQ);
        out.load_in_ampacity[g] = _mm256_cmp_ps(amps, terminal, _CMP_LE_OQ);
#pragma GCC unroll 2
        for (int h = 0; h < 2; ++h) {
            const int k = 2 * g + h;
            const __m256d a = half(amps, h);
            const __m256d limit = half(terminal, h);
            const __m256d continuous = _mm256_mul_pd(a, _mm256_set1_pd(1.25));
            out.continuous_in_breaker[k] = _mm256_cmp_pd(continuous, half(rating_f, h), _CMP_LE_OQ);
            out.continuous_in_ampacity[k] = _mm256_cmp_pd(continuous, limit, _CMP_LE_OQ);
            const __m256d base = half(uncorrected, h);
            const __m256d factor = _mm256_i32gather_pd(dense.correction, half(correction_at, h), 8);
            const __m256d adjusted = _mm256_i32gather_pd(dense.adjustment, half(count, h), 8);
            const __m256d derated = _mm256_mul_pd(_mm256_mul_pd(base, factor), adjusted);
            out.has_derated[k] =
                _mm256_and_pd(_mm256_cmp_pd(base, _mm256_setzero_pd(), _CMP_GE_OQ),
                              _mm256_cmp_pd(factor, _mm256_setzero_pd(), _CMP_GE_OQ));
            const __m256d lower = _mm256_min_pd(derated, limit);
            // breaker <= the next standard rating at or above `lower`: lower is more than the one
            // below the breaker's.
            out.over_rating_below[k] = _mm256_cmp_pd(lower, half(rating_below, h), _CMP_GT_OQ);
            out.in_standard[k] = _mm256_cmp_pd(lower, _mm256_set1_pd(800), _CMP_LE_OQ);
            out.load_in_derated[k] = _mm256_cmp_pd(a, derated, _CMP_LE_OQ);
            const auto four = [&](const std::int8_t *p) {
                return _mm256_cvtepi8_epi64(_mm_loadu_si32(p + 4 * k));
            };
            const __m256i aluminum = four(keys.is_aluminum);
            const __m256d constant =
                _mm256_blendv_pd(_mm256_permutevar_pd(one_phase, aluminum),
                                 _mm256_permutevar_pd(three_phase, aluminum),
                                 _mm256_castsi256_pd(four(keys.is_three_phase)));
            const __m256d drop =
                _mm256_div_pd(_mm256_mul_pd(_mm256_mul_pd(constant, a), half(feet, h)),
                              _mm256_mul_pd(half(cmils, h), _mm256_cvtepi32_pd(half(volts, h))));
            out.drop_in_3[k] = _mm256_cmp_pd(drop, _mm256_set1_pd(3), _CMP_LE_OQ);
        }
    }
}

// Rows [row, row + 32): `put(rule, verdicts)` takes the verdicts of each rule, counted from 0.
template <typename Put>
LANES_INLINE void check32(const Inventory &in, std::size_t row, Put put) {
    const auto has = [&](Column c) { return known(in.bits(c) + row / 8); };
    const auto wide = [&](Column c, int which) {
        return fetch(in.as<std::int16_t>(c) + row + 16 * which);
    };
    const auto byte = [&](Column c) { return fetch(in.as<std::uint8_t>(c) + row); };
    const Bytes volts0 = wide(voltage, 0), volts1 = wide(voltage, 1);
    const Bytes ground0 = wide(voltage_to_ground, 0), ground1 = wide(voltage_to_ground, 1);
    const Bytes breaker0 = wide(breaker, 0), breaker1 = wide(breaker, 1);
    const Bytes outlet0 = wide(receptacle, 0), outlet1 = wide(receptacle, 1);
    // Exact for every threshold below 255.
    const Bytes volts = saturated(volts0, volts1), to_ground = saturated(ground0, ground1);
    const Bytes amps = saturated(breaker0, breaker1), outlet_a = saturated(outlet0, outlet1);
    const Bytes wire = byte(size), metal = byte(material), covering = byte(insulation),
                terminal = byte(terminals);
    const Bytes place = byte(location), use = byte(occupancy), phase = byte(phases);
    const Bytes one = bytes(1), two = bytes(2), three = bytes(3);
    const Bytes copper = equal(metal, zero()), aluminum = inverse(copper);
    const Bytes has_volts = has(voltage), has_ground = has(voltage_to_ground),
                has_phases = has(phases), has_breaker = has(breaker);
    const Bytes has_outlet = has(receptacle), has_wire = has(size), has_metal = has(material),
                has_covering = has(insulation);
    const Bytes has_terminal = has(terminals), has_ambient = has(ambient),
                has_count = has(conductors), has_load = has(load);
    const Bytes has_continuous = has(continuous), has_place = has(location),
                has_use = has(occupancy), has_length = has(length);

    const auto rating_index = [&](Bytes t) {
        const Bytes is60 = equal(t, bytes(60)), is75 = equal(t, bytes(75)),
                    is90 = equal(t, bytes(90));
        return either(both(is75, one), both(is90, two),
                      both(inverse(either(is60, is75, is90)), three));
    };
    const Bytes covering_index = rating_index(covering);
    const Bytes base = either(_mm256_min_epu8(wire, bytes(31)), both(aluminum, bytes(128)));
    const auto at = [](const auto &a) { return const_cast<void *>(static_cast<const void *>(a)); };
    Keys keys;
    const Bytes cord = either(either(both(equal(outlet_a, bytes(15)), bytes(12)),
                                     both(equal(outlet_a, bytes(20)), bytes(16))),
                              either(both(equal(outlet_a, bytes(30)), bytes(24)),
                                     both(equal(outlet_a, bytes(50)), bytes(40))),
                              both(equal(outlet_a, bytes(60)), bytes(48)));
    store(at(keys.by_insulation), either(base, _mm256_slli_epi16(covering_index, 5)));
    store(at(keys.by_terminals), either(base, _mm256_slli_epi16(rating_index(terminal), 5)));
    store(at(keys.insulation_index), covering_index);
    store(at(keys.wire), _mm256_min_epu8(wire, bytes(31)));
    store(at(keys.cord), cord);
    store(at(keys.is_aluminum), aluminum);
    store(at(keys.is_three_phase), equal(phase, three));
    Compared n;
    numbers(in, row, keys, n);

    const Bytes has_limit = both(has_wire, has_metal, has_terminal, narrow(n.has_ampacity));
    const Bytes has_derated =
        both(has_wire, has_metal, has_covering, has_ambient, has_count, narrow(n.has_derated));
    const Bytes has_load_breaker = both(has_load, has_breaker);
    const auto flag = [&](Column c) { return truth(inverse(equal(byte(c), zero())), has(c)); };
    const Bytes protection = flag(gfci), lasting = flag(continuous), alone = flag(individual),
                charging = flag(vehicle);
    const Bytes outlet = truth(at_least(outlet_a, one), has_outlet);
    const Bytes outlet_in_50 = truth(at_most(outlet_a, bytes(50)), has_outlet);
    const Bytes low = truth(at_most(to_ground, bytes(150)), has_ground);
    const Bytes dwelling = truth(equal(use, zero()), has_use);
    const Bytes three_phase = truth(equal(phase, three), has_phases);
    const Bytes in_250 = truth(at_most(volts, bytes(250)), has_volts);
    const Bytes continuous_in_breaker = truth(narrow(n.continuous_in_breaker), has_load_breaker);
    const Bytes loaded = truth(narrow(n.load_over_0), has_load);
    const auto in_place = [&](unsigned bits) { return truth(one_of(place, bits), has_place); };
    const auto wide_both = [&](auto compare) { return narrow(compare(0), compare(1)); };

    put(0, verdict(all(in_place(0xFF), truth(at_least(volts, bytes(110)), has_volts), in_250, low,
                       outlet),
                   protection));
    put(1,
        verdict(all(outlet, outlet_in_50, low, truth(narrow(n.sink_in_6), has(sink))), protection));
    put(2,
        verdict(
            all(negation(dwelling), in_place(1u << 0 | 1u << 2 | 1u << 5 | 1u << 8 | 1u << 9), low,
                any(all(truth(equal(phase, one), has_phases), outlet, outlet_in_50),
                    all(three_phase, outlet, truth(at_most(outlet_a, bytes(100)), has_outlet)))),
            protection));
    put(3, verdict(lasting, continuous_in_breaker));
    put(4, verdict(negation(lasting), truth(narrow(n.load_in_breaker), has_load_breaker)));
    const Bytes is_lasting = inverse(equal(byte(continuous), zero()));
    put(5, verdict(loaded, truth(_mm256_blendv_epi8(narrow(n.load_in_ampacity),
                                                    narrow(n.continuous_in_ampacity), is_lasting),
                                 both(has_continuous, has_load, has_limit))));
    const Bytes in_800 = wide_both([&](int h) {
        return _mm256_cmpgt_epi16(_mm256_set1_epi16(801), h == 0 ? breaker0 : breaker1);
    });
    put(6, verdict(all(truth(at_least(amps, one), has_breaker), truth(in_800, has_breaker)),
                   truth(narrow(n.over_rating_below),
                         both(has_breaker, has_derated, has_limit, narrow(n.in_standard)))));
    put(7, verdict(any(truth(at_least(byte(conductors), bytes(4)), has_count),
                       truth(_mm256_cmpgt_epi8(byte(ambient), bytes(30)), has_ambient)),
                   truth(narrow(n.load_in_derated), both(has_load, has_derated))));
    const Bytes is_small = at_most(wire, two);
    const Bytes small =
        _mm256_shuffle_epi8(_mm256_setr_epi8(15, 20, 30, 0, 0, 0, 0, 0, 0, 15, 25, 0, 0, 0, 0, 0,
                                             15, 20, 30, 0, 0, 0, 0, 0, 0, 15, 25, 0, 0, 0, 0, 0),
                            either(wire, both(aluminum, bytes(8)), inverse(is_small)));
    put(8, verdict(truth(is_small, has_wire),
                   truth(at_most(amps, small),
                         both(has_breaker, has_wire, has_metal, inverse(equal(small, zero()))))));
    const auto is_amps = [&](int a) { return equal(amps, bytes(a)); };
    const Bytes lowest =
        either(both(either(is_amps(15), is_amps(20)), bytes(15)), both(is_amps(30), bytes(30)),
               both(is_amps(40), bytes(40)), both(is_amps(50), bytes(50)));
    const Bytes highest =
        either(both(is_amps(15), bytes(15)), both(is_amps(20), bytes(20)),
               both(is_amps(30), bytes(30)), both(either(is_amps(40), is_amps(50)), bytes(50)));
    const Bytes has_both = both(has_outlet, has_breaker);
    const Bytes has_range = both(has_both, inverse(equal(lowest, zero())));
    put(9,
        verdict(all(outlet, negation(alone)), all(truth(at_least(outlet_a, lowest), has_range),
                                                  truth(at_most(outlet_a, highest), has_range))));
    const Bytes over_outlet = wide_both([&](int h) {
        return h == 0 ? _mm256_cmpgt_epi16(breaker0, outlet0)
                      : _mm256_cmpgt_epi16(breaker1, outlet1);
    });
    put(10, verdict(all(outlet, alone), truth(inverse(over_outlet), has_both)));
    put(11, verdict(outlet, truth(narrow(n.load_in_cord),
                                  both(has_load, has_outlet, inverse(equal(cord, zero()))))));
    put(12, verdict(all(truth(narrow(n.length_over_50), has_length), loaded),
                    truth(narrow(n.drop_in_3),
                          both(has_phases, has_metal, has_load, has_length, has_volts,
                               both(has_wire, at_most(wire, bytes(19)))))));
    const auto breaker_over = [&](short a) {
        return wide_both([&](int h) {
            return _mm256_cmpgt_epi16(h == 0 ? breaker0 : breaker1, _mm256_set1_epi16(a));
        });
    };
    const Bytes in_400 = inverse(breaker_over(400));
    Bytes step = zero();
    for (const int bound : {16, 21, 61, 101, 201})
        step = _mm256_sub_epi8(step, at_least(amps, bytes(bound)));
    step = _mm256_sub_epi8(_mm256_sub_epi8(step, breaker_over(300)), inverse(in_400));
    const Bytes grounding =
        _mm256_shuffle_epi8(_mm256_setr_epi8(0, 1, 2, 3, 4, 5, 6, 99, 1, 2, 3, 4, 5, 7, 8, 99, 0, 1,
                                             2, 3, 4, 5, 6, 99, 1, 2, 3, 4, 5, 7, 8, 99),
                            either(step, both(aluminum, bytes(8))));
    put(13,
        verdict(truth(in_400, has_breaker),
                truth(at_least(wire, grounding), both(has_wire, has_breaker, has_metal, in_400))));
    put(14, verdict(charging, all(alone, continuous_in_breaker)));
    put(15, verdict(all(charging, outlet,
                        any(in_place(1u << 1 | 1u << 2 | 1u << 11), negation(dwelling))),
                    protection));
    put(16, verdict(all(truth(either(equal(use, zero()), equal(use, three)), has_use), outlet),
                    any(truth(at_most(to_ground, bytes(125)), has_ground),
                        all(truth(at_least(outlet_a, bytes(21)), has_outlet), in_250))));
    put(17, verdict(truth(at_most(amps, bytes(100)), has_breaker),
                    any(truth(at_most(terminal, bytes(60)), has_terminal),
                        all(truth(at_least(covering, bytes(75)), has_covering),
                            truth(at_most(terminal, bytes(75)), has_terminal)))));
    put(18, verdict(all(dwelling, in_place(1u << 0 | 1u << 5 | 1u << 6), outlet),
                    all(truth(at_least(amps, bytes(20)), has_breaker),
                        any(truth(at_least(wire, two), has_wire),
                            all(truth(at_least(wire, one), has_wire), truth(copper, has_metal))))));
    const auto volts_are = [&](int h, short v) {
        return _mm256_cmpeq_epi16(h == 0 ? volts0 : volts1, _mm256_set1_epi16(v));
    };
    const Bytes nominal = wide_both([&](int h) {
        return either(volts_are(h, 208), volts_are(h, 240), volts_are(h, 277), volts_are(h, 480));
    });
    const Bytes is_277 = wide_both([&](int h) { return volts_are(h, 277); });
    const Bytes over_ground = wide_both([&](int h) {
        return h == 0 ? _mm256_cmpgt_epi16(volts0, ground0) : _mm256_cmpgt_epi16(volts1, ground1);
    });
    put(19,
        verdict(any(three_phase, negation(in_250)),
                all(truth(nominal, has_volts),
                    any(truth(over_ground, both(has_volts, has_ground)), truth(is_277, has_volts)),
                    negation(all(dwelling, negation(in_250))))));
}

} // namespace

int main(int count, char **words) {
    const Call call = call_of(count, words);
    const Inventory inventory = read(call.directory, call.rows);
    const std::size_t padded = (call.rows + 31) / 32 * 32;
    std::vector<std::uint8_t> verdicts(padded * rule_count);
    const double time = seconds(call.runs, [&] {
        for (std::size_t row = 0; row < call.rows; row += 32)
            check32(inventory, row,
                    [&](std::size_t rule, Bytes v) { store(&verdicts[rule * padded + row], v); });
    });
    std::vector<std::uint8_t> packed;
    for (std::size_t rule = 0; rule < rule_count; ++rule)
        packed.insert(packed.end(), verdicts.begin() + static_cast<std::ptrdiff_t>(rule * padded),
                      verdicts.begin() + static_cast<std::ptrdiff_t>(rule * padded + call.rows));
    tell("limit", call.rows, time, checksum(packed));
}
