// The words that can't be names, once. The language page lists the same, and a test compares the
// two.
#pragma once

#include <algorithm>
#include <array>
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

inline bool is_reserved(std::string_view word) {
    return std::binary_search(reserved_words.begin(), reserved_words.end(), word);
}

} // namespace groundrule::syntax
