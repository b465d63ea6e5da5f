// The words that can't be names, once. The language page lists the same, and a test compares the
// two.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <string_view>

namespace groundrule::syntax {

inline constexpr std::array<std::string_view, 87> reserved_words = {"add",         "all",
                                                                    "amendment",   "and",
                                                                    "another",     "any",
                                                                    "applies",     "as",
                                                                    "at",          "binds",
                                                                    "by",          "caution",
                                                                    "change",      "clause",
                                                                    "complete",    "count",
                                                                    "define",      "delay",
                                                                    "delete",      "displaces",
                                                                    "edition",     "encoded",
                                                                    "except",      "exception",
                                                                    "expect",      "for",
                                                                    "from",        "given",
                                                                    "gives",       "if",
                                                                    "imply",       "in",
                                                                    "information", "is",
                                                                    "item",        "larger_of",
                                                                    "largest",     "least",
                                                                    "less",        "limit",
                                                                    "list",        "listed",
                                                                    "max",         "min",
                                                                    "more",        "most",
                                                                    "narrow",      "no",
                                                                    "not",         "note",
                                                                    "numbered",    "of",
                                                                    "one",         "or",
                                                                    "otherwise",   "part",
                                                                    "path",        "permits",
                                                                    "reading",     "replace",
                                                                    "round_down",  "round_nearest",
                                                                    "round_up",    "rule",
                                                                    "says",        "shall",
                                                                    "should",      "smaller_of",
                                                                    "smallest",    "source",
                                                                    "stage",       "sum",
                                                                    "table",       "test",
                                                                    "than",        "then",
                                                                    "to",          "topic",
                                                                    "type",        "unknown",
                                                                    "until",       "vocabulary",
                                                                    "where",       "with",
                                                                    "within",      "without",
                                                                    "yes"};

// Where the words with a first letter begin; those of the next letter end them.
inline constexpr std::array<std::uint8_t, 27> reserved_from = [] {
    std::array<std::uint8_t, 27> from = {};
    for (std::size_t letter = 0; letter < from.size(); ++letter) {
        while (from[letter] < reserved_words.size() &&
               static_cast<std::size_t>(reserved_words[from[letter]].front() - 'a') < letter)
            ++from[letter];
    }
    return from;
}();

inline bool is_reserved(std::string_view word) {
    if (word.empty() || word.front() < 'a' || word.front() > 'z')
        return false;
    const auto letter = static_cast<std::size_t>(word.front() - 'a');
    const auto *begin = reserved_words.begin();
    return std::find(begin + reserved_from[letter], begin + reserved_from[letter + 1], word) !=
           begin + reserved_from[letter + 1];
}

} // namespace groundrule::syntax
