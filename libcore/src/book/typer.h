// Gives an expression its meaning: names become fields, definitions, limits or choices; every node
// gets a type, and dimensions must agree.
#pragma once

#include "book/draft.h"

#include <optional>
#include <string_view>

namespace groundrule::book {

// What names mean at a place.
struct Scope {
    const ast::File *file = nullptr;
    std::int32_t self = -1;  // the item whose fields need no qualifier; -1 in a function
    std::int32_t space = -1; // the innermost item at hand: self, or a quantifier's element
    bool self_visible = true;
    bool implying = false; // `unknown` may stand for a value
    const std::vector<std::string> *parameter_names = nullptr;
    const std::vector<Type> *parameters = nullptr;
    const std::vector<Limit> *limits = nullptr;

    struct Element {
        std::string name;
        std::int32_t item;
    };
    std::vector<Element> elements; // of quantifiers, outermost first
    struct Sought {
        std::string name;
        Type type;
        bool outside = false; // of a quantifier that stands in the search
    };
    std::vector<Sought> sought; // of searches, outermost first
};

class Typer {
  public:
    Typer(Book &book, Diagnostics &diagnostics) : book_(book), diagnostics_(diagnostics) {}

    // no_node after a reported fault. `expected` helps choices and `unknown` to their type; it is
    // checked by the caller.
    NodeId type(ast::ExprId expr, const Scope &scope, const Type *expected = nullptr);
    // The same, with the type required; `what` names the place in the error.
    NodeId type_as(ast::ExprId expr, const Scope &scope, const Type &wanted, std::string_view what);

    std::optional<Type> resolve(const ast::TypeRef &ref, const std::string &inline_name);
    std::optional<double> choice_value(const Type &type, const ast::Name &choice);
    std::string name_of(const Type &type) const { return type_name(book_.choice_types, type); }

    NodeId add(Node node);
    Broken &broken() { return broken_; }
    Book &book() { return book_; }
    Diagnostics &diagnostics() { return diagnostics_; }

  private:
    NodeId literal(const ast::Expr &e);
    NodeId name(const ast::Expr &e, const Scope &scope, const Type *expected);
    NodeId bare_name(const ast::Expr &e, const Scope &scope, const Type *expected);
    NodeId member(const ast::Expr &e, std::int32_t item, bool required);
    NodeId text_choice(const ast::Expr &e, const Type *expected);
    NodeId logic(const ast::Expr &e, const Scope &scope);
    NodeId compare(const ast::Expr &e, const Scope &scope);
    NodeId between(const ast::Expr &e, const Scope &scope);
    NodeId choice_test(const ast::Expr &e, const Scope &scope);
    NodeId arithmetic(const ast::Expr &e, const Scope &scope);
    NodeId conditional(const ast::Expr &e, const Scope &scope, const Type *expected);
    NodeId lookup(const ast::Expr &e, const Scope &scope);
    NodeId search(const ast::Expr &e, const Scope &scope);
    NodeId call(const ast::Expr &e, const Scope &scope);
    NodeId extremum(const ast::Expr &e, const Scope &scope);
    NodeId round(const ast::Expr &e, const Scope &scope);
    NodeId quantifier(const ast::Expr &e, const Scope &scope);
    NodeId complete(const ast::Expr &e, const Scope &scope);
    NodeId applies(const ast::Expr &e, const Scope &scope);

    NodeId fault(const char *code, Span span, std::string message, std::string help = {});
    // The same for a name, unless it may stand in a declaration that is at fault itself.
    NodeId not_known(const std::string &name, Span span, std::string message,
                     std::string help = {});
    NodeId unknown_name(const ast::Expr &e, std::int32_t item, const Scope *scope,
                        const Type *expected);
    // Owner and element item of a list path; false after a reported fault.
    bool list_of(const ast::Expr &e, const Scope &scope, std::int32_t &owner,
                 std::int32_t &element);
    std::int32_t qualified_item(const ast::Expr &e, const std::string &qualifier,
                                const Scope &scope);
    NodeId comparison(NodeOp op, NodeId a, NodeId b, Span span, const char *words);
    const Node &node(NodeId id) const { return book_.nodes[id]; }

    Book &book_;
    Diagnostics &diagnostics_;
    Broken broken_;
};

} // namespace groundrule::book
