// The nearest name: slips of the pen are found, other words are not taken for them.
#include "text/nearest.h"

#include "catch.h"

#include <algorithm>
#include <random>
#include <vector>

namespace {

using groundrule::nearest;

// The whole table of distances, as the textbook has it (optimal string alignment).
std::size_t distance(const std::string &a, const std::string &b) {
    std::vector<std::vector<std::size_t>> d(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
    for (std::size_t i = 0; i <= a.size(); ++i) {
        for (std::size_t j = 0; j <= b.size(); ++j) {
            if (i == 0 || j == 0) {
                d[i][j] = i + j;
                continue;
            }
            d[i][j] = std::min({d[i - 1][j] + 1, d[i][j - 1] + 1,
                                d[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
        }
    }
    return d[a.size()][b.size()];
}

// The first name with the fewest edits, of those with at most a third of the word's letters.
std::string by_hand(const std::string &word, const std::vector<std::string> &known) {
    std::string best;
    std::size_t fewest = std::max<std::size_t>(1, word.size() / 3) + 1;
    for (const std::string &k : known) {
        if (distance(word, k) < fewest) {
            fewest = distance(word, k);
            best = k;
        }
    }
    return best;
}

} // namespace

TEST_CASE("a letter left out, added, wrong or swapped with its neighbour is found") {
    const std::vector<std::string> known = {"rated_voltage", "rated_current", "use", "water"};
    for (const char *slip : {"rated_curent", "rated_currrent", "rated_currant", "rated_curretn"}) {
        INFO(slip);
        CHECK(nearest(slip, known) == "rated_current");
    }
    CHECK(nearest("us", known) == "use");
    CHECK(nearest("colour", known).empty());
    CHECK(nearest("", known).empty());
    CHECK(nearest("use", {}).empty());
}

TEST_CASE("words beyond any name's length are not compared, names up to it are") {
    const std::string longest(64, 'a');
    CHECK(nearest(longest, std::vector{longest}) == longest);
    CHECK(nearest(longest + "a", std::vector{longest}).empty());
    CHECK(nearest(longest, std::vector{longest + "a"}).empty());
}

TEST_CASE("giving up early changes no answer, over random words") {
    std::mt19937 random(3);
    const auto word = [&](std::size_t longest) {
        std::string out;
        for (std::size_t n = random() % (longest + 1); n > 0; --n)
            out += static_cast<char>('a' + random() % 3);
        return out;
    };
    std::size_t found = 0;
    for (int i = 0; i < 3000; ++i) {
        std::vector<std::string> known;
        for (int k = 0; k < 6; ++k)
            known.push_back(word(14));
        const std::string asked = word(14);
        const std::string got = nearest(asked, known);
        found += got.empty() ? 0 : 1;
        REQUIRE(got == by_hand(asked, known));
    }
    CHECK(found > 300);
}
