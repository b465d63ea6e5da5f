// Optimal string alignment distance, bounded by the length of names.
#include "text/nearest.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>

namespace groundrule {

namespace {

constexpr std::size_t longest_compared = 64;

using Row = std::array<std::size_t, longest_compared + 1>;

// The distance, or anything from `bound` on if it is not below that: most names are nowhere near,
// and are given up after a few letters.
std::size_t edits(std::string_view a, std::string_view b, std::size_t bound) {
    const std::size_t longer = std::max(a.size(), b.size());
    if (longer - std::min(a.size(), b.size()) >= bound)
        return bound;
    std::array<Row, 3> rows;
    for (std::size_t j = 0; j <= b.size(); ++j)
        rows[0][j] = j;
    std::size_t least_before = 0;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        const Row &before = rows[(i + 1) % 3]; // two rows up; not read in the first
        const Row &last = rows[(i + 2) % 3];
        Row &row = rows[i % 3];
        row[0] = i;
        std::size_t least = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replace = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, replace});
            const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if (swapped)
                row[j] = std::min(row[j], before[j - 2] + 1);
            least = std::min(least, row[j]);
        }
        // A swap reaches back two rows, nothing reaches further.
        if (least >= bound && least_before >= bound)
            return bound;
        least_before = least;
    }
    return rows[a.size() % 3][b.size()];
}

// Which letters a word has, by the low bits of their codes.
std::uint32_t letters_of(std::string_view word) {
    std::uint32_t letters = 0;
    for (const char c : word)
        letters |= 1u << (static_cast<unsigned char>(c) & 31u);
    return letters;
}

// Each letter that only one of two words has takes an edit.
std::size_t fewest_edits(std::uint32_t a, std::uint32_t b) {
    return static_cast<std::size_t>(std::max(std::popcount(a & ~b), std::popcount(b & ~a)));
}

} // namespace

std::string nearest(std::string_view word, std::span<const std::string> candidates) {
    std::string best;
    if (word.size() > longest_compared)
        return best;
    std::size_t fewest = std::max<std::size_t>(1, word.size() / 3) + 1;
    const std::uint32_t letters = letters_of(word);
    for (const std::string &candidate : candidates) {
        if (candidate.size() > longest_compared ||
            fewest_edits(letters, letters_of(candidate)) >= fewest)
            continue;
        const std::size_t distance = edits(word, candidate, fewest);
        if (distance < fewest) {
            fewest = distance;
            best = candidate;
        }
    }
    return best;
}

} // namespace groundrule
