// An amendment's changes of one text: each names the value or the digest of what it replaces.
#include "syntax/grammar_change_actions.h"

namespace groundrule::syntax {

namespace {

using namespace ast;
using Kind = ChangeDecl::Kind;

constexpr auto old_digest = comparing("from") >> digest[set(&ChangeDecl::old_text)];
constexpr auto old_cell = comparing("from") >> position >> cell[set(&ChangeDecl::old_cell)];
constexpr auto new_cell = comparing("to") >> position >> cell[set(&ChangeDecl::new_cell)];
constexpr auto new_expression = comparing("to") >> expression[set(&ChangeDecl::to)];

constexpr auto new_part = [](auto &context) {
    change(context).added.parts.assign(1, std::move(x3::_attr(context)));
};
constexpr auto to_part = comparing("to") >> part_text[new_part];
constexpr auto new_message = [](auto &context) {
    change(context).added.says.lines.push_back(std::move(x3::_attr(context)));
};

constexpr auto a_cell = clause_word("table")[is(Kind::change_cell)] >> citation[target_citation] >>
                        sign("[") >> cells >> sign("]") >>
                        -(sign(".") >> name[set(&ChangeDecl::column)]) >> old_cell >> new_cell;

constexpr auto an_entry = clause_word("entry")[is(Kind::change_entry)] >> connective("of") >>
                          ((clause_word("list") >> citation[target_citation]) |
                           (clause_word("group")[of_group] >> name[set(&ChangeDecl::name)])) >>
                          old_cell >> new_cell;

constexpr auto a_condition = clause_word("condition")[is(Kind::change_condition)] >>
                             name[set(&ChangeDecl::name)] >> connective("of") >> the_rule
                             >> old_digest >> new_expression;

constexpr auto a_requirement = clause_word("requirement")[is(Kind::change_requirement)] >>
                               connective("of") >> the_rule >> old_digest >> new_expression >>
                               -(clause_word("says") >> +text[new_message]);

constexpr auto a_force = clause_word("force")[is(Kind::change_force)] >>
                         connective("of") >> the_rule >>
                         comparing("from") >> force_word[set(&ChangeDecl::old_force)] >>
                         comparing("to") >> force_word[set(&ChangeDecl::new_force)];

constexpr auto a_binding = clause_word("binds")[is(Kind::change_binds)] >>
                           connective("of") >> the_rule >>
                           comparing("from") >> names[set(&ChangeDecl::old_binds)] >>
                           comparing("to") >> names[set(&ChangeDecl::new_binds)];

constexpr auto a_part = clause_word("part")[is(Kind::change_part)] >>
                        label[set(&ChangeDecl::label)] >> connective("of") >> the_rule >> old_digest
                        >> to_part;

constexpr auto an_exception =
    x3::eps[is(Kind::change_exception)] >> the_exception >> old_digest >> to_part;

constexpr auto
    a_limit = x3::eps[is(Kind::change_limit)] >>
              -(clause_word("limit") | clause_word("reading")) >> name[set(&ChangeDecl::name)] >>
              connective("of") >> the_rule >> comparing("from") >> sum[set(&ChangeDecl::from)] >>
              comparing("to") >> sum[set(&ChangeDecl::to)];

constexpr auto text_change_declaration_def = x3::eps[start_change] >> clause_word("change") >>
                                             (a_cell | an_entry | a_condition | a_requirement |
                                              a_force | a_binding | a_part | an_exception |
                                              a_limit) >>
                                             DeclarationEnd{};

} // namespace

BOOST_SPIRIT_DEFINE(text_change_declaration)
BOOST_SPIRIT_INSTANTIATE(TextChangeRule, Iterator, Context)

} // namespace groundrule::syntax
