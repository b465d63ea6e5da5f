// Sums, products and what they are made of: values, names, look-ups, quantifiers, calls.
#include "syntax/grammar.h"

namespace groundrule::syntax {

namespace {

using ast::Expr;
using ast::ExprId;
using ast::ExprKind;

constexpr auto take = [](auto &context) { x3::_val(context) = x3::_attr(context); };

constexpr auto binary(ExprKind kind) {
    return [kind](auto &context) {
        ParseState &s = state(context);
        Expr node;
        node.kind = kind;
        node.children = {x3::_val(context), x3::_attr(context)};
        node.span = {s.source, s.file->exprs[node.children[0]].span.begin,
                     s.file->exprs[node.children[1]].span.end};
        x3::_val(context) = s.add(std::move(node));
    };
}

using ProductRule = x3::rule<struct product_class, ExprId>;
constexpr ProductRule product{"product"};
// Each form builds one Expr; `primary` gives it its span and a place in the arena.
constexpr x3::rule<struct conditional_class, Expr> conditional{"conditional"};
constexpr x3::rule<struct lookup_class, Expr> lookup{"look-up"};
constexpr x3::rule<struct search_class, Expr> search{"search"};
constexpr x3::rule<struct quantifier_class, Expr> quantifier{"quantifier"};
constexpr x3::rule<struct call_class, Expr> call{"call"};
constexpr x3::rule<struct atom_class, Expr> atom{"atom"};

constexpr auto kind(ExprKind k) {
    return [k](auto &context) { x3::_val(context).kind = k; };
}
constexpr auto kind(ExprKind k, std::string_view word) {
    return [k, word](auto &context) {
        x3::_val(context).kind = k;
        x3::_val(context).text = std::string(word);
    };
}
constexpr auto truth(bool yes) {
    return [yes](auto &context) {
        x3::_val(context).kind = ExprKind::truth;
        x3::_val(context).flag = yes;
    };
}

constexpr auto child = append_to(&Expr::children);
constexpr auto word_is_text = [](auto &context) {
    x3::_val(context).text = x3::_attr(context).text;
};
constexpr auto first_name = [](auto &context) {
    x3::_val(context).kind = ExprKind::name;
    x3::_val(context).text = x3::_attr(context).text;
};
constexpr auto second_name = [](auto &context) {
    Expr &e = x3::_val(context);
    e.qualifier = std::move(e.text);
    e.text = x3::_attr(context).text;
};
constexpr auto becomes_call = [](auto &context) { x3::_val(context).kind = ExprKind::call; };
constexpr auto quoted = [](auto &context) {
    x3::_val(context).kind = ExprKind::text;
    x3::_val(context).text = x3::_attr(context).text;
};
constexpr auto valued = [](auto &context) {
    x3::_val(context).kind = ExprKind::literal;
    x3::_val(context).literal = x3::_attr(context).literal;
};

constexpr auto word(std::string_view w, ExprKind k) {
    return function(w)[kind(k, w)];
}

constexpr auto arguments = expression[child] >> *(sign(",") >> expression[child]);
constexpr auto list_path = name[word_is_text] >> -(sign(".") >> name[second_name]);

constexpr auto conditional_def = function("if")[kind(ExprKind::conditional)] >> expression[child] >>
                                 connective("then") >> expression[child] >>
                                 connective("otherwise") >> expression[child];

constexpr auto lookup_def = function("table")[kind(ExprKind::lookup)] >>
                            citation[into(&Expr::citation)] >> sign("[") >> arguments >>
                            sign("]") >> -(sign(".") >> name[word_is_text]);

constexpr auto search_def = (word("smallest", ExprKind::search) |
                             word("largest", ExprKind::search)) >>
                            sign("(") >> name[into(&Expr::element)] >> connective("in") >>
                            function("list") >> citation[into(&Expr::citation)] >>
                            -(connective("where") >> expression[into(&Expr::where)]) >> sign(")");

// The list path stands in text and qualifier, so the quantifier's own word goes to citation.
constexpr auto quantifying(std::string_view w) {
    return function(w)[([w](auto &context) {
        x3::_val(context).kind = ExprKind::quantifier;
        x3::_val(context).citation.text = std::string(w);
    })];
}

constexpr auto quantifier_def = (quantifying("any") | quantifying("all") | quantifying("count") |
                                 quantifying("sum") | quantifying("max") | quantifying("min")) >>
                                sign("(") >> name[into(&Expr::element)] >>
                                connective("in") >> list_path >>
                                -(connective("where") >> expression[into(&Expr::where)]) >>
                                -(sign(":") >> expression[into(&Expr::body)]) >> sign(")");

constexpr auto call_def =
    (((word("larger_of", ExprKind::call) | word("smaller_of", ExprKind::call)) >> sign("(") >>
      arguments) |
     ((word("round_down", ExprKind::round) | word("round_up", ExprKind::round) |
       word("round_nearest", ExprKind::round)) >>
      sign("(") >> sum[child] >> connective("to") >> sum[child]) |
     (function("complete")[kind(ExprKind::complete)] >> sign("(") >> list_path) |
     (function("applies")[kind(ExprKind::applies)] >> sign("(") >> name[word_is_text])) >>
    sign(")");

constexpr auto atom_def =
    value[valued] | text[quoted] | function("yes")[truth(true)] | function("no")[truth(false)] |
    function("unknown")[kind(ExprKind::unknown)] |
    (name[first_name] >>
     -((sign(".") >> name[second_name]) | (sign("(")[becomes_call] >> arguments >> sign(")"))));

BOOST_SPIRIT_DEFINE(conditional, lookup, search, quantifier, call, atom)

constexpr x3::rule<struct spanned_class, Expr> spanned{"operand"};
constexpr auto note_begin = [](auto &context) {
    x3::_val(context).span.begin = state(context).offset(x3::_attr(context));
};
constexpr auto take_node = [](auto &context) {
    const std::uint32_t begin = x3::_val(context).span.begin;
    x3::_val(context) = std::move(x3::_attr(context));
    x3::_val(context).span.begin = begin;
};
constexpr auto note_end = [](auto &context) {
    Span &span = x3::_val(context).span;
    span.file = state(context).source;
    span.end = state(context).offset(x3::_attr(context));
};

// The end of the token just read, before the layout that follows it.
struct HereTerminal : x3::parser<HereTerminal> {
    using attribute_type = const char *;
    static constexpr bool has_attribute = true;

    template <typename It, typename Ctx, typename Target>
    bool parse(It &first, const It &, const Ctx &, x3::unused_type, Target &target) const {
        x3::traits::move_to(static_cast<const char *>(first), target);
        return true;
    }
};
constexpr HereTerminal here{};

// Values and names first: they are most of what is written, and each form tried costs a node.
constexpr auto spanned_def = position[note_begin] >>
                             (atom[take_node] | conditional[take_node] | lookup[take_node] |
                              search[take_node] | quantifier[take_node] | call[take_node]) >>
                             here[note_end];
BOOST_SPIRIT_DEFINE(spanned)

constexpr auto add_node = [](auto &context) {
    x3::_val(context) = state(context).add(std::move(x3::_attr(context)));
};

// The layout behind it is skipped here, not by each operator that may follow.
constexpr auto primary_def =
    ((sign("(") >> expression[take] >> sign(")")) | spanned[add_node]) >> layout;

constexpr auto product_def = primary[take] >>
                             *(((arithmetic("*") | arithmetic("×")) >>
                                primary[binary(ExprKind::multiply)]) |
                               (arithmetic("/") >> primary[binary(ExprKind::divide)]));

constexpr auto sum_def = product[take] >>
                         *((arithmetic("+") >> product[binary(ExprKind::add)]) |
                           (arithmetic("-") >> product[binary(ExprKind::subtract)]));

BOOST_SPIRIT_DEFINE(product)

} // namespace

BOOST_SPIRIT_DEFINE(primary, sum)
BOOST_SPIRIT_INSTANTIATE(PrimaryRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(SumRule, Iterator, Context)

} // namespace groundrule::syntax
