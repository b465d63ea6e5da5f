// Values to the places of the thresholds that they have reached.
#include "columns/emitter.h"
#include "columns/emitter_keys.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace groundrule::columns {

namespace {

struct Buckets {
    double per_unit = 0;
    std::vector<double> thresholds;
    std::vector<std::int32_t> codes; // before the threshold; from it on in the second byte
};

// Buckets of one width with at most one threshold each; none if that takes too many.
Buckets buckets_of(const std::vector<double> &thresholds,
                   const std::vector<std::uint8_t> &meaning) {
    constexpr std::size_t most_buckets = 2048;
    constexpr double never = std::numeric_limits<double>::infinity();
    const double origin = thresholds.front();
    const double range = thresholds.back() - origin;
    for (std::size_t count = 16; count <= most_buckets && range > 0; count *= 2) {
        Buckets out{static_cast<double>(count - 1) / range, std::vector<double>(count, never), {}};
        bool apart = true;
        for (const double t : thresholds) {
            const double at = std::min((t - origin) * out.per_unit, static_cast<double>(count - 1));
            double &held = out.thresholds[static_cast<std::size_t>(at)];
            apart = apart && held == never;
            held = t;
        }
        if (!apart)
            continue;
        std::size_t reached = 0;
        for (const double t : out.thresholds) {
            const std::uint8_t before = meaning[reached];
            if (std::isfinite(t))
                ++reached;
            out.codes.push_back(before | meaning[reached] << 8);
        }
        return out;
    }
    return {};
}

// Thresholds that are equal become one: what is meant between them is never reached. Of keys that
// are met exactly, one grid step apart, the end of the first is the beginning of the next.
void join_equal(std::vector<double> &thresholds, std::vector<std::uint8_t> &meaning) {
    for (std::size_t k = thresholds.size(); k-- > 1;) {
        if (thresholds[k] == thresholds[k - 1]) {
            thresholds.erase(thresholds.begin() + static_cast<std::ptrdiff_t>(k));
            meaning.erase(meaning.begin() + static_cast<std::ptrdiff_t>(k));
        }
    }
}

} // namespace

// How many thresholds stand in the buckets before each, 256 of them; behind that what so many mean.
const std::uint8_t *Emitter::reached_in(const std::vector<double> &of_buckets,
                                        const std::vector<std::uint8_t> &meaning) {
    std::vector<std::uint8_t> out;
    std::uint8_t reached = 0;
    for (const double threshold : of_buckets) {
        out.push_back(reached);
        if (std::isfinite(threshold))
            ++reached;
    }
    out.resize(256, reached);
    out.insert(out.end(), meaning.begin(), meaning.end());
    out.resize(320, no_code);
    return keep(std::move(out));
}

// The part of a table of all whole numbers in which it changes, if that is short; with what stands
// before and behind it.
const std::uint8_t *Emitter::window_of(const std::vector<std::uint8_t> &table,
                                       std::int32_t &first) {
    std::size_t begin = 1; // of all whole numbers, the first of which means unknown
    while (begin + 1 < table.size() && table[begin + 1] == table[begin])
        ++begin;
    std::size_t end = table.size() - 1;
    while (end > begin && table[end - 1] == table[end])
        --end;
    // Places begin … end: the last one of those before, and the first one of those behind.
    if (end - begin > 255 || begin + 255 >= table.size())
        return nullptr;
    first = static_cast<std::int32_t>(begin) + 1 - 32768;
    const auto from = table.begin() + static_cast<std::ptrdiff_t>(begin);
    return keep(std::vector<std::uint8_t>(from, from + 256));
}

// The whole numbers at which such a table changes, as pairs of bytes, the lower one first; room for
// 15 of them, and behind them the byte before the first and that from each on.
const std::uint8_t *Emitter::steps_of(const std::vector<std::uint8_t> &table, std::int32_t &count) {
    std::vector<std::uint8_t> out(30);
    out.push_back(table[1]);
    count = 0;
    for (std::size_t place = 2; place < table.size(); ++place) {
        if (table[place] == table[place - 1])
            continue;
        const auto whole = static_cast<std::uint16_t>(place + 32768);
        out[2 * static_cast<std::size_t>(count)] = static_cast<std::uint8_t>(whole & 0xffu);
        out[2 * static_cast<std::size_t>(count) + 1] = static_cast<std::uint8_t>(whole >> 8u);
        out.push_back(table[place]);
        ++count;
    }
    out.resize(64, no_code);
    return keep(std::move(out));
}

Value Emitter::searched(const Value &v, std::uint16_t tier, std::vector<double> thresholds,
                        std::vector<std::uint8_t> meaning, Domain domain) {
    join_equal(thresholds, meaning);
    std::string key = "search";
    append(key, std::vector<std::uint32_t>{v.buffer});
    append(key, thresholds);
    append(key, meaning);
    append(key, domain);
    if (const auto at = tables_.find(key); at != tables_.end())
        return at->second;
    if (v.form == Form::whole) {
        std::vector<std::uint8_t> table(65536, no_code);
        for (std::size_t place = 1; place < table.size(); ++place) {
            const double value = (static_cast<double>(place) - 32768) * v.unit;
            const auto reached =
                std::upper_bound(thresholds.begin(), thresholds.end(), value) - thresholds.begin();
            table[place] = meaning[static_cast<std::size_t>(reached)];
        }
        Call call;
        call.table = window_of(table, call.a);
        Kernel Kernels::*map = &Kernels::map_window;
        if (call.table == nullptr && thresholds.size() < 16) {
            map = &Kernels::count_wholes;
            call.table = steps_of(table, call.a);
        } else if (call.table == nullptr) {
            map = &Kernels::map_whole;
            call.table = keep(std::move(table));
        }
        return tables_[key] = code(kernel(map, Form::code, tier, {v}, call), std::move(domain));
    }
    Call call;
    const Value real = as_real(v, tier);
    Buckets buckets;
    if (thresholds.size() > 4)
        buckets = buckets_of(thresholds, meaning);
    if (buckets.codes.empty()) {
        call.table = keep(thresholds);
        call.more = keep(meaning);
        call.a = static_cast<std::int32_t>(thresholds.size());
        return tables_[key] = code(kernel(&Kernels::count_steps, Form::code, tier, {real}, call),
                                   std::move(domain));
    }
    call.x = thresholds.front();
    call.y = buckets.per_unit;
    call.a = static_cast<std::int32_t>(buckets.codes.size() - 1);
    if (buckets.codes.size() <= 256 && thresholds.size() < 32) {
        call.more = reached_in(buckets.thresholds, meaning);
        std::vector<double> all = thresholds;
        all.resize(32, std::numeric_limits<double>::infinity());
        call.table = keep(std::move(all));
        return tables_[key] = code(kernel(&Kernels::search_short, Form::code, tier, {real}, call),
                                   std::move(domain));
    }
    call.table = keep(std::move(buckets.thresholds));
    call.more = plan_.words.emplace_back(std::move(buckets.codes)).data();
    return tables_[key] =
               code(kernel(&Kernels::search, Form::code, tier, {real}, call), std::move(domain));
}

} // namespace groundrule::columns
