// Tables of finite inputs are filled by the scalar operators, so that both evaluators mean the
// same.
#include "columns/emitter.h"

#include "columns/emitter_keys.h"

#include "columns/thresholds.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace groundrule::columns {

namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

Domain domain_of(std::vector<Cell> cells) {
    Domain d;
    d.cells = std::move(cells);
    for (std::size_t k = 0; k < d.cells.size(); ++k) {
        d.exact = d.exact && d.cells[k].exact();
        d.identity = d.identity && d.cells[k].exact() && d.cells[k].value == static_cast<double>(k);
    }
    return d;
}

bool same(const Cell &a, const Cell &b) {
    return a.bound == b.bound &&
           std::bit_cast<std::uint64_t>(a.value) == std::bit_cast<std::uint64_t>(b.value);
}

bool small_count(const Cell &c) {
    return c.exact() && c.value >= 0 && !std::signbit(c.value) &&
           c.value < static_cast<double>(longest_domain) && c.value == std::floor(c.value);
}

// The code of each result. Small whole numbers are their own codes, so that choices from different
// tables can be compared.
std::optional<std::vector<std::uint8_t>> coded(const std::vector<Cell> &results, Domain &domain) {
    std::vector<std::uint8_t> codes;
    codes.reserve(results.size());
    const bool counts = std::all_of(results.begin(), results.end(),
                                    [](const Cell &c) { return !c.known() || small_count(c); });
    double largest = -1;
    std::vector<Cell> distinct;
    for (const Cell &c : results) {
        if (!c.known()) {
            codes.push_back(no_code);
        } else if (counts) {
            largest = std::max(largest, c.value);
            codes.push_back(static_cast<std::uint8_t>(c.value));
        } else {
            const auto at = std::find_if(distinct.begin(), distinct.end(),
                                         [&](const Cell &d) { return same(c, d); });
            if (at == distinct.end() && distinct.size() == longest_domain)
                return std::nullopt;
            codes.push_back(static_cast<std::uint8_t>(at - distinct.begin()));
            if (at == distinct.end())
                distinct.push_back(c);
        }
    }
    domain = counts ? Emitter::identity(static_cast<std::size_t>(largest + 1))
                    : domain_of(std::move(distinct));
    return codes;
}

// Registers of 16 bytes that a short table takes.
std::int32_t parts_of(std::size_t entries) {
    return entries <= 16 ? 1 : (entries <= 32 ? 2 : 4);
}

} // namespace

Value Emitter::emit(Step step, Form form, std::uint16_t tier) {
    Value v;
    v.form = form;
    v.constant = false;
    v.tier = tier;
    v.buffer = static_cast<std::uint32_t>(plan_.buffers.size());
    Buffer buffer;
    buffer.form = form;
    buffer.tier = tier;
    plan_.buffers.push_back(buffer);
    step.out = v.buffer;
    step.form = form;
    step.tier = tier;
    plan_.steps.push_back(std::move(step));
    return v;
}

Value Emitter::kernel(Kernel Kernels::*kernel, Form form, std::uint16_t tier,
                      std::initializer_list<Value> in, const Call &call) {
    Step step;
    step.kernel = kernel;
    step.call = call;
    for (const Value &v : in)
        step.in.push_back(v.buffer);
    return emit(std::move(step), form, tier);
}

Value Emitter::constant(const Cell &cell) {
    Value v;
    v.cell = cell;
    return v;
}

Domain Emitter::identity(std::size_t size) {
    std::vector<Cell> cells;
    for (std::size_t k = 0; k < size; ++k)
        cells.push_back(exactly(static_cast<double>(k)));
    return domain_of(std::move(cells));
}

Value Emitter::code(Value v, Domain domain) {
    v.domain = static_cast<std::int32_t>(plan_.domains.size());
    plan_.domains.push_back(std::move(domain));
    return v;
}

const std::uint8_t *Emitter::keep(std::vector<std::uint8_t> table) {
    return plan_.bytes.emplace_back(std::move(table)).data();
}
const double *Emitter::keep(std::vector<double> table) {
    return plan_.doubles.emplace_back(std::move(table)).data();
}

std::uint32_t Emitter::buffer_of(const Value &v, Form form, std::uint16_t tier) {
    if (!v.constant)
        return v.buffer;
    const auto key =
        std::make_tuple(std::bit_cast<std::uint64_t>(v.cell.value), v.cell.bound, form, tier);
    const auto [at, fresh] =
        constants_.try_emplace(key, static_cast<std::uint32_t>(plan_.buffers.size()));
    if (fresh)
        plan_.buffers.push_back({form, tier, true, v.cell});
    return at->second;
}

bool Emitter::can_be_whole(const Value &v) const {
    if (v.form == Form::whole)
        return true;
    if (v.form != Form::code || domain(v).cells.size() > 63)
        return false;
    const std::vector<Cell> &cells = domain(v).cells;
    return std::all_of(cells.begin(), cells.end(), [](const Cell &c) {
        return c.exact() && c.value == std::floor(c.value) && std::fabs(c.value) < 32767;
    });
}

Value Emitter::as_whole(const Value &v, std::uint16_t tier) {
    if (v.form == Form::whole)
        return v;
    const auto key = std::make_tuple(v.buffer, Form::whole, Bound::exact);
    if (const auto at = converted_.find(key); at != converted_.end())
        return at->second;
    std::vector<std::uint8_t> table(128);
    for (std::size_t k = 0; k < 64; ++k) {
        const auto count = k < domain(v).cells.size()
                               ? static_cast<std::int16_t>(domain(v).cells[k].value)
                               : no_whole;
        table[k] = static_cast<std::uint8_t>(count & 0xff);
        table[k + 64] = static_cast<std::uint8_t>(count >> 8 & 0xff);
    }
    Call call;
    call.table = keep(std::move(table));
    call.a = parts_of(domain(v).cells.size() + 1);
    return converted_[key] = kernel(&Kernels::code_to_whole, Form::whole, tier, {v}, call);
}

bool Emitter::can_be_real(const Value &v) const {
    if (v.constant)
        return !v.cell.known() || v.cell.exact();
    return v.form == Form::real || v.form == Form::whole ||
           (v.form == Form::code && domain(v).exact);
}

Value Emitter::as_truth(const Value &v, std::uint16_t tier) {
    if (v.constant) {
        Value out = v;
        out.form = Form::truth;
        out.tier = tier;
        out.constant = false;
        out.buffer = buffer_of(v, Form::truth, tier);
        return out;
    }
    if (v.form == Form::truth)
        return v;
    if (v.form == Form::bounds)
        throw std::logic_error("bounds stand where a truth is needed");
    const auto key = std::make_tuple(v.buffer, Form::truth, Bound::exact);
    if (const auto at = converted_.find(key); at != converted_.end())
        return at->second;
    Value out;
    if (v.form == Form::code) {
        out = *tabulated(std::span(&v, 1), tier, true,
                         [](std::span<const Cell> c) { return cell_of(truth_in(c[0])); });
    } else {
        Call call;
        call.x = least_reaching(0, 1);
        call.y = least_reaching(1, 1);
        const Value zero =
            kernel(&Kernels::real_within, Form::truth, tier, {as_real(v, tier)}, call);
        out = kernel(&Kernels::negate, Form::truth, tier, {zero});
    }
    return converted_[key] = out;
}

Value Emitter::as_real(const Value &v, std::uint16_t tier) {
    if (v.constant) {
        Value out = v;
        out.form = Form::real;
        out.tier = tier;
        out.constant = false;
        out.buffer = buffer_of(v, Form::real, tier);
        out.magnitude = std::fabs(v.cell.value);
        out.grids = grids_of(v.cell.value);
        return out;
    }
    if (v.form == Form::real)
        return v;
    if (!can_be_real(v))
        throw std::logic_error("a value stands where a number is needed");
    if (v.form == Form::code)
        return can_be_whole(v) ? as_real(as_whole(v, tier), tier) : spread(v, tier, Bound::exact);
    const auto key = std::make_tuple(v.buffer, Form::real, Bound::exact);
    if (const auto at = converted_.find(key); at != converted_.end())
        return at->second;
    Call call;
    call.x = v.unit;
    Value out = kernel(&Kernels::whole_to_real, Form::real, tier, {v}, call);
    out.magnitude = 32768 * std::fabs(v.unit);
    out.grids = grids_of(out.magnitude);
    return converted_[key] = out;
}

// A code's numbers: those that are exact, or also those that are bounds on one side.
Value Emitter::spread(const Value &v, std::uint16_t tier, Bound bound) {
    const auto key = std::make_tuple(v.buffer, Form::real, bound);
    if (const auto at = converted_.find(key); at != converted_.end())
        return at->second;
    std::vector<double> table(256, nan);
    double magnitude = 0;
    std::uint8_t grids = 0xff;
    for (std::size_t k = 0; k < count_of(v); ++k) {
        const Cell c = cell_at(v, k);
        if (!c.exact() && (!c.known() || c.bound != bound))
            continue;
        table[k] = c.value;
        magnitude = std::max(magnitude, std::fabs(c.value));
        grids = static_cast<std::uint8_t>(grids & grids_of(c.value));
    }
    Call call;
    call.a = count_of(v) <= 64 ? parts_of(count_of(v)) : 0;
    call.table = keep(std::move(table));
    Value out = kernel(&Kernels::code_to_real, Form::real, tier, {v}, call);
    out.magnitude = magnitude;
    out.grids = grids;
    return converted_[key] = out;
}

// Of a finite value: its possible inputs, the last one being "unknown" of a code.
std::size_t Emitter::count_of(const Value &v) const {
    return v.form == Form::truth ? 3 : domain(v).cells.size() + 1;
}
Cell Emitter::cell_at(const Value &v, std::size_t k) const {
    if (v.form == Form::truth)
        return cell_of_byte(static_cast<std::uint8_t>(k));
    return k < domain(v).cells.size() ? domain(v).cells[k] : Cell{};
}

std::size_t Emitter::combinations(std::span<const Value> arguments) const {
    std::size_t all = 1;
    for (const Value &v : arguments) {
        if (!v.constant)
            all *= count_of(v);
    }
    return all;
}

std::optional<Value> Emitter::tabulated(std::span<const Value> arguments, std::uint16_t tier,
                                        bool gives_truth, const Function &function) {
    std::vector<std::size_t> open; // the arguments that are not constant
    std::vector<Cell> cells;
    for (std::size_t k = 0; k < arguments.size(); ++k) {
        cells.push_back(arguments[k].cell);
        if (!arguments[k].constant)
            open.push_back(k);
    }
    std::vector<std::size_t> stride(open.size(), 1);
    std::size_t all = 1;
    for (std::size_t k = open.size(); k-- > 0;) {
        stride[k] = all;
        all *= count_of(arguments[open[k]]);
    }
    std::vector<Cell> results;
    results.reserve(all);
    for (std::size_t at = 0; at < all; ++at) {
        for (std::size_t k = 0; k < open.size(); ++k) {
            const Value &v = arguments[open[k]];
            cells[open[k]] = cell_at(v, at / stride[k] % count_of(v));
        }
        results.push_back(function(cells));
    }
    if (std::all_of(results.begin(), results.end(),
                    [&](const Cell &c) { return same(c, results[0]); }))
        return constant(results[0]);

    Domain range;
    std::vector<std::uint8_t> table;
    if (gives_truth) {
        for (const Cell &c : results)
            table.push_back(byte_of(c));
    } else {
        const auto codes = coded(results, range);
        if (!codes)
            return std::nullopt;
        table = *codes;
    }
    Step step;
    for (std::size_t k = 0; k < open.size(); ++k) {
        const Value &v = arguments[open[k]];
        step.in.push_back(v.buffer);
        step.call.size[k] = static_cast<std::uint8_t>(count_of(v) - 1);
        step.call.stride[k] = static_cast<std::uint16_t>(stride[k]);
    }
    std::string key = gives_truth ? "truth" : "code";
    append(key, step.in);
    append(key, table);
    append(key, range);
    if (const auto at = tables_.find(key); at != tables_.end())
        return at->second;
    static constexpr Kernel Kernels::*narrow[] = {&Kernels::map2, &Kernels::map3, &Kernels::map4};
    static constexpr Kernel Kernels::*wide[] = {&Kernels::map2_wide, &Kernels::map3_wide,
                                                &Kernels::map4_wide};
    if (open.size() == 1) {
        const std::uint8_t beyond = table.back();
        step.kernel = all <= 64 ? &Kernels::map1_short : &Kernels::map1;
        step.call.a = parts_of(all);
        // Also of a truth every byte has a meaning, so that the table may be read for padding.
        table.resize(256, beyond);
    } else {
        step.kernel = (all <= 256 ? narrow : wide)[open.size() - 2];
        table.resize(std::max<std::size_t>(all, 256), table.back());
    }
    step.call.table = keep(std::move(table));
    const Value out = emit(std::move(step), gives_truth ? Form::truth : Form::code, tier);
    return tables_[key] = gives_truth ? out : code(out, std::move(range));
}

} // namespace groundrule::columns
