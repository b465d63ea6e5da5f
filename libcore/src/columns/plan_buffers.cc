// What a plan's steps read and write, once all of them are there.
#include "columns/plan_buffers.h"

#include <algorithm>
#include <map>

namespace groundrule::columns {

namespace {

std::vector<std::uint32_t> written_by(const Step &step) {
    if (step.act == Act::verdict)
        return {};
    if (step.form == Form::bounds)
        return {step.out, step.upper};
    return {step.out};
}

template <typename Visit>
void each_lack(Plan &plan, Visit visit) {
    for (std::vector<LackedFacts> &rule : plan.lacks)
        std::for_each(rule.begin(), rule.end(), visit);
}

} // namespace

void share_buffers(Plan &plan) {
    std::vector<std::uint32_t> last(plan.buffers.size(), 0);
    for (std::uint32_t s = 0; s < plan.steps.size(); ++s) {
        for (const std::uint32_t b : plan.steps[s].in)
            last[b] = s;
    }
    each_lack(plan, [&](const LackedFacts &l) {
        last[l.buffer] = static_cast<std::uint32_t>(plan.steps.size());
    });
    std::vector<Buffer> shared;
    std::vector<std::uint32_t> place(plan.buffers.size(), 0);
    std::map<std::pair<std::uint16_t, std::size_t>, std::vector<std::uint32_t>> free;
    for (std::size_t b = 0; b < plan.buffers.size(); ++b) {
        if (plan.buffers[b].constant) {
            place[b] = static_cast<std::uint32_t>(shared.size());
            shared.push_back(plan.buffers[b]);
        }
    }
    for (std::uint32_t s = 0; s < plan.steps.size(); ++s) {
        Step &step = plan.steps[s];
        std::vector<std::uint32_t> done;
        for (const std::uint32_t b : step.in) {
            if (last[b] == s && !plan.buffers[b].constant &&
                std::find(done.begin(), done.end(), b) == done.end())
                done.push_back(b);
        }
        for (const std::uint32_t b : written_by(step)) {
            const Buffer &wanted = plan.buffers[b];
            auto &pool = free[{wanted.tier, width_of(wanted.form)}];
            if (pool.empty()) {
                pool.push_back(static_cast<std::uint32_t>(shared.size()));
                shared.push_back(wanted);
            }
            place[b] = pool.back();
            pool.pop_back();
        }
        for (const std::uint32_t b : done)
            free[{plan.buffers[b].tier, width_of(plan.buffers[b].form)}].push_back(place[b]);
        for (std::uint32_t &b : step.in)
            b = place[b];
        for (Value &v : step.arguments) {
            if (!v.constant)
                v.buffer = place[v.buffer];
            if (!v.constant && v.form == Form::bounds)
                v.upper = place[v.upper];
        }
        if (step.act != Act::verdict)
            step.out = place[step.out];
        if (step.form == Form::bounds)
            step.upper = place[step.upper];
    }
    each_lack(plan, [&](LackedFacts &l) { l.buffer = place[l.buffer]; });
    plan.buffers = std::move(shared);
}

void drop_dead_steps(Plan &plan) {
    std::vector<std::uint8_t> read(plan.buffers.size(), 0);
    each_lack(plan, [&](const LackedFacts &l) { read[l.buffer] = 1; });
    std::vector<Step> kept;
    for (std::size_t s = plan.steps.size(); s-- > 0;) {
        Step &step = plan.steps[s];
        const std::vector<std::uint32_t> written = written_by(step);
        const bool needed =
            step.act == Act::verdict || step.joins || (step.act == Act::load && plan.read_all);
        if (!needed && std::all_of(written.begin(), written.end(),
                                   [&](std::uint32_t b) { return read[b] == 0; }))
            continue;
        for (const std::uint32_t b : step.in)
            read[b] = 1;
        kept.push_back(std::move(step));
    }
    std::reverse(kept.begin(), kept.end());
    plan.steps = std::move(kept);
}

} // namespace groundrule::columns
