#include "book/made_expressions.h"

#include "text/limits.h"

#include <algorithm>

namespace groundrule::book {

namespace {

using ast::Expr;
using ast::ExprId;
using ast::ExprKind;

ExprId add(ast::File &made, Expr expr) {
    for (const ExprId child : expr.children)
        expr.depth = std::max(expr.depth, static_cast<std::uint16_t>(made.exprs[child].depth + 1));
    made.exprs.push_back(std::move(expr));
    return static_cast<ExprId>(made.exprs.size() - 1);
}

} // namespace

// Depth is bounded by the nesting that the reader admits.
ExprId copied(const ast::File &from, ExprId id, ast::File &to, // NOLINT(misc-no-recursion)
              const OnCopy &on_copy) {
    if (id == ast::no_expr)
        return id;
    Expr e = from.exprs[id];
    for (ExprId &child : e.children)
        child = copied(from, child, to, on_copy);
    e.where = copied(from, e.where, to, on_copy);
    e.body = copied(from, e.body, to, on_copy);
    if (on_copy)
        on_copy(id, e);
    to.exprs.push_back(std::move(e));
    return static_cast<ExprId>(to.exprs.size() - 1);
}

Written joined(ExprKind kind, const Written &a, const Written &b, std::int32_t layer,
               ast::File &made, Diagnostics &diagnostics) {
    const ExprId left = copied(*a.file, a.expr, made);
    const ExprId right = copied(*b.file, b.expr, made);
    // As the reader does it: what is joined to a chain becomes a link of it.
    Expr e;
    if (made.exprs[left].kind == kind) {
        e = made.exprs[left];
        e.children.push_back(right);
    } else {
        e.kind = kind;
        e.children = {left, right};
    }
    e.span = made.exprs[right].span;
    const ExprId id = add(made, std::move(e));
    if (made.exprs[id].depth > limits::nesting)
        diagnostics.error("too-deep", made.exprs[right].span,
                          "with what it is joined to this nests deeper than " +
                              std::to_string(limits::nesting));
    return {&made, id, layer};
}

Written dated(const std::string &field, const char *relation, double day, Span span,
              std::int32_t layer, ast::File &made) {
    Expr fact;
    fact.kind = ExprKind::name;
    fact.qualifier = "job";
    fact.text = field;
    fact.span = span;
    Expr date;
    date.kind = ExprKind::literal;
    date.literal.kind = ValueKind::date;
    date.literal.value = day;
    date.span = span;
    Expr test;
    test.kind = ExprKind::compare;
    test.text = relation;
    test.children = {add(made, std::move(fact)), add(made, std::move(date))};
    test.span = span;
    return {&made, add(made, std::move(test)), layer};
}

} // namespace groundrule::book
