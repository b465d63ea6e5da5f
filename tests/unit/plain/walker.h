// A third evaluator, to hold the other two against: it walks the typed tree, one item at a time, as
// docs/language.md tells each form, and shares no line with them. A value is what it can be at
// least and at most. Plain and slow on purpose: no program, no registers, no tables made ready.
#pragma once

#include "plain/known.h"

#include "book/model.h"
#include "facts/job.h"
#include "quantity/truth.h"

#include <map>
#include <vector>

namespace plain {

class Walker {
  public:
    Walker(const book::Book &book, const facts::Job &job) : book_(book), job_(job) {}

    // Two sources of some fact can't both be true.
    bool contradictory();
    Verdict verdict(std::size_t rule, std::size_t row);

  private:
    struct Here;
    struct Argument {
        book::NodeId node = book::no_node;
        const Here *from = nullptr;
    };
    // Where an expression stands: a row of an item, and what surrounds it.
    struct Here {
        std::size_t item = 0;
        std::size_t row = 0;
        std::vector<Argument> arguments{}; // of the function whose value it is
        std::vector<double> elements{};    // of the searches around it
    };
    // Which bounds a value could ever be.
    struct Could {
        bool least = false;
        bool most = false;
    };

    const book::Node &node(book::NodeId id) const { return book_.nodes[id]; }
    Here above(const Here &here, std::int32_t item) const;
    std::vector<Here> below(const book::Node &n, const Here &owner) const;
    Here inside(const book::Define &d, const book::Node &n, const Here &here) const;

    Known value(book::NodeId id, const Here &here);
    Answer truth(book::NodeId id, const Here &here);
    Known fact(const Here &here, std::size_t field);
    Known work(const Here &here);
    Known looked_up(const book::Node &n, const Here &here);
    Known found(const book::Node &n, const Here &here);
    Known over_list(const book::Node &n, const Here &here);
    Answer some_or_every(const book::Node &n, const Here &here);
    Answer applies(std::size_t rule, std::size_t row);
    Answer met(std::size_t rule, std::size_t row);
    Answer one_of(const std::vector<book::Part> &parts, const Here &here);

    bool never_below_zero(book::NodeId id, const Here &here);
    Could could(book::NodeId id, const Here &here);

    const book::Book &book_;
    const facts::Job &job_;
    bool contradictory_ = false;
    // What was worked out already: by slot and row, by definition and row, by rule and row.
    std::map<std::pair<std::size_t, std::size_t>, Known> facts_;
    std::map<std::pair<std::size_t, std::size_t>, Known> defined_;
    std::map<std::pair<std::size_t, std::size_t>, Answer> applied_;
};

} // namespace plain
