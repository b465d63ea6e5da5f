// What changed from one book to another, requirement by requirement: read off the effective books,
// so that layout, the order of files and the way in which a text came to stand do not count.
// Requirements are matched by topic, which stays when an edition renumbers them.
#pragma once

#include "book/entails.h"
#include "book/model.h"

#include <string>
#include <vector>

namespace groundrule::book {

// What a change is about. From `message` on, only wording: no verdict depends on it.
enum class Aspect : std::uint8_t {
    force,
    item,
    stages,
    work,
    condition,
    limit,
    reading,
    listed,
    exception,
    path,
    permission,
    requirement,
    type,
    key,
    cell,
    entry,
    value, // of a definition, or implied
    choice,
    message,
    title,
    note
};

// An empty `from` or `to`: there was, or is, nothing.
struct Change {
    Aspect aspect = Aspect::condition;
    std::string name; // "spacing", "(5)", "Exception No. 2", "[8 AWG, copper, 60 °C]"
    std::string from;
    std::string to;
    Effect effect = Effect::open;    // of this change by itself
    std::string layer;               // that the newer text came from; empty: nothing stands there
    std::vector<std::string> keys{}; // of a cell; then its column, if the table has several
};

enum class RuleKind : std::uint8_t {
    added,
    removed,
    changed,
    through,    // its own text is the same; what it rests on changed
    renumbered, // the same requirement under another number
    reworded    // other messages, titles or notes
};

struct RuleChange {
    RuleKind kind = RuleKind::changed;
    std::string topic;
    const Rule *before = nullptr; // null if added
    const Rule *after = nullptr;  // null if removed
    Effect effect = Effect::open; // of the rule as a whole
    std::vector<Change> changes;
    std::vector<std::string> through; // changed things of both books that the rule rests on
};

// Something that several rules share.
struct SharedChange {
    enum class Kind : std::uint8_t { item, field, group, table, list, definition };
    Kind kind = Kind::definition;
    std::string key;    // "table 310.16": under this it is looked for
    std::string before; // name in the older book, empty if there is none
    std::string after;
    std::vector<Change> changes;
    std::vector<std::string> dependants; // topics, in the order of the comparison's rules
};

struct Comparison {
    const Book *before = nullptr;
    const Book *after = nullptr;
    std::vector<RuleChange> rules; // by citation, of the newer book if it has the rule
    std::vector<SharedChange> shared;
    std::vector<Gap> gaps_added; // clauses that only one of the books says are not written out
    std::vector<Gap> gaps_removed;

    bool same() const {
        return rules.empty() && shared.empty() && gaps_added.empty() && gaps_removed.empty();
    }
};

inline bool is_wording(Aspect aspect) {
    return aspect >= Aspect::message;
}

const char *aspect_name(Aspect aspect);
const char *rule_kind_name(RuleKind kind);
const char *shared_kind_name(SharedChange::Kind kind);
const char *effect_name(Effect effect);

// The comparison points into both books.
Comparison compare(const Book &before, const Book &after);

} // namespace groundrule::book
