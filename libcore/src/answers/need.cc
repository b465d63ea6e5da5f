#include "answers/need.h"

#include "evaluate/scalar.h"

#include <algorithm>

namespace groundrule::answers {

namespace {

constexpr std::size_t walked_values = 24; // of a quantity

} // namespace

bool Need::walk(const Question &q, std::span<const Question> all, std::size_t tries) {
    for (std::size_t t = 0; t < tries + tries / 2; ++t) {
        const std::size_t verdict = q.waiting[t % q.waiting.size()];
        tell(t < tries ? named_beside(q, all, verdict) : below(verdict).facts, verdict);
        if (decides(q, verdict))
            return true;
    }
    return false;
}

std::vector<Place> Need::named_beside(const Question &q, std::span<const Question> all,
                                      std::size_t verdict) const {
    std::vector<Place> out;
    for (const Question &other : all) {
        if (&other != &q && !other.list &&
            std::find(other.waiting.begin(), other.waiting.end(), verdict) != other.waiting.end())
            out.push_back(other.at);
    }
    return out;
}

const Trial::Ground &Need::below(std::size_t verdict) {
    const auto [there, first] = below_.try_emplace(verdict);
    if (first) {
        trial_.set({});
        there->second = trial_.unknown_below(verdict);
    }
    return there->second;
}

// Tells what leaves the verdict open, and the job in agreement with itself.
void Need::tell(std::vector<Place> others, std::size_t verdict) {
    trial_.set({});
    for (std::size_t i = others.size(); i > 1; --i)
        std::swap(others[i - 1], others[any_of(i)]);
    for (const Place &other : others) {
        if (any_of(4) == 0)
            continue; // it stays unknown
        const std::vector<double> &pool = values(other);
        for (std::size_t attempt = 0; attempt < 3; ++attempt) {
            trial_.set_more({other, exactly(pool[any_of(pool.size())])});
            if (trial_.update() && is_open(verdict))
                break;
            trial_.set_more({other, {}});
        }
    }
}

bool Need::decides(const Question &q, std::size_t verdict) {
    if (!q.list) {
        for (const double value : values(q.at)) {
            trial_.set_more({q.at, exactly(value)});
            if (trial_.update() && !is_open(verdict))
                return true;
        }
        return false;
    }
    return closing_decides(q, verdict, false) || closing_decides(q, verdict, true);
}

// The list with what is told of it, or with one item more, of which all is told at random.
bool Need::closing_decides(const Question &q, std::size_t verdict, bool with_another) {
    facts::Job whole = trial_.job();
    whole.mark_complete(q.at.item, q.at.row, q.at.field, true);
    if (with_another) {
        const std::int32_t child = subject_.book.items[static_cast<std::size_t>(q.at.item)]
                                       .children[static_cast<std::size_t>(q.at.field)];
        const std::int32_t row = whole.add(child, q.at.row);
        const std::vector<book::Field> &fields =
            subject_.book.items[static_cast<std::size_t>(child)].fields;
        for (std::size_t f = 0; f < fields.size(); ++f) {
            const Place at{child, row, static_cast<std::int32_t>(f)};
            const std::vector<double> &pool = values(at);
            whole.set(at.item, at.row, at.field, exactly(pool[any_of(pool.size())]));
        }
    }
    evaluate::run(subject_.program, whole, workspace_);
    return workspace_.contradictions.empty() &&
           evaluate::verdict(subject_.program.rules[trial_.rule_of(verdict)],
                             trial_.row_of(verdict), workspace_) != Verdict::undetermined;
}

Need::Outcome Need::exhaust(const Question &q, std::size_t most) {
    Outcome out = Outcome::idle;
    for (const std::size_t verdict : q.waiting) {
        const Outcome one = exhaust(q, verdict, most);
        if (one == Outcome::decides)
            return one;
        if (one == Outcome::too_many)
            out = one;
    }
    return out;
}

Need::Outcome Need::exhaust(const Question &q, std::size_t verdict, std::size_t most) {
    const Trial::Ground &ground = below(verdict);
    if (q.list || !ground.known ||
        !std::all_of(ground.lists.begin(), ground.lists.end(),
                     [&](const Place &list) { return among(left_open_, list); }))
        return Outcome::too_many;
    std::vector<Place> places;
    for (const Place &other : ground.facts) {
        if (!same_place(other, q.at))
            places.push_back(other);
    }
    places.push_back(q.at); // last: it turns fastest
    std::vector<std::vector<double>> pools;
    std::size_t combinations = 1;
    for (const Place &at : places) {
        pools.push_back(values(at));
        // All but the fact in question may stay unknown.
        combinations *= pools.back().size() + (pools.size() < places.size() ? 1 : 0);
        if (combinations > most)
            return Outcome::too_many;
    }
    std::vector<Setting> settings(places.size());
    for (std::size_t n = 0; n < combinations; ++n) {
        std::size_t rest = n;
        for (std::size_t i = places.size(); i-- > 0;) {
            const std::size_t own = pools[i].size() + (i + 1 < places.size() ? 1 : 0);
            const std::size_t at = rest % own;
            rest /= own;
            settings[i] = {places[i], at < pools[i].size() ? exactly(pools[i][at]) : Cell{}};
        }
        if (!trial_.set(settings) || is_open(verdict))
            continue;
        settings.back().value = {};
        trial_.set(settings);
        if (is_open(verdict))
            return Outcome::decides;
    }
    return Outcome::idle;
}

const std::vector<double> &Need::values(const Place &at) {
    const book::Field &field = field_of(subject_.book, at);
    const auto [there, first] = values_.try_emplace(field.slot);
    if (first)
        there->second = samples_.with_told(field.type, walked_values, subject_.job);
    return there->second;
}

// The same numbers on every machine.
std::size_t Need::any_of(std::size_t n) {
    state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<std::size_t>(state_ >> 33U) % n;
}

} // namespace groundrule::answers
