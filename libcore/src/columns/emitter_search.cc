// Values to the places of the thresholds that they have reached.
#include "columns/emitter.h"
#include "columns/emitter_keys.h"

#include <algorithm>
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
            apart = apart && (held == never || held == t);
            held = t;
        }
        if (!apart)
            continue;
        std::size_t reached = 0;
        for (const double t : out.thresholds) {
            const std::uint8_t before = meaning[reached];
            while (reached < thresholds.size() && thresholds[reached] == t)
                ++reached;
            out.codes.push_back(before | meaning[reached] << 8);
        }
        return out;
    }
    return {};
}

} // namespace

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

Value Emitter::searched(const Value &v, std::uint16_t tier, const std::vector<double> &thresholds,
                        const std::vector<std::uint8_t> &meaning, Domain domain) {
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
        Kernel Kernels::*const map =
            call.table != nullptr ? &Kernels::map_window : &Kernels::map_whole;
        if (call.table == nullptr)
            call.table = keep(std::move(table));
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
    call.table = keep(std::move(buckets.thresholds));
    call.more = plan_.words.emplace_back(std::move(buckets.codes)).data();
    return tables_[key] =
               code(kernel(&Kernels::search, Form::code, tier, {real}, call), std::move(domain));
}

} // namespace groundrule::columns
