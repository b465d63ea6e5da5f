// Optimal string alignment distance, bounded by the length of names.
#include "text/nearest.h"

#include <algorithm>
#include <vector>

namespace groundrule {

namespace {

constexpr std::size_t longest_compared = 64;

std::size_t edits(std::string_view a, std::string_view b) {
    std::vector<std::size_t> before(b.size() + 1);
    std::vector<std::size_t> last(b.size() + 1);
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j)
        last[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replace = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, replace});
            const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if (swapped)
                row[j] = std::min(row[j], before[j - 2] + 1);
        }
        std::swap(before, last);
        std::swap(last, row);
    }
    return last[b.size()];
}

} // namespace

std::string nearest(std::string_view word, std::span<const std::string> candidates) {
    std::string best;
    if (word.size() > longest_compared)
        return best;
    std::size_t fewest = std::max<std::size_t>(1, word.size() / 3) + 1;
    for (const std::string &candidate : candidates) {
        if (candidate.size() > longest_compared)
            continue;
        const std::size_t distance = edits(word, candidate);
        if (distance < fewest) {
            fewest = distance;
            best = candidate;
        }
    }
    return best;
}

} // namespace groundrule
