// Logic, comparison and arithmetic: types of operators.
#include "book/typer.h"

#include "text/nearest.h"

#include <algorithm>

namespace groundrule::book {

using ast::Expr;
using ast::ExprKind;

NodeId Typer::add(Node node) {
    book_.nodes.push_back(std::move(node));
    return static_cast<NodeId>(book_.nodes.size() - 1);
}

NodeId Typer::fault(const char *code, Span span, std::string message, std::string help) {
    diagnostics_.error(code, span, std::move(message)).help = std::move(help);
    return no_node;
}

NodeId Typer::not_known(const std::string &name, Span span, std::string message, std::string help) {
    return broken_.has(name) ? no_node
                             : fault("unknown-name", span, std::move(message), std::move(help));
}

NodeId Typer::type_as(ast::ExprId expr, const Scope &scope, const Type &wanted,
                      std::string_view what) {
    const NodeId id = type(expr, scope, &wanted);
    if (id == no_node || node(id).type == wanted)
        return id;
    const Type &given = node(id).type;
    std::string help;
    if (wanted.is_truth() && given.kind == ValueKind::choice)
        help = "ask for a choice with `is`";
    else if (wanted.is_truth())
        help = "compare it: `at least`, `at most`, `more than`, `less than` or `=`";
    return fault("wrong-type", scope.file->exprs[expr].span,
                 std::string(what) + " must be " + name_of(wanted) + ", and this is " +
                     name_of(given),
                 std::move(help));
}

NodeId Typer::type(ast::ExprId expr, const Scope &scope, const Type *expected) {
    const Expr &e = scope.file->exprs[expr];
    switch (e.kind) {
    case ExprKind::literal:
        return literal(e);
    case ExprKind::truth: {
        Node n;
        n.type = truth_type();
        n.span = e.span;
        n.value = e.flag ? 1 : 0;
        return add(std::move(n));
    }
    case ExprKind::unknown: {
        if (!scope.implying || expected == nullptr)
            return fault("unknown-value", e.span,
                         "`unknown` may stand only in `imply`, where a value would stand",
                         "nothing can ask whether a value is known");
        Node n;
        n.op = NodeOp::unknown;
        n.type = *expected;
        n.span = e.span;
        return add(std::move(n));
    }
    case ExprKind::name:
        return name(e, scope, expected);
    case ExprKind::text:
        return text_choice(e, expected);
    case ExprKind::logical_and:
    case ExprKind::logical_or:
    case ExprKind::logical_not:
        return logic(e, scope);
    case ExprKind::compare:
        return compare(e, scope);
    case ExprKind::between:
        return between(e, scope);
    case ExprKind::is:
        return choice_test(e, scope);
    case ExprKind::add:
    case ExprKind::subtract:
    case ExprKind::multiply:
    case ExprKind::divide:
        return arithmetic(e, scope);
    case ExprKind::conditional:
        return conditional(e, scope, expected);
    case ExprKind::lookup:
        return lookup(e, scope);
    case ExprKind::call:
        return call(e, scope);
    case ExprKind::round:
        return round(e, scope);
    case ExprKind::quantifier:
        return quantifier(e, scope);
    case ExprKind::search:
        return search(e, scope);
    case ExprKind::complete:
        return complete(e, scope);
    case ExprKind::applies:
        return applies(e, scope);
    }
    return no_node;
}

NodeId Typer::literal(const Expr &e) {
    Node n;
    n.type.kind = e.literal.kind;
    n.type.dimension = e.literal.dimension;
    n.span = e.span;
    n.value = e.literal.value;
    return add(std::move(n));
}

NodeId Typer::logic(const Expr &e, const Scope &scope) {
    Node n;
    n.op = e.kind == ExprKind::logical_and  ? NodeOp::logical_and
           : e.kind == ExprKind::logical_or ? NodeOp::logical_or
                                            : NodeOp::logical_not;
    n.type = truth_type();
    n.span = e.span;
    bool good = true;
    for (const ast::ExprId child : e.children) {
        const NodeId id = type_as(child, scope, truth_type(), "what `and`, `or` and `not` join");
        good = good && id != no_node;
        n.children.push_back(id);
    }
    return good ? add(std::move(n)) : no_node;
}

NodeId Typer::comparison(NodeOp op, NodeId a, NodeId b, Span span, const char *words) {
    const Type &left = node(a).type;
    const Type &right = node(b).type;
    if (!(left == right)) {
        const bool quantities = left.is_quantity() && right.is_quantity();
        std::string help;
        if (quantities && right.dimension.is_number())
            help = "a " + name_of(left) + " is written with its unit: " + units_of(left.dimension);
        else if (quantities && left.dimension.is_number())
            help = "a number has no unit";
        else if (quantities && !units_of(left.dimension).empty() &&
                 !units_of(right.dimension).empty())
            help = "a " + name_of(left) + " is given in " + units_of(left.dimension) + "; a " +
                   name_of(right) + " in " + units_of(right.dimension);
        else if ((left.kind == ValueKind::conductor_size) !=
                 (right.kind == ValueKind::conductor_size))
            help = "a conductor size is a name such as 8 AWG, no quantity";
        return fault("wrong-type", span,
                     "`" + std::string(words) + "` compares " + name_of(left) + " with " +
                         name_of(right),
                     std::move(help));
    }
    const bool ordered = left.kind == ValueKind::quantity ||
                         left.kind == ValueKind::conductor_size || left.kind == ValueKind::date;
    if (!ordered && op != NodeOp::equal)
        return fault("wrong-type", span,
                     name_of(left) + " has no order; compare it with `is` or `=`");
    Node n;
    n.op = op;
    n.type = truth_type();
    n.span = span;
    n.children = {a, b};
    return add(std::move(n));
}

NodeId Typer::compare(const Expr &e, const Scope &scope) {
    const NodeId a = type(e.children[0], scope);
    const Type left =
        a == no_node ? Type{} : node(a).type; // a copy: typing the other side moves the nodes
    const NodeId b = type(e.children[1], scope, a == no_node ? nullptr : &left);
    if (a == no_node || b == no_node)
        return no_node;
    const NodeOp op = e.text == "="           ? NodeOp::equal
                      : e.text == "at least"  ? NodeOp::at_least
                      : e.text == "at most"   ? NodeOp::at_most
                      : e.text == "more than" ? NodeOp::more_than
                                              : NodeOp::less_than;
    return comparison(op, a, b, e.span, e.text.c_str());
}

NodeId Typer::between(const Expr &e, const Scope &scope) {
    const NodeId a = type(e.children[0], scope);
    const NodeId low = type(e.children[1], scope);
    const NodeId high = type(e.children[2], scope);
    if (a == no_node || low == no_node || high == no_node)
        return no_node;
    const NodeId above = comparison(NodeOp::at_least, a, low, e.span, "from");
    const NodeId below =
        above == no_node ? no_node : comparison(NodeOp::at_most, a, high, e.span, "to");
    if (below == no_node)
        return no_node;
    Node n;
    n.op = NodeOp::logical_and;
    n.type = truth_type();
    n.span = e.span;
    n.children = {above, below};
    return add(std::move(n));
}

std::optional<double> Typer::choice_value(const Type &type, const ast::Name &choice) {
    const ChoiceType &choices = book_.choice_types[static_cast<std::size_t>(type.choices)];
    for (std::size_t i = 0; i < choices.choices.size(); ++i) {
        if (choices.choices[i] == choice.text)
            return static_cast<double>(i);
    }
    const std::string near = nearest(choice.text, choices.choices);
    std::string help = near.empty() ? "" : "did you mean `" + near + "`?";
    for (std::size_t i = 0; near.empty() && i < choices.choices.size(); ++i)
        help += i == 8 ? ", …" : i > 8 ? "" : (i == 0 ? "one of: " : ", ") + choices.choices[i];
    if (!broken_.has(choice.text))
        fault("unknown-choice", choice.span,
              "\"" + choice.text + "\" is no choice of " + choices.name, std::move(help));
    return std::nullopt;
}

NodeId Typer::choice_test(const Expr &e, const Scope &scope) {
    const NodeId left = type(e.children[0], scope);
    if (left == no_node)
        return no_node;
    const Type of = node(left).type;
    if (of.kind != ValueKind::choice)
        return fault("wrong-type", e.span,
                     "`is` asks for a choice, and the left side is " + name_of(of),
                     of.is_truth() ? "a yes_no stands alone: `x`, or `not x`"
                                   : "compare values with `=`, `at least`, `at most` and so on");
    Node n;
    n.op = NodeOp::in_set;
    n.type = truth_type();
    n.span = e.span;
    n.children = {left};
    n.set.assign(book_.choice_types[static_cast<std::size_t>(of.choices)].choices.size(),
                 e.flag ? 1 : 0);
    bool good = true;
    const std::uint8_t chosen = e.flag ? 0 : 1;
    for (const ast::Name &choice : e.choices) {
        const auto group =
            std::find_if(book_.groups.begin(), book_.groups.end(), [&](const Group &g) {
                return g.choices == of.choices && g.name == choice.text;
            });
        if (group != book_.groups.end()) {
            group->read = true;
            for (std::size_t i = 0; i < n.set.size(); ++i)
                n.set[i] = group->set[i] != 0 ? chosen : n.set[i];
            continue;
        }
        const auto value = choice_value(of, choice);
        good = good && value.has_value();
        if (value)
            n.set[static_cast<std::size_t>(*value)] = chosen;
    }
    return good ? add(std::move(n)) : no_node;
}

NodeId Typer::arithmetic(const Expr &e, const Scope &scope) {
    const NodeId a = type(e.children[0], scope);
    const NodeId b = type(e.children[1], scope);
    if (a == no_node || b == no_node)
        return no_node;
    const Type left = node(a).type;
    const Type right = node(b).type;
    if (!left.is_quantity() || !right.is_quantity())
        return fault("wrong-type", e.span,
                     "arithmetic needs quantities, and this joins " + name_of(left) + " with " +
                         name_of(right));
    Node n;
    n.span = e.span;
    n.children = {a, b};
    const Dimension &x = left.dimension;
    const Dimension &y = right.dimension;
    const bool sum = e.kind == ExprKind::add || e.kind == ExprKind::subtract;
    if (!sum) {
        if (x.point || y.point)
            return fault("wrong-type", e.span,
                         "a temperature is a point; only differences can be multiplied or divided");
        n.op = e.kind == ExprKind::multiply ? NodeOp::multiply : NodeOp::divide;
        n.type = quantity_type(e.kind == ExprKind::multiply ? dimension::product(x, y)
                                                            : dimension::quotient(x, y));
        return add(std::move(n));
    }
    n.op = e.kind == ExprKind::add ? NodeOp::add : NodeOp::subtract;
    if (x.point || y.point) {
        const bool minus = e.kind == ExprKind::subtract;
        if (minus && x == dimension::temperature && y == dimension::temperature)
            n.type = quantity_type(dimension::temperature_difference);
        else if (x == dimension::temperature && y == dimension::temperature_difference)
            n.type = quantity_type(dimension::temperature);
        else
            return fault("wrong-type", e.span,
                         "two temperatures can be subtracted, and a difference added to a "
                         "temperature; nothing else",
                         "a difference is written 10 °C rise");
        return add(std::move(n));
    }
    if (!(x == y))
        return fault("wrong-dimension", e.span,
                     std::string(e.kind == ExprKind::add ? "adding " : "subtracting ") +
                         name_of(right) + (e.kind == ExprKind::add ? " to " : " from ") +
                         name_of(left) + " has no meaning");
    n.type = left;
    return add(std::move(n));
}

NodeId Typer::conditional(const Expr &e, const Scope &scope, const Type *expected) {
    const NodeId condition = type_as(e.children[0], scope, truth_type(), "the condition of `if`");
    const bool first_unknown = scope.file->exprs[e.children[1]].kind == ExprKind::unknown;
    NodeId then = no_node;
    NodeId otherwise = no_node;
    if (first_unknown) {
        otherwise = type(e.children[2], scope, expected);
        const Type wanted = otherwise == no_node ? Type{} : node(otherwise).type;
        then = type(e.children[1], scope, otherwise == no_node ? expected : &wanted);
    } else {
        then = type(e.children[1], scope, expected);
        const Type wanted = then == no_node ? Type{} : node(then).type;
        otherwise = type(e.children[2], scope, then == no_node ? expected : &wanted);
    }
    if (condition == no_node || then == no_node || otherwise == no_node)
        return no_node;
    if (!(node(then).type == node(otherwise).type))
        return fault("wrong-type", e.span,
                     "`then` gives " + name_of(node(then).type) + " and `otherwise` gives " +
                         name_of(node(otherwise).type));
    Node n;
    n.op = NodeOp::conditional;
    n.type = node(then).type;
    n.span = e.span;
    n.children = {condition, then, otherwise};
    return add(std::move(n));
}

NodeId Typer::extremum(const Expr &e, const Scope &scope) {
    Node n;
    n.op = e.text == "larger_of" ? NodeOp::larger : NodeOp::smaller;
    n.span = e.span;
    for (const ast::ExprId child : e.children) {
        const NodeId id = type(child, scope);
        if (id == no_node)
            return no_node;
        if (!n.children.empty() && !(node(id).type == n.type))
            return fault("wrong-type", node(id).span,
                         "`" + e.text + "` compares " + name_of(n.type) + " with " +
                             name_of(node(id).type));
        n.type = node(id).type;
        n.children.push_back(id);
    }
    if (n.type.kind != ValueKind::quantity && n.type.kind != ValueKind::conductor_size &&
        n.type.kind != ValueKind::date)
        return fault("wrong-type", e.span, name_of(n.type) + " has no order");
    return add(std::move(n));
}

NodeId Typer::round(const Expr &e, const Scope &scope) {
    const NodeId a = type(e.children[0], scope);
    const NodeId step = type(e.children[1], scope);
    if (a == no_node || step == no_node)
        return no_node;
    if (!node(a).type.is_quantity() || !(node(a).type == node(step).type))
        return fault("wrong-type", e.span,
                     "`" + e.text + "` rounds " + name_of(node(a).type) + " to a multiple of " +
                         name_of(node(step).type));
    Node n;
    n.op = e.text == "round_down" ? NodeOp::round_down
           : e.text == "round_up" ? NodeOp::round_up
                                  : NodeOp::round_nearest;
    n.type = node(a).type;
    n.span = e.span;
    n.children = {a, step};
    return add(std::move(n));
}

} // namespace groundrule::book
