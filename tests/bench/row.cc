// The twenty rules as a careful engineer writes them by hand: one circuit at a time, optional
// values, three-valued truths.
#include "inventory.h"
#include "tables.h"

#include <initializer_list>

using namespace bench;

namespace {

template <typename T>
struct Optional {
    T value;
    bool known;
};
using Number = Optional<double>;

struct Circuit {
    Optional<int> voltage, to_ground, phases, breaker, receptacle, size, material, insulation,
        terminals, ambient, conductors;
    Number load;
    Optional<bool> continuous;
    Optional<int> location, occupancy;
    Number sink;
    Optional<bool> gfci, individual;
    Number length;
    Optional<bool> vehicle;
};

enum Truth : std::uint8_t { no = 0, unknown = 1, yes = 2 };

Truth truth(bool b) {
    return b ? yes : no;
}
Truth is(Optional<bool> a) {
    return a.known ? truth(a.value) : unknown;
}
Truth operator!(Truth a) {
    return static_cast<Truth>(2 - a);
}
Truth all(Truth a, Truth b) {
    return a < b ? a : b;
}
Truth any(Truth a, Truth b) {
    return a > b ? a : b;
}
template <typename... Rest>
Truth all(Truth a, Truth b, Rest... rest) {
    return all(all(a, b), rest...);
}

// Of a fact and a constant, or of two facts.
template <typename A, typename Compare>
Truth compare(Optional<A> a, double b, Compare holds) {
    return a.known ? truth(holds(static_cast<double>(a.value), b)) : unknown;
}
template <typename A, typename B, typename Compare>
Truth compare(Optional<A> a, Optional<B> b, Compare holds) {
    return a.known && b.known
               ? truth(holds(static_cast<double>(a.value), static_cast<double>(b.value)))
               : unknown;
}
template <typename A, typename B>
Truth at_most(A a, B b) {
    return compare(a, b, [](double x, double y) { return x <= y; });
}
template <typename A, typename B>
Truth less(A a, B b) {
    return compare(a, b, [](double x, double y) { return x < y; });
}
template <typename A, typename B>
Truth at_least(A a, B b) {
    return compare(a, b, [](double x, double y) { return x >= y; });
}
template <typename A, typename B>
Truth more(A a, B b) {
    return compare(a, b, [](double x, double y) { return x > y; });
}
template <typename A, typename B>
Truth equal(A a, B b) {
    return compare(a, b, [](double x, double y) { return x == y; });
}

Truth one_of(Optional<int> a, std::initializer_list<int> set) {
    return a.known ? truth(std::find(set.begin(), set.end(), a.value) != set.end()) : unknown;
}

constexpr Number nothing = {0, false};
Number some(double value) {
    return {value, true};
}
Number times(Number a, Number b) {
    return a.known && b.known ? some(a.value * b.value) : nothing;
}
Number smaller(Number a, Number b) {
    return a.known && b.known ? some(std::min(a.value, b.value)) : nothing;
}

int rating_index(int degrees) {
    return degrees == 60 ? 0 : degrees == 75 ? 1 : degrees == 90 ? 2 : -1;
}

Number entry(double value) {
    return value < 0 ? nothing : some(value);
}

Number ampacity(const Circuit &c, Optional<int> rating) {
    if (!c.size.known || !c.material.known || !rating.known)
        return nothing;
    const int k = rating_index(rating.value);
    return k < 0 ? nothing : entry(tables::ampacity[c.material.value][k][c.size.value]);
}

Number correction(const Circuit &c) {
    if (!c.insulation.known || !c.ambient.known)
        return nothing;
    const int k = rating_index(c.insulation.value);
    for (int i = 0; k >= 0 && i < 11; ++i) {
        if (c.ambient.value <= tables::correction_up_to[i])
            return entry(tables::correction[k][i]);
    }
    return nothing;
}

Number adjustment(Optional<int> conductors) {
    for (int i = 0; conductors.known && i < 7; ++i) {
        if (conductors.value <= tables::adjustment_up_to[i])
            return some(tables::adjustment[i]);
    }
    return nothing;
}

Number next_standard(Number a) {
    const int *end = std::end(tables::standard);
    const int *found = a.known ? std::lower_bound(std::begin(tables::standard), end, a.value) : end;
    return found == end ? nothing : some(*found);
}

Number small_conductor(const Circuit &c) {
    if (!c.size.known || !c.material.known || c.size.value > 2)
        return nothing;
    return entry(tables::small[c.material.value][c.size.value]);
}

Number receptacle_rating(Optional<int> breaker, int column) {
    for (const auto &row : tables::receptacles) {
        if (breaker.known && row[0] == breaker.value)
            return some(row[column]);
    }
    return nothing;
}

Number cord_load(Optional<int> receptacle) {
    for (const auto &row : tables::cord_load) {
        if (receptacle.known && row[0] == receptacle.value)
            return some(row[1]);
    }
    return nothing;
}

Number grounding(const Circuit &c) {
    for (int i = 0; c.breaker.known && c.material.known && i < 7; ++i) {
        if (c.breaker.value <= tables::grounding_up_to[i])
            return some(tables::grounding[c.material.value][i]);
    }
    return nothing;
}

Number voltage_drop(const Circuit &c) {
    if (!c.phases.known || !c.material.known || !c.load.known || !c.length.known || !c.size.known ||
        !c.voltage.known)
        return nothing;
    const double lines = c.phases.value == 3 ? 1.732 : 2;
    const double resistivity = c.material.value == 0 ? 12.9 : 21.2;
    return some(100 * lines * resistivity * c.load.value * c.length.value /
                (tables::circular_mils[c.size.value] * c.voltage.value));
}

std::uint8_t verdict(Truth when, Truth requirement) {
    return when == no                         ? not_applicable
           : requirement == yes               ? complies
           : when == yes && requirement == no ? violates
                                              : undetermined;
}

void check(const Circuit &c, std::uint8_t *out) {
    const Number terminal_ampacity = ampacity(c, c.terminals);
    const Number derated =
        times(times(ampacity(c, c.insulation), correction(c)), adjustment(c.conductors));
    const Number continuous_load = times(c.load, some(1.25));
    const Number effective = !c.continuous.known  ? nothing
                             : c.continuous.value ? continuous_load
                                                  : c.load;
    const Truth outlet = more(c.receptacle, 0);
    const Truth low = at_most(c.to_ground, 150);
    const Truth dwelling = equal(c.occupancy, 0);

    out[0] = verdict(all(one_of(c.location, {0, 1, 2, 3, 4, 5, 6, 7}), at_least(c.voltage, 110),
                         at_most(c.voltage, 250), low, outlet),
                     is(c.gfci));
    out[1] = verdict(all(outlet, at_most(c.receptacle, 50), low, at_most(c.sink, 6)), is(c.gfci));
    out[2] = verdict(all(!dwelling, one_of(c.location, {0, 2, 5, 8, 9}), low,
                         any(all(equal(c.phases, 1), outlet, at_most(c.receptacle, 50)),
                             all(equal(c.phases, 3), outlet, at_most(c.receptacle, 100)))),
                     is(c.gfci));
    out[3] = verdict(is(c.continuous), at_most(continuous_load, c.breaker));
    out[4] = verdict(!is(c.continuous), at_most(c.load, c.breaker));
    out[5] = verdict(more(c.load, 0), at_most(effective, terminal_ampacity));
    out[6] = verdict(all(more(c.breaker, 0), at_most(c.breaker, 800)),
                     at_most(c.breaker, next_standard(smaller(derated, terminal_ampacity))));
    out[7] = verdict(any(more(c.conductors, 3), more(c.ambient, 30)), at_most(c.load, derated));
    out[8] = verdict(at_most(c.size, 2), at_most(c.breaker, small_conductor(c)));
    out[9] = verdict(all(outlet, !is(c.individual)),
                     all(at_least(c.receptacle, receptacle_rating(c.breaker, 1)),
                         at_most(c.receptacle, receptacle_rating(c.breaker, 2))));
    out[10] = verdict(all(outlet, is(c.individual)), at_least(c.receptacle, c.breaker));
    out[11] = verdict(outlet, at_most(c.load, cord_load(c.receptacle)));
    out[12] = verdict(all(more(c.length, 50), more(c.load, 0)), at_most(voltage_drop(c), 3));
    out[13] = verdict(at_most(c.breaker, 400), at_least(c.size, grounding(c)));
    out[14] = verdict(is(c.vehicle), all(is(c.individual), at_most(continuous_load, c.breaker)));
    out[15] = verdict(all(is(c.vehicle), outlet, any(one_of(c.location, {1, 2, 11}), !dwelling)),
                      is(c.gfci));
    out[16] = verdict(
        all(one_of(c.occupancy, {0, 3}), outlet),
        any(at_most(c.to_ground, 125), all(more(c.receptacle, 20), at_most(c.voltage, 250))));
    out[17] = verdict(
        at_most(c.breaker, 100),
        any(at_most(c.terminals, 60), all(at_least(c.insulation, 75), at_most(c.terminals, 75))));
    out[18] =
        verdict(all(dwelling, one_of(c.location, {0, 5, 6}), outlet),
                all(at_least(c.breaker, 20),
                    any(at_least(c.size, 2), all(at_least(c.size, 1), equal(c.material, 0)))));
    out[19] = verdict(any(equal(c.phases, 3), more(c.voltage, 250)),
                      all(one_of(c.voltage, {208, 240, 277, 480}),
                          any(less(c.to_ground, c.voltage), equal(c.voltage, 277)),
                          !all(dwelling, more(c.voltage, 250))));
}

template <typename T>
void fetch(const Inventory &inventory, Column column, std::size_t row, Optional<T> &out) {
    out = {static_cast<T>(inventory.value(column, row)), inventory.known(column, row)};
}

Circuit circuit_at(const Inventory &inventory, std::size_t row) {
    Circuit c = {};
    fetch(inventory, voltage, row, c.voltage);
    fetch(inventory, voltage_to_ground, row, c.to_ground);
    fetch(inventory, phases, row, c.phases);
    fetch(inventory, breaker, row, c.breaker);
    fetch(inventory, receptacle, row, c.receptacle);
    fetch(inventory, size, row, c.size);
    fetch(inventory, material, row, c.material);
    fetch(inventory, insulation, row, c.insulation);
    fetch(inventory, terminals, row, c.terminals);
    fetch(inventory, ambient, row, c.ambient);
    fetch(inventory, conductors, row, c.conductors);
    fetch(inventory, load, row, c.load);
    fetch(inventory, continuous, row, c.continuous);
    fetch(inventory, location, row, c.location);
    fetch(inventory, occupancy, row, c.occupancy);
    fetch(inventory, sink, row, c.sink);
    fetch(inventory, gfci, row, c.gfci);
    fetch(inventory, individual, row, c.individual);
    fetch(inventory, length, row, c.length);
    fetch(inventory, vehicle, row, c.vehicle);
    return c;
}

// A call as a host makes it: not merged with its neighbours.
__attribute__((noinline)) void check_one(const Circuit &circuit, std::uint8_t *out) {
    check(circuit, out);
}

} // namespace

int main(int count, char **words) {
    const Call call = call_of(count, words);
    const Inventory inventory = read(call.directory, call.rows);
    std::vector<Circuit> circuits;
    circuits.reserve(call.rows);
    for (std::size_t row = 0; row < call.rows; ++row)
        circuits.push_back(circuit_at(inventory, row));
    std::vector<std::uint8_t> verdicts(call.rows * rule_count);
    const double time = seconds(call.runs, [&] {
        for (std::size_t row = 0; row < call.rows; ++row)
            check_one(circuits[row], &verdicts[row * rule_count]);
    });
    tell("row", call.rows, time, checksum(by_rule(verdicts)));
}
