// What follows from what, across two books: whether every job that the older text faults is faulted
// by the newer one too, or the other way round. Read off the typed trees: definitions are written
// out, limits and cells count with the values that they have in their own book. Sound, not
// complete: "follows" is certain; its absence only says that no step known here leads there.
#pragma once

#include "book/model.h"

#include <map>
#include <tuple>

namespace groundrule::book {

enum class Effect : std::uint8_t {
    none,     // whatever the facts, the same
    stricter, // who is at fault under the older text is so under the newer one, and others are
    laxer,    // the other way round
    open      // stricter here and laxer there, or not to be told
};

class Entailment {
  public:
    Entailment(const Book &before, const Book &after) : books_{&before, &after, &before} {}

    // The rule as a whole: scope, exceptions and requirement together.
    Effect effect(const Rule &before, const Rule &after);
    // Whether both apply to the same things, for certain.
    bool same_scope(const Rule &before, const Rule &after);
    // A truth for which more holding is stricter: a condition of the scope.
    Effect effect(NodeId before, NodeId after);
    // What the new value of one limit does by itself to the rule as it was.
    Effect effect_of_limit(const Rule &before, std::size_t limit, const Rule &after,
                           std::size_t new_limit);

  private:
    // `mixed` is the older text with one limit from the newer one.
    enum class Side : std::uint8_t { before, after, mixed };

    // A truth or value: a node of one book, or several truths put together here; or the negation.
    struct Term {
        Side side = Side::before;
        bool made = false; // `id` is a place in `made_`
        bool negated = false;
        NodeId id = no_node;
    };
    struct Made {
        bool all = true; // else any
        std::vector<Term> parts;
    };

    const Book &book(const Term &t) const { return *books_[static_cast<std::size_t>(t.side)]; }
    const Node &node(const Term &t) const { return book(t).nodes[t.id]; }
    static Term at(const Term &t, NodeId id) { return {t.side, false, false, id}; }
    static Term child(const Term &t, const Node &n, std::size_t i) { return at(t, n.children[i]); }
    static Term opposite(Term t) {
        t.negated = !t.negated;
        return t;
    }
    static bool is_constant(const Node &n) {
        return n.op == NodeOp::constant || n.op == NodeOp::limit;
    }
    static Effect told(bool forward, bool backward);

    Term make(bool all, std::vector<Term> parts);
    Term applying(Side side, const Rule &rule);
    Term faulted(Side side, const Rule &rule);
    void require_one(Side side, const std::vector<Part> &parts, std::vector<Term> &faults);

    // Definitions without parameters give way to their values, `not` to a negation.
    Term written_out(Term t) const;
    bool parts_of(const Term &t, bool all, std::vector<Term> &out) const;

    bool follows(Term a, Term b);
    bool derive(const Term &a, const Term &b);
    bool derive_single(const Term &a, const Term &b);
    bool by_comparison(const Term &a, const Term &b);
    bool by_choice(const Term &a, const Term &b);
    bool by_structure(const Term &a, const Term &b);

    bool same(Term a, Term b);
    bool same_node(const Term &a, const Term &b);
    bool same_reference(const Term &a, const Term &b);
    bool same_searched_list(const Node &a, const Term &of_a, const Node &b, const Term &of_b) const;
    bool same_function(const Term &a, const Term &b);

    // a is never more than b; with `strictly`, always less.
    bool at_most(Term a, Term b, bool strictly = false);
    bool bounded(const Term &a, const Term &b);
    bool bounded_alike(const Term &a, const Term &b);
    bool bounded_search(const Term &a, const Term &b);
    bool never_negative(Term t) const;

    // Two look-ups of one table with the same keys: whether all cells that they can reach pass.
    template <typename Test>
    bool reached_cells(const Term &a, const Term &b, Test test);

    // Each question is answered once.
    template <typename Derive>
    bool once(char question, const Term &a, const Term &b, Derive derive) {
        const auto [place, fresh] = answers_.try_emplace({question, code(a), code(b)}, false);
        if (fresh)
            place->second = derive();
        return place->second;
    }
    static std::uint64_t code(const Term &t) {
        return std::uint64_t{t.id} << 4U | std::uint64_t{t.made} << 3U |
               std::uint64_t{t.negated} << 2U | static_cast<std::uint64_t>(t.side);
    }

    const Book *books_[3];
    std::map<NodeId, NodeId> mixed_; // mentions of the limit that is mixed in: its new value
    std::vector<Made> made_;
    std::map<std::tuple<char, std::uint64_t, std::uint64_t>, bool> answers_;
};

} // namespace groundrule::book
