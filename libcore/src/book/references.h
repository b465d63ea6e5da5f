// What an expression refers to that an edition states: definitions, tables, lists, groups. Nothing
// is typed yet: which definition a name means is told by where it stands.
#pragma once

#include "book/draft.h"

#include <map>
#include <set>

namespace groundrule::book {

enum class Thing : std::uint8_t { definition, table, list, group };

// A definition as "crate.spare", or by its name alone if it is a function; a table or list by the
// citation of its declaration.
using Named = std::pair<Thing, std::string>;

std::string called(const DraftDefine &define);

struct Reference {
    ast::ExprId at = ast::no_expr;
    Named named;
};

// What names mean where an expression stands.
struct Standpoint {
    std::string item;          // its facts need no item before their names; empty in a function
    std::set<std::string> own; // limits and readings of a rule, parameters, elements of searches
    std::map<std::string, std::string> elements; // of quantifiers: their items
};

class References {
  public:
    explicit References(const Draft &draft);

    // Any word among choices is told as a group.
    std::vector<Reference> in(const ast::File &file, ast::ExprId id, const Standpoint &from) const;

  private:
    void visit(const ast::File &file, ast::ExprId id, const Standpoint &from,
               std::vector<Reference> &out) const;

    std::set<std::string> definitions_;
    std::map<std::pair<std::string, std::string>, std::string> lists_; // item, list: its items
};

} // namespace groundrule::book
