// Which facts are known for certain where a truth is known to be yes, or no: what a message may
// name without the word "unknown" in its place.
#pragma once

#include "book/model.h"

#include <map>
#include <set>
#include <tuple>

namespace groundrule::book {

// Facts, definitions and parameters that have a value. `all` of a state that can't be.
struct Sure {
    enum class Kind : std::uint8_t { field, define, parameter };
    using Key = std::tuple<Kind, std::int32_t, std::int32_t>; // field: item, field; else index
    bool all = false;
    std::set<Key> keys;

    bool has(const Key &key) const { return all || keys.contains(key); }
    Sure &join(const Sure &other); // both states hold
    Sure &meet(const Sure &other); // one of two holds
};

class SureFacts {
  public:
    explicit SureFacts(const Book &book) : book_(book) {}

    // Where the rule is known to apply, and not to be met. Of demands joined by `and` all count as
    // known, though one that fails is enough: a message may tell how each of them stands.
    Sure violated(const Rule &rule);
    // Where a truth is yes.
    Sure holds(NodeId id) { return of(id, State::yes); }
    // Whether a value is known where `sure` is, as far as facts go.
    bool covers(const Sure &sure, NodeId id) const;

  private:
    // Known may be as a bound only, which is not enough for a key of a table.
    enum class State : std::uint8_t { known, exact, yes, no };
    static State opposite(State s) { return s == State::yes ? State::no : State::yes; }

    Sure of(NodeId id, State state);
    Sure truth_or_value(const Node &n, State state);
    Sure each(const std::vector<NodeId> &nodes, State state);
    Sure some(const std::vector<NodeId> &nodes, State state);
    Sure conditional(const Node &n, State state);
    Sure quantified(const Node &n, State state);
    Sure defined(const Node &n, State state);
    Sure applies(const Rule &rule);

    const Book &book_;
    bool demands_ = false; // inside what a rule requires
    std::map<std::tuple<std::int32_t, State, bool>, Sure> defines_;
    std::map<std::int32_t, Sure> rules_;
};

} // namespace groundrule::book
