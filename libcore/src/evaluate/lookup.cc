// Keys are compared in whole grid steps.
#include "evaluate/lookup.h"

#include <algorithm>

namespace groundrule::evaluate {

using program::TableKey;

std::optional<std::size_t> position(const TableKey &key, double value) {
    const double step = on_grid(value, key.scale);
    const auto begin = key.steps.begin();
    if (key.match == TableKey::Match::at_least) {
        const auto above = std::upper_bound(begin, key.steps.end(), step);
        return above == begin
                   ? std::nullopt
                   : std::optional<std::size_t>(static_cast<std::size_t>(above - begin) - 1);
    }
    const auto found = std::lower_bound(begin, key.steps.end(), step);
    if (found == key.steps.end() || (key.match == TableKey::Match::exact && *found != step))
        return std::nullopt;
    return static_cast<std::size_t>(found - begin);
}

Cell next_in(const program::List &list, const Cell &limit) {
    // The first element may reach a limit of which only the most is known; of the others it is not
    // known that those before them don't.
    if (limit.bound == Bound::at_most && on_grid(limit.value, list.scale) <= list.steps.front())
        return exactly(list.values.front());
    if (!limit.exact())
        return {};
    const auto found =
        std::lower_bound(list.steps.begin(), list.steps.end(), on_grid(limit.value, list.scale));
    return found == list.steps.end()
               ? Cell{}
               : exactly(list.values[static_cast<std::size_t>(found - list.steps.begin())]);
}

} // namespace groundrule::evaluate
