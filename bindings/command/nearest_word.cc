#include "nearest_word.h"

#include <algorithm>
#include <numeric>

namespace command {

namespace {

// How many characters must be added, dropped or replaced to make one word into the other.
std::size_t edits(const std::string &a, const std::string &b) {
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 0; i < a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i + 1;
        for (std::size_t j = 0; j < b.size(); ++j) {
            const std::size_t replaced = diagonal + (a[i] == b[j] ? 0 : 1);
            diagonal = row[j + 1];
            row[j + 1] = std::min({row[j] + 1, row[j + 1] + 1, replaced});
        }
    }
    return row[b.size()];
}

} // namespace

std::string nearest_word(const std::string &word, const std::vector<std::string> &known) {
    // Long arguments are no slips of the pen, and would take long to compare.
    if (word.size() > 64)
        return {};
    std::string best;
    std::size_t fewest = std::max<std::size_t>(word.size() / 3, 1) + 1;
    for (const std::string &candidate : known) {
        if (const std::size_t n = edits(word, candidate); n < fewest) {
            fewest = n;
            best = candidate;
        }
    }
    return best;
}

} // namespace command
