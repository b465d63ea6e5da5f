// Writes an inventory of branch circuits: generate DIRECTORY ROWS [SEED] [PERCENT_UNKNOWN]. Seeded;
// the same everywhere.
#include "inventory.h"
#include "tables.h"

#include <initializer_list>
#include <sys/stat.h>

using namespace bench;

namespace {

// xorshift128+
class Random {
  public:
    explicit Random(std::uint64_t seed)
        : a_(seed * 0x9E3779B97F4A7C15u + 1), b_(seed ^ 0xD1B54A32D192ED03u) {
        for (int i = 0; i < 20; ++i)
            next();
    }
    std::uint64_t next() {
        std::uint64_t a = a_;
        const std::uint64_t b = b_;
        a_ = b;
        a ^= a << 23;
        b_ = a ^ b ^ (a >> 18) ^ (b >> 5);
        return b_ + b;
    }
    double unit() { return static_cast<double>(next() >> 11) * 0x1p-53; }
    int below(unsigned n) { return static_cast<int>(next() % n); }
    // An index, each with its weight.
    int pick(std::initializer_list<int> weights) {
        int total = 0;
        for (const int w : weights)
            total += w;
        int left = static_cast<int>(next() % static_cast<unsigned>(total));
        int index = 0;
        for (const int w : weights) {
            if ((left -= w) < 0)
                return index;
            ++index;
        }
        return 0;
    }

  private:
    std::uint64_t a_;
    std::uint64_t b_;
};

constexpr int breakers[] = {15,  20,  25,  30,  40,  50,  60,  70, 80,
                            100, 125, 150, 200, 225, 250, 300, 400};
constexpr int receptacles[] = {0, 15, 20, 30, 50, 60};
constexpr int systems[] = {120, 208, 240, 277, 480};
constexpr int ratings[] = {60, 75, 90};

int receptacle_for(int amperes, Random &random) {
    int r = amperes <= 15   ? 15
            : amperes <= 20 ? (random.unit() < .7 ? 20 : 15)
            : amperes <= 30 ? 30
            : amperes <= 50 ? 50
                            : 60;
    if (random.unit() < .08)
        r = receptacles[1 + random.below(5)];
    return r;
}

// The order in which numbers are drawn is part of the inventory.
void draw(Random &random, double (&row)[column_count]) {
    const int system = random.pick({60, 10, 15, 8, 7});
    int to_ground = system >= 3 ? 277 : 120;
    int phase_count = 1;
    if (system == 1 || system == 4)
        phase_count = random.unit() < .6 ? 3 : 1;
    if (system == 2 && random.unit() < .05)
        to_ground = 240;
    const int amperes =
        breakers[random.pick({22, 34, 2, 9, 5, 5, 4, 2, 2, 4, 2, 2, 2, 1, 1, 1, 2})];
    const int metal = random.unit() < .8 ? 0 : 1;
    int wire = 0;
    while (wire < 19 && tables::ampacity[metal][1][wire] < amperes)
        ++wire;
    const double slip = random.unit();
    if (slip < .12 && wire > 0)
        --wire;
    else if (slip > .85 && wire < 19)
        ++wire;
    if (amperes > 100 && random.unit() < .1)
        wire = std::min(19, wire + 2);
    const int outlet = random.unit() < .55 ? receptacle_for(amperes, random) : 0;
    const int covering = ratings[random.pick({10, 40, 50})];
    const int terminal = ratings[random.pick({38, 60, 2})];
    double spread = 0;
    for (int i = 0; i < 4; ++i)
        spread += random.unit();
    int degrees = static_cast<int>(25 + (spread - 2) * 20);
    if (random.unit() < .03)
        degrees = 50 + random.below(16);
    if (random.unit() < .02)
        degrees = -10 + random.below(15);
    const double bundle = random.unit();
    const int carrying = bundle < .7   ? 2 + random.below(2)
                         : bundle < .9 ? 4 + random.below(6)
                                       : 10 + random.below(36);
    // Both calls stand in one expression, first the one on the left.
    const double share = random.unit();
    const double reach = random.unit();
    row[load] = static_cast<int>(amperes * (0.2 + 0.9 * share * (.6 + .4 * reach)) * 4) * 0.25;
    const double near = random.unit();
    row[sink] = static_cast<int>(near * random.unit() * 160) * 0.25;
    const double far = random.unit();
    row[length] = 5 + static_cast<int>(far * random.unit() * 790) * 0.5;
    row[voltage] = systems[system];
    row[voltage_to_ground] = to_ground;
    row[phases] = phase_count;
    row[breaker] = amperes;
    row[receptacle] = outlet;
    row[size] = wire;
    row[material] = metal;
    row[insulation] = covering;
    row[terminals] = terminal;
    row[ambient] = degrees;
    row[conductors] = carrying;
    row[continuous] = random.unit() < .3;
    row[location] = random.below(12);
    row[occupancy] = random.pick({50, 25, 12, 6, 7});
    row[gfci] = random.unit() < .5;
    row[individual] = random.unit() < .3;
    row[vehicle] = random.unit() < .06;
}

void put(const Inventory &inventory, Column c, std::size_t row, double value) {
    inventory.bits(c)[row / 8] =
        static_cast<std::uint8_t>(inventory.bits(c)[row / 8] | 1u << (row % 8));
    switch (described[c].kind) {
    case Kind::u8:
        inventory.as<std::uint8_t>(c)[row] = static_cast<std::uint8_t>(value);
        break;
    case Kind::i8:
        inventory.as<std::int8_t>(c)[row] = static_cast<std::int8_t>(value);
        break;
    case Kind::i16:
        inventory.as<std::int16_t>(c)[row] = static_cast<std::int16_t>(value);
        break;
    case Kind::f32:
        inventory.as<float>(c)[row] = static_cast<float>(value);
        break;
    }
}

} // namespace

int main(int count, char **words) {
    if (count < 3) {
        std::fprintf(stderr, "usage: %s DIRECTORY ROWS [SEED] [PERCENT_UNKNOWN]\n", words[0]);
        return 2;
    }
    const Inventory inventory(std::strtoull(words[2], nullptr, 10));
    Random random(count > 3 ? std::strtoull(words[3], nullptr, 10) : 42);
    const double unknown = count > 4 ? std::atof(words[4]) / 100 : 0.15;
    for (std::size_t row = 0; row < inventory.rows(); ++row) {
        double values[column_count];
        draw(random, values);
        for (std::size_t c = 0; c < column_count; ++c) {
            if (random.unit() >= unknown)
                put(inventory, static_cast<Column>(c), row, values[c]);
        }
    }
    mkdir(words[1], 0755);
    transfer(inventory, words[1], true);
}
