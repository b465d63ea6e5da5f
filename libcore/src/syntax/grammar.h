// The grammar's rules that cross translation units. Only grammar_*.cc and parse.cc include this.
#pragma once

#include "syntax/terminals_layers.h"

namespace groundrule::syntax {

using Iterator = const char *;
using Context = x3::context<state_tag, std::reference_wrapper<ParseState>>;

using ExpressionRule = x3::rule<struct expression_class, ast::ExprId>;
using SumRule = x3::rule<struct sum_class, ast::ExprId>;
using PrimaryRule = x3::rule<struct primary_class, ast::ExprId>;
using TypeRefRule = x3::rule<struct type_ref_class, ast::TypeRef>;
using EditionsRule = x3::rule<struct editions_class, std::vector<ast::Name>>;
using NumberedRule = x3::rule<struct numbered_class, ast::Numbered>;
using PartRule = x3::rule<struct part_class, ast::Part>;
using LimitRule = x3::rule<struct limit_class, ast::RuleLimit>;
using ConditionRule = x3::rule<struct condition_class, ast::Condition>;
using PartTextRule = x3::rule<struct part_text_class, ast::Part>;
using ForceWordRule = x3::rule<struct force_word_class, ast::Force>;
using NamesRule = x3::rule<struct names_class, std::vector<ast::Name>>;
using FieldRule = x3::rule<struct field_class, ast::FieldDecl>;
using RowRule = x3::rule<struct row_class, ast::TableRow>;
using BracketedRule = x3::rule<struct bracketed_class, std::vector<ast::Name>>;
using ScopeRule = x3::rule<struct scope_class, ast::Target>;
using TextChangeRule = x3::rule<struct text_change_class, ast::Decl>;
using AdditionRule = x3::rule<struct addition_class, ast::Decl>;
using TargetRule = x3::rule<struct target_class, ast::Target>;
using RuleBodyRule = x3::rule<struct rule_body_class, ast::RuleDecl>;
using CellRule = x3::rule<struct cell_class, ast::Cell>;
using HeaderRule = x3::rule<struct header_class, ast::Decl>;
using FactsRule = x3::rule<struct facts_class, ast::Decl>;
using TableRule = x3::rule<struct table_class, ast::Decl>;
using RuleRule = x3::rule<struct rule_class, ast::Decl>;
using TestRule = x3::rule<struct test_class, ast::Decl>;
using ChangeRule = x3::rule<struct change_class, ast::Decl>;
using PeriodRule = x3::rule<struct period_class, ast::Decl>;

inline constexpr ExpressionRule expression{"expression"};
inline constexpr SumRule sum{"sum"};
inline constexpr PrimaryRule primary{"primary"};
inline constexpr TypeRefRule type_ref{"type"};
inline constexpr EditionsRule editions{"editions"};
inline constexpr NumberedRule numbered{"numbered"};
inline constexpr PartRule part{"part"};
inline constexpr LimitRule limit{"limit"};
inline constexpr ConditionRule condition{"condition"};
inline constexpr PartTextRule part_text{"the text of a part"};
inline constexpr ForceWordRule force_word{"force"};
inline constexpr NamesRule names{"names"};
inline constexpr FieldRule field{"field"};
inline constexpr RowRule row{"row"};
inline constexpr BracketedRule bracketed_choices{"bracketed choices"};
inline constexpr ScopeRule scope{"scope"};
inline constexpr TextChangeRule text_change_declaration{"change of a text"};
inline constexpr AdditionRule addition_declaration{"addition"};
inline constexpr TargetRule target{"rule"};
inline constexpr RuleBodyRule rule_body{"rule body"};
inline constexpr CellRule cell{"cell"};
inline constexpr HeaderRule header_declaration{"header"};
inline constexpr FactsRule fact_declaration{"facts"};
inline constexpr TableRule table_declaration{"table"};
inline constexpr RuleRule rule_declaration{"rule"};
inline constexpr TestRule test_declaration{"test"};
inline constexpr ChangeRule change_declaration{"change"};
inline constexpr PeriodRule period_declaration{"period"};

BOOST_SPIRIT_DECLARE(ExpressionRule, SumRule, PrimaryRule, TypeRefRule, EditionsRule, NumberedRule,
                     PartRule, PartTextRule, ForceWordRule, NamesRule, FieldRule, RowRule,
                     BracketedRule, ScopeRule, TextChangeRule, AdditionRule, TargetRule, LimitRule,
                     ConditionRule, RuleBodyRule, CellRule, HeaderRule, FactsRule, TableRule,
                     RuleRule, TestRule, ChangeRule, PeriodRule)

inline constexpr NameTerminal name{};
inline constexpr LayerName layer_name{};
inline constexpr TextTerminal text{};
inline constexpr CitationTerminal citation{};
inline constexpr LabelTerminal label{};
inline constexpr Value value{};
inline constexpr DateTerminal date{};
inline constexpr DigestTerminal digest{};
inline constexpr ArticleTerminal article{};
inline constexpr MarkIn<Layout::free> mark{};
inline constexpr MarkIn<Layout::line> line_mark{};
inline constexpr PositionTerminal position{};
inline constexpr LineEnd line_end{};
inline constexpr LayoutTerminal layout{};

// The word that was just read, in an action upon it.
Span span_of_word(auto &context, std::string_view word) {
    const ParseState &s = state(context);
    const char *end = x3::_where(context).begin();
    return s.span(end - word.size(), end);
}

// Actions: put the attribute into a member of the rule's value.
template <typename Owner, typename Member>
constexpr auto into(Member Owner::*member) {
    return [member](auto &context) { x3::_val(context).*member = std::move(x3::_attr(context)); };
}

template <typename Owner, typename Member>
constexpr auto append_to(std::vector<Member> Owner::*member) {
    return [member](auto &context) {
        (x3::_val(context).*member).push_back(std::move(x3::_attr(context)));
    };
}

} // namespace groundrule::syntax
