// Values that can carry a bound: that which they are at least, that which they are at most, and the
// values among them that are known exactly.
#include "columns/emitter.h"

#include <algorithm>
#include <limits>

namespace groundrule::columns {

namespace {

Cell cell_within(const Cell &c, Bound side) {
    return c.exact() || c.bound == side ? exactly(c.value) : Cell{};
}

} // namespace

Value Emitter::emit_bounds(Step step, std::uint16_t tier) {
    Buffer buffer;
    buffer.form = Form::real;
    buffer.tier = tier;
    const auto upper = static_cast<std::uint32_t>(plan_.buffers.size());
    plan_.buffers.push_back(buffer);
    step.upper = upper;
    Value v = emit(std::move(step), Form::bounds, tier);
    v.upper = upper;
    v.magnitude = std::numeric_limits<double>::infinity();
    return v;
}

Value Emitter::side(const Value &v, Bound bound, std::uint16_t tier) {
    if (v.constant)
        return constant(cell_within(v.cell, bound));
    if (can_be_real(v))
        return v;
    if (v.form == Form::code)
        return spread(v, tier, bound);
    Value out = v;
    out.form = Form::real;
    if (bound == Bound::at_most)
        out.buffer = v.upper;
    return out;
}

Value Emitter::lower(const Value &v, std::uint16_t tier) {
    return side(v, Bound::at_least, tier);
}
Value Emitter::upper(const Value &v, std::uint16_t tier) {
    return side(v, Bound::at_most, tier);
}

Value Emitter::exact(const Value &v, std::uint16_t tier) {
    if (v.constant)
        return constant(v.cell.exact() ? v.cell : Cell{});
    if (can_be_real(v))
        return v;
    if (v.form == Form::code)
        return spread(v, tier, Bound::exact);
    const Value low = lower(v, tier);
    Value out = kernel(&Kernels::both_known, Form::real, tier, {low, upper(v, tier)});
    out.grids = v.grids;
    out.magnitude = v.magnitude;
    return out;
}

Value Emitter::between(const Value &low, const Value &high, std::uint16_t tier) {
    const Value l = as_real(low, tier);
    const Value h = as_real(high, tier);
    Value out;
    out.form = Form::bounds;
    out.constant = false;
    out.tier = tier;
    out.buffer = l.buffer;
    out.upper = h.buffer;
    out.grids = static_cast<std::uint8_t>(l.grids & h.grids);
    out.magnitude = std::max(l.magnitude, h.magnitude);
    return out;
}

void Emitter::reads(Step &step, const Value &v) {
    if (v.constant)
        return;
    step.in.push_back(v.buffer);
    if (v.form == Form::bounds)
        step.in.push_back(v.upper);
}

} // namespace groundrule::columns
