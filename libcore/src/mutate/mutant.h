// One small change to what a rule file says, and how it is made on the typed book.
#pragma once

#include "book/model.h"

#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace groundrule::mutate {

// What stands in place of each of some nodes. One place of a file may be several nodes: a clause's
// condition is typed once for every rule within the clause.
struct NodeEdit {
    enum class How : std::uint8_t {
        replace, // the node is `nodes[i].second`
        negate,  // `not` stands before the node
    } how = How::replace;
    std::vector<std::pair<book::NodeId, book::Node>> nodes;
};

struct CellEdit {
    std::uint32_t table = 0;
    std::size_t cell = 0;
    double value = 0;
};

struct KeyEdit {
    std::uint32_t table = 0;
    std::uint32_t key = 0;
    std::size_t position = 0;
    double value = 0;
};

struct ListEdit {
    std::uint32_t list = 0;
    std::size_t position = 0;
    double value = 0;
};

using Edit = std::variant<NodeEdit, CellEdit, KeyEdit, ListEdit>;

struct Mutant {
    Span span;           // of what is changed
    const char *kind;    // "limit", "table cell" …
    std::string subject; // "rule 210.8(A) (dwelling_receptacle_gfci)", "table 310.16" …
    std::string from;    // as written
    std::string to;
    Edit edit;
    std::vector<std::uint32_t> slots{}; // of facts whose implied values it can change
};

// A copy of a book on which mutants are made, one at a time.
class Altered {
  public:
    explicit Altered(const book::Book &book);

    void make(const Edit &edit);
    void undo(); // the last one made
    const book::Book &book() const { return book_; }

  private:
    book::Book book_;
    std::vector<std::pair<book::NodeId, book::Node>> nodes_; // as they were
    std::size_t node_count_ = 0;
    double value_ = 0;
    double *place_ = nullptr;
};

} // namespace groundrule::mutate
