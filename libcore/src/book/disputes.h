// Where two layers change one text: the upper one says which text it replaces, and either the
// layers below left that text, or its policy says whose word counts.
#pragma once

#include "text/diagnostics.h"

#include <cstdint>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace groundrule::book {

struct Book;

// A text that stood before a layer changed it.
struct Past {
    std::string text;
    std::int32_t layer = 0; // that it came from
    Span span;
};

// A change over which the layers are at odds and the stricter text wins, told by its place.
struct Dispute {
    std::pair<std::uint32_t, std::uint32_t> place; // file and first byte of the change
    std::string what;
    Span span;
    Span other;
};

struct Disputes {
    std::vector<std::string> policy; // of each layer: local, stricter, or empty
    std::map<std::pair<std::uint32_t, std::uint32_t>, bool> put; // decided: whether it is put
    std::vector<Dispute> open;                                   // not yet decided; not put so far
};

// What stands, and what a change says of it.
struct Claim {
    std::string what;                        // "`spacing` of rule 334.30 (nm_cable_supports)"
    std::string stands;                      // the text, or its digest
    std::int32_t stands_layer = 0;           // that it came from
    Span stands_span;                        // where
    std::string said;                        // the text that the change replaces, or its digest
    Span said_span;                          // where it says so
    const std::vector<Past> *past = nullptr; // what stood before; never null
    std::int32_t layer = 0;                  // of the change
    Span change;                             // its place
    bool digests = false;                    // texts are told by their digests
    std::string stands_as{};                 // as a reader would write it, if its place does not
};

enum class Outcome : std::uint8_t { put, keep, refuse };

Outcome settle(Disputes &disputes, const Claim &claim, const Book &book, Diagnostics &diagnostics);

} // namespace groundrule::book
