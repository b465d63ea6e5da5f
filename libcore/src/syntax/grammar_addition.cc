// What an amendment adds to a rule, a whole section or article, an item, a table, a list or a
// group.
#include "syntax/grammar_change_actions.h"

namespace groundrule::syntax {

namespace {

using namespace ast;
using Kind = ChangeDecl::Kind;

constexpr auto choice_cells = [](auto &context) {
    change(context).keys.clear();
    for (Name &choice : x3::_attr(context)) {
        Cell cell;
        cell.kind = Cell::Kind::word;
        cell.word = std::move(choice.text);
        cell.span = choice.span;
        change(context).keys.push_back(std::move(cell));
    }
};

constexpr auto to_item = clause_word("item")[is(Kind::add_fields)] >>
                         name[set(&ChangeDecl::name)] >> field[first_of(&ChangeDecl::fields)] >>
                         *field[next_of(&ChangeDecl::fields)];

constexpr auto to_table = clause_word("table")[is(Kind::add_rows)] >> citation[target_citation] >>
                          row[first_of(&ChangeDecl::rows)] >> *row[next_of(&ChangeDecl::rows)];

constexpr auto to_list = clause_word("list")[is(Kind::add_entries)] >> citation[target_citation] >>
                         arithmetic("=") >> cells;

constexpr auto to_group = clause_word("group")[is(Kind::add_entries)][of_group] >>
                          name[set(&ChangeDecl::name)] >>
                          arithmetic("=") >> bracketed_choices[choice_cells];

constexpr auto to_rules = x3::eps[is(Kind::add_to_rule)] >> scope[set(&ChangeDecl::target)] >>
                          rule_body[set(&ChangeDecl::added)];

constexpr auto addition_declaration_def =
    x3::eps[start_change] >> clause_word("add") >> connective("to") >>
    (to_item | to_table | to_list | to_group | to_rules) >> DeclarationEnd{};

} // namespace

BOOST_SPIRIT_DEFINE(addition_declaration)
BOOST_SPIRIT_INSTANTIATE(AdditionRule, Iterator, Context)

} // namespace groundrule::syntax
