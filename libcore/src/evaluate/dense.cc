// Writes positions down.
#include "evaluate/dense.h"

#include "evaluate/lookup.h"

namespace groundrule::evaluate {

namespace {

constexpr double largest = 1024;

} // namespace

DenseKey::DenseKey(const program::TableKey &key)
    : key_(&key), up_(key.match == program::TableKey::Match::at_most),
      exact_(key.match == program::TableKey::Match::exact),
      size_(static_cast<std::int64_t>(key.steps.size())) {
    for (const double step : key.steps) {
        const double value = step / key.scale;
        if (value < 0 || value > largest || value != std::floor(value))
            return;
    }
    if (key.steps.empty())
        return;
    const double beyond = key.steps.back() / key.scale + 1;
    for (double value = -1; value <= beyond; ++value) {
        const auto found = evaluate::position(key, value);
        places_.push_back(found ? static_cast<std::int32_t>(*found) : -1);
    }
    last_ = static_cast<double>(places_.size()) - 1;
}

std::int32_t DenseKey::between(double value) const {
    const double steps = std::clamp(snapped(value, key_->scale) + 1, 0.0, last_);
    auto at = static_cast<std::size_t>(steps);
    const bool inside = static_cast<double>(at) != steps;
    at += up_ && inside ? 1 : 0;
    return exact_ && inside ? -1 : places_[at];
}

std::int32_t DenseKey::searched(const Cell &value) const {
    const auto found = value.exact() ? evaluate::position(*key_, value.value) : std::nullopt;
    return found ? static_cast<std::int32_t>(*found) : -1;
}

Dense::Dense(const program::Program &program) {
    tables.resize(program.tables.size());
    for (std::size_t i = 0; i < tables.size(); ++i) {
        const program::Table &table = program.tables[i];
        for (const program::TableKey &key : table.keys)
            tables[i].keys.emplace_back(key);
        tables[i].cells = table.cells.data();
        tables[i].columns = table.columns;
    }
    list_keys.reserve(program.lists.size());
    for (const program::List &list : program.lists) {
        list_keys.push_back({program::TableKey::Match::at_most, list.scale, list.steps});
        lists.emplace_back(list_keys.back());
    }
}

} // namespace groundrule::evaluate
