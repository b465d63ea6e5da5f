// The periods of an adoption. What a period asks of a job becomes conditions of a rule for the job,
// so that they are typed and evaluated like any other.
#include "syntax/grammar_actions.h"

namespace groundrule::syntax {

namespace {

using namespace ast;

PeriodDecl &period(auto &context) {
    return body<PeriodDecl>(context);
}

ExprId add_expr(auto &context, ExprKind kind, Span span, auto fill) {
    Expr e;
    e.kind = kind;
    e.span = span;
    fill(e);
    return state(context).add(std::move(e));
}

// by FIELD: the conditions on its dates.
constexpr auto set_by = [](auto &context) {
    PeriodDecl &p = period(context);
    p.by = std::move(x3::_attr(context));
    const auto compare = [&](const char *words, double day, Span span) {
        const ExprId field =
            add_expr(context, ExprKind::name, p.by.span, [&](Expr &e) { e.text = p.by.text; });
        const ExprId date = add_expr(context, ExprKind::literal, span, [&](Expr &e) {
            e.literal.kind = ValueKind::date;
            e.literal.value = day;
        });
        const ExprId test = add_expr(context, ExprKind::compare, p.by.span, [&](Expr &e) {
            e.text = words;
            e.children = {field, date};
        });
        p.rule.conditions.push_back({{}, {}, test, p.by.span});
    };
    compare("at least", p.from, p.by.span);
    if (p.until != 0)
        compare("less than", p.until, p.by.span);
};

constexpr auto begin = [](auto &context) {
    x3::_val(context).kind = DeclKind::period;
    RuleDecl &rule = x3::_val(context).body.template emplace<PeriodDecl>().rule;
    rule.item = {"job", span_of_word(context, "period")};
    for (const char *work : {"new", "altered", "replaced", "existing"})
        rule.binds.push_back({work, rule.item.span});
    rule.force = Force::shall;
    rule.requirement = add_expr(context, ExprKind::truth, rule.item.span, [](Expr &) {});
};
constexpr auto set_name = [](auto &context) {
    RuleDecl &rule = period(context).rule;
    rule.topic = x3::_attr(context);
    rule.citation = {rule.topic.text, rule.topic.span, true};
    rule.says.lines.push_back({rule.topic.text, rule.topic.span});
};
constexpr auto set_title = [](auto &context) {
    period(context).rule.title = std::move(x3::_attr(context).text);
};
constexpr auto set_from = [](auto &context) {
    period(context).from = x3::_attr(context).literal.value;
};
constexpr auto set_until = [](auto &context) {
    period(context).until = x3::_attr(context).literal.value;
};
constexpr auto add_condition = [](auto &context) {
    const ExprId id = x3::_attr(context);
    period(context).rule.conditions.push_back({{}, {}, id, state(context).file->exprs[id].span});
};
constexpr auto add_note = [](auto &context) {
    period(context).rule.notes.push_back(std::move(x3::_attr(context)));
};
constexpr auto add_source = [](auto &context) {
    period(context).rule.sources.push_back(std::move(x3::_attr(context)));
};

constexpr auto period_declaration_def =
    clause_word("period")[begin] >> layer_name[set_name] >> -text[set_title] >>
    ((clause_word("book") >> text[set(&PeriodDecl::book)]) |
     (clause_word("hands_over") >> connective("to") >> text[set(&PeriodDecl::hands_over)])) >>
    clause_word("from") >> date[set_from] >> -(clause_word("until") >> date[set_until]) >>
    clause_word("by") >> name[set_by] >>
    -(clause_word("overlaps") >> editions[set(&PeriodDecl::overlaps)]) >>
    *(clause_word("where") >> expression[add_condition]) >>
    *(clause_word("note") >> +text[add_note]) >>
    *(clause_word("source") >> +text[add_source]) >> DeclarationEnd{};

} // namespace

BOOST_SPIRIT_DEFINE(period_declaration)
BOOST_SPIRIT_INSTANTIATE(PeriodRule, Iterator, Context)

} // namespace groundrule::syntax
