// Orders the steps of a plan: operands first, and as many steps of one kind after each other as can
// be.
#include "evaluate/plan.h"

#include <algorithm>
#include <array>

namespace groundrule::evaluate {

namespace {

using program::Op;
using program::Program;

// What a step reads: `see(is_truth, place)`.
template <typename See>
void each_operand(const Step &s, const Plan &plan, const Program &program, See see) {
    // Only of steps that list their operands; a plan without any lists none.
    const auto listed = [&](std::uint32_t k) { return plan.operands[s.a + k]; };
    switch (s.kind) {
    case StepKind::fact:
    case StepKind::work:
    case StepKind::complete:
        return;
    case StepKind::threshold:
    case StepKind::within:
    case StepKind::member:
    case StepKind::truth_of_value:
    case StepKind::next:
        see(false, s.a);
        return;
    case StepKind::compare:
    case StepKind::add:
    case StepKind::multiply:
        see(false, s.a);
        see(false, s.b);
        return;
    case StepKind::value_of_truth:
    case StepKind::negation:
        see(true, s.a);
        return;
    case StepKind::verdict:
        see(true, s.a);
        see(true, s.b);
        return;
    case StepKind::conjunction:
    case StepKind::disjunction:
    case StepKind::choose_truth:
    case StepKind::reduce_truth:
        for (std::uint32_t k = 0; k < s.b; ++k)
            see(true, listed(k));
        return;
    case StepKind::choose_value:
        see(true, listed(0));
        see(false, listed(1));
        see(false, listed(2));
        return;
    case StepKind::lookup:
    case StepKind::join:
    case StepKind::general_value:
    case StepKind::general_truth:
        for (std::uint32_t k = 0; k < s.b; ++k)
            see(false, listed(k));
        return;
    case StepKind::reduce_value: {
        const bool counts = program.code[s.instruction].op == Op::count_of;
        for (std::uint32_t k = 0; k < s.b; ++k)
            see(counts || k % 2 == (k == 0 ? 0 : 1), listed(k));
        return;
    }
    }
}

using Numbers = std::vector<std::uint32_t>;

// Of each step those that read what it gives, by their numbers.
void note_users(const Plan &plan, const Program &program, Numbers &users, Numbers &first) {
    Numbers value_from(plan.values.size(), Plan::none);
    Numbers truth_from(plan.truths.size(), Plan::none);
    for (std::uint32_t i = 0; i < plan.steps.size(); ++i) {
        const Step &s = plan.steps[i];
        if (s.kind != StepKind::verdict)
            (gives_truth(s.kind) ? truth_from : value_from)[s.out] = i;
    }
    std::vector<std::pair<std::uint32_t, std::uint32_t>> edges;
    for (std::uint32_t i = 0; i < plan.steps.size(); ++i) {
        each_operand(plan.steps[i], plan, program, [&](bool truth, std::uint32_t place) {
            const std::uint32_t from = (truth ? truth_from : value_from)[place];
            if (from != Plan::none)
                edges.emplace_back(from, i);
        });
    }
    std::sort(edges.begin(), edges.end());
    edges.erase(std::unique(edges.begin(), edges.end()), edges.end());
    first.assign(plan.steps.size() + 1, 0);
    users.clear();
    for (const auto &[from, to] : edges) {
        ++first[from + 1];
        users.push_back(to);
    }
    for (std::size_t i = 1; i < first.size(); ++i)
        first[i] += first[i - 1];
}

} // namespace

void schedule(Plan &plan, const Program &program) {
    Numbers users;
    Numbers first;
    note_users(plan, program, users, first);
    Numbers waits(plan.steps.size(), 0);
    for (const std::uint32_t user : users)
        ++waits[user];
    std::array<Numbers, step_kinds> ready;
    const auto bucket = [&](std::uint32_t i) -> Numbers & {
        return ready.at(static_cast<std::size_t>(plan.steps[i].kind));
    };
    for (std::uint32_t i = 0; i < plan.steps.size(); ++i) {
        if (waits[i] == 0)
            bucket(i).push_back(i);
    }
    std::vector<Step> ordered;
    ordered.reserve(plan.steps.size());
    while (ordered.size() < plan.steps.size()) {
        const auto most =
            std::max_element(ready.begin(), ready.end(), [](const Numbers &a, const Numbers &b) {
                return a.size() < b.size();
            });
        // What becomes ready meanwhile and is of the same kind joins the stretch.
        for (std::size_t k = 0; k < most->size(); ++k) {
            const std::uint32_t i = (*most)[k];
            ordered.push_back(plan.steps[i]);
            for (std::uint32_t u = first[i]; u < first[i + 1]; ++u) {
                if (--waits[users[u]] == 0)
                    bucket(users[u]).push_back(users[u]);
            }
        }
        most->clear();
        plan.stretches.push_back({ordered.back().kind, static_cast<std::uint32_t>(ordered.size())});
    }
    plan.steps = std::move(ordered);
    note_users(plan, program, plan.users, plan.first_user);
    for (std::uint32_t i = 0; i < plan.steps.size(); ++i) {
        const Step &s = plan.steps[i];
        if (s.kind != StepKind::fact && s.kind != StepKind::work)
            continue;
        const program::Slot &slot = program.slots[program.code[s.instruction].index];
        plan.facts[slot.item][slot.field][s.row] = i;
    }
}

} // namespace groundrule::evaluate
