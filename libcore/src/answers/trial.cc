#include "answers/trial.h"

#include <algorithm>

namespace groundrule::answers {

bool same_place(const Place &a, const Place &b) {
    return a.item == b.item && a.row == b.row && a.field == b.field;
}

bool among(const std::vector<Place> &places, const Place &at) {
    return std::any_of(places.begin(), places.end(),
                       [&](const Place &p) { return same_place(p, at); });
}

Place where_told(const Place &at) {
    return at.field == 0 ? Place{0, 0, 0} : at;
}

Place list_place(const book::Book &book, std::int32_t owner, std::int32_t row, std::int32_t child) {
    const std::vector<std::int32_t> &children =
        book.items[static_cast<std::size_t>(owner)].children;
    return {owner, row,
            static_cast<std::int32_t>(std::find(children.begin(), children.end(), child) -
                                      children.begin())};
}

const Cell &given(const facts::Job &job, const Place &at) {
    return job.rows(at.item).given.at(static_cast<std::size_t>(at.field),
                                      static_cast<std::size_t>(at.row));
}

const book::Field &field_of(const book::Book &book, const Place &at) {
    return book.items[static_cast<std::size_t>(at.item)].fields[static_cast<std::size_t>(at.field)];
}

std::string fact_name(const book::Book &book, const Place &at) {
    return book.items[static_cast<std::size_t>(at.item)].name + "." + field_of(book, at).name;
}

Trial::Trial(const Subject &subject) : subject_(subject), job_(subject.job) {
    job_.unsettle();
    update();
    counts_.assign(verdicts_.all().size(), false);
    for (std::size_t r = 0; r < subject.book.rules.size(); ++r) {
        const book::Rule &rule = subject.book.rules[r];
        const bool staged =
            subject.stage.empty() ||
            std::find(rule.stages.begin(), rule.stages.end(), subject.stage) != rule.stages.end();
        for (std::size_t v = first(r); v < first(r + 1); ++v)
            counts_[v] = staged && (rule.force == ast::Force::shall ||
                                    (subject.advice && rule.force != ast::Force::caution));
    }
}

void Trial::set_more(const Setting &s) {
    before_.push_back({s.at, given(job_, s.at)});
    job_.set(s.at.item, s.at.row, s.at.field, s.value);
}

bool Trial::set(std::span<const Setting> settings) {
    for (; !before_.empty(); before_.pop_back()) {
        const Setting &s = before_.back();
        job_.set(s.at.item, s.at.row, s.at.field, s.value);
    }
    for (const Setting &s : settings)
        set_more(s);
    return update();
}

bool Trial::update() {
    ++updates_;
    return verdicts_.update(subject_.program, subject_.dense, job_) ==
           evaluate::Verdicts::Outcome::told;
}

std::size_t Trial::rule_of(std::size_t verdict) const {
    // Rules without rows begin where the next one does: the last that begins there has it.
    std::size_t low = 0;
    std::size_t high = subject_.book.rules.size();
    while (high - low > 1) {
        const std::size_t middle = (low + high) / 2;
        (first(middle) <= verdict ? low : high) = middle;
    }
    return low;
}

std::size_t Trial::row_of(std::size_t verdict) const {
    return verdict - first(rule_of(verdict));
}

std::vector<bool> Trial::reach(std::span<const Place> facts) const {
    std::vector<bool> out(verdicts_.all().size(), false);
    const std::optional<evaluate::Plan> &plan = verdicts_.laid_out();
    if (!plan) { // not laid out: nothing is known of what depends on what
        out.assign(out.size(), true);
        return out;
    }
    std::vector<bool> seen(plan->steps.size(), false);
    std::vector<std::uint32_t> next;
    for (const Place &at : facts) {
        const std::uint32_t step =
            plan->facts[static_cast<std::size_t>(at.item)][static_cast<std::size_t>(at.field)]
                       [static_cast<std::size_t>(at.row)];
        if (step != evaluate::Plan::none)
            next.push_back(step);
    }
    while (!next.empty()) {
        const std::uint32_t at = next.back();
        next.pop_back();
        if (seen[at])
            continue;
        seen[at] = true;
        if (plan->steps[at].kind == evaluate::StepKind::verdict)
            out[plan->steps[at].out] = true;
        next.insert(next.end(), plan->users.begin() + plan->first_user[at],
                    plan->users.begin() + plan->first_user[at + 1]);
    }
    return out;
}

Trial::Ground Trial::unknown_below(std::size_t verdict) const {
    const std::optional<evaluate::Plan> &plan = verdicts_.laid_out();
    Ground out;
    out.known = plan.has_value();
    // Steps stand behind those that they read, so one pass from the end finds all that lie below.
    std::vector<bool> below(plan ? plan->steps.size() : 0, false);
    for (std::size_t at = below.size(); at-- > 0;) {
        const evaluate::Step &s = plan->steps[at];
        below[at] = s.kind == evaluate::StepKind::verdict && s.out == verdict;
        for (std::uint32_t u = plan->first_user[at]; u < plan->first_user[at + 1] && !below[at];
             ++u)
            below[at] = below[plan->users[u]];
        if (!below[at])
            continue;
        const auto row = static_cast<std::int32_t>(s.row);
        if (s.kind == evaluate::StepKind::fact || s.kind == evaluate::StepKind::work) {
            const Place fact{static_cast<std::int32_t>(s.a), row, static_cast<std::int32_t>(s.b)};
            if (!given(job_, fact).known() && !among(out.facts, where_told(fact)))
                out.facts.push_back(where_told(fact));
        }
        if (s.kind == evaluate::StepKind::complete) {
            const program::Instruction &in = subject_.program.code[s.instruction];
            if (!job_.is_complete(in.space, in.child, s.row))
                out.lists.push_back(list_place(subject_.book, in.space, row, in.child));
        }
    }
    return out;
}

std::vector<bool> Trial::turn_on(std::span<const Place> facts) const {
    const program::Program &program = subject_.program;
    std::vector<bool> slots(program.slots.size(), false);
    for (const Place &at : facts)
        slots[field_of(subject_.book, at).slot] = true;
    std::vector<bool> asks(program.code.size(), false);
    for (program::Register reg = 0; reg < program.code.size(); ++reg) {
        const program::Instruction &in = program.code[reg];
        asks[reg] = in.op == program::Op::load && slots[in.index];
        for (std::uint32_t k = 0; k < in.count && !asks[reg]; ++k)
            asks[reg] = asks[program.arguments[in.first + k]];
    }
    std::vector<bool> out = reach(facts);
    const auto of = [&](program::Register reg) { return reg != program::no_register && asks[reg]; };
    for (std::size_t r = 0; r < program.rules.size(); ++r) {
        if (of(program.rules[r].met) || of(program.rules[r].excepted))
            continue;
        for (std::size_t v = first(r); v < first(r + 1); ++v)
            out[v] = false;
    }
    return out;
}

} // namespace groundrule::answers
