// Expressions down to sums: logic, comparison, choice tests.
#include "syntax/grammar.h"

namespace groundrule::syntax {

namespace {

using ast::Expr;
using ast::ExprId;
using ast::ExprKind;

Span joined(const ParseState &s, ExprId from, ExprId to) {
    return {s.source, s.file->exprs[from].span.begin, s.file->exprs[to].span.end};
}

// a and b and c is one node: length never becomes depth.
constexpr auto chain(ExprKind kind) {
    return [kind](auto &context) {
        ParseState &s = state(context);
        const ExprId right = x3::_attr(context);
        const ExprId left = x3::_val(context);
        const Span span = joined(s, left, right);
        Expr &node = s.file->exprs[left];
        if (node.kind == kind) {
            node.children.push_back(right);
            node.span = span;
            s.put_below(node, right);
            return;
        }
        Expr chained;
        chained.kind = kind;
        chained.span = span;
        chained.children = {left, right};
        x3::_val(context) = s.add(std::move(chained));
    };
}

constexpr auto compare(std::string_view relation) {
    return [relation](auto &context) {
        ParseState &s = state(context);
        Expr node;
        node.kind = ExprKind::compare;
        node.text = std::string(relation);
        node.children = {x3::_val(context), x3::_attr(context)};
        node.span = joined(s, node.children[0], node.children[1]);
        x3::_val(context) = s.add(std::move(node));
    };
}

constexpr auto take = [](auto &context) { x3::_val(context) = x3::_attr(context); };

constexpr auto begin_between = [](auto &context) {
    Expr node;
    node.kind = ExprKind::between;
    node.children = {x3::_val(context), x3::_attr(context)};
    x3::_val(context) = state(context).add(std::move(node));
};

constexpr auto end_between = [](auto &context) {
    ParseState &s = state(context);
    Expr &node = s.file->exprs[x3::_val(context)];
    node.children.push_back(x3::_attr(context));
    node.span = joined(s, node.children[0], node.children[2]);
    s.put_below(node, node.children[2]);
};

constexpr auto begin_is = [](auto &context) {
    ParseState &s = state(context);
    Expr node;
    node.kind = ExprKind::is;
    node.children = {x3::_val(context)};
    node.span = s.file->exprs[node.children[0]].span;
    x3::_val(context) = s.add(std::move(node));
};

constexpr auto negate_is = [](auto &context) {
    state(context).file->exprs[x3::_val(context)].flag = true;
};

void add_choice(ParseState &s, ExprId id, ast::Name choice) {
    Expr &node = s.file->exprs[id];
    node.span.end = choice.span.end;
    node.choices.push_back(std::move(choice));
}

constexpr auto name_choice = [](auto &context) {
    add_choice(state(context), x3::_val(context), x3::_attr(context));
};
constexpr auto text_choice = [](auto &context) {
    const ast::Message &m = x3::_attr(context);
    add_choice(state(context), x3::_val(context), {m.text, m.span});
};

constexpr auto make_not = [](auto &context) {
    ParseState &s = state(context);
    Expr node;
    node.kind = ExprKind::logical_not;
    node.children = {x3::_attr(context)};
    node.span = s.file->exprs[node.children[0]].span;
    x3::_val(context) = s.add(std::move(node));
};

using ComparisonRule = x3::rule<struct comparison_class, ExprId>;
using NegationRule = x3::rule<struct negation_class, ExprId>;
constexpr ComparisonRule comparison{"comparison"};
constexpr NegationRule negation{"negation"};

constexpr auto choice = name[name_choice] | text[text_choice];

constexpr auto comparison_def =
    sum[take] >>
    -((arithmetic("=") >> sum[compare("=")]) |
      (comparing("at") >> ((comparing("least") >> sum[compare("at least")]) |
                           (comparing("most") >> sum[compare("at most")]))) |
      (comparing("more") >> comparing("than") >> sum[compare("more than")]) |
      (comparing("less") >> comparing("than") >> sum[compare("less than")]) |
      (comparing("from") >> sum[begin_between] >> comparing("to") >> sum[end_between]) |
      (comparing("is")[begin_is] >> -comparing("not")[negate_is] >>
       ((comparing("one") >> comparing("of") >> sign("(") >> choice >> *(sign(",") >> choice) >>
         sign(")")) |
        choice)));

constexpr auto negation_def = (connective("not") >> negation[make_not]) | comparison[take];

constexpr auto expression_def = negation[take] >>
                                (+(connective("and") >> negation[chain(ExprKind::logical_and)]) |
                                 +(connective("or") >> negation[chain(ExprKind::logical_or)]) |
                                 x3::eps);

BOOST_SPIRIT_DEFINE(comparison, negation)

} // namespace

BOOST_SPIRIT_DEFINE(expression)
BOOST_SPIRIT_INSTANTIATE(ExpressionRule, Iterator, Context)

} // namespace groundrule::syntax
