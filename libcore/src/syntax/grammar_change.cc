// What an amendment does to the text below it.
#include "syntax/grammar.h"

namespace groundrule::syntax {

namespace {

using namespace ast;

ChangeDecl &body(auto &context) {
    return std::get<ChangeDecl>(x3::_val(context).body);
}

using TargetRule = x3::rule<struct target_class, Target>;
const TargetRule target{"rule"};
const auto target_def = citation[into(&Target::citation)] >>
                        -(clause_word("topic") >> name[into(&Target::topic)]);
BOOST_SPIRIT_DEFINE(target)

const auto start = [](auto &context) {
    x3::_val(context).kind = DeclKind::change;
    x3::_val(context).body.template emplace<ChangeDecl>();
};
auto is(ChangeDecl::Kind kind) {
    return [kind](auto &context) { body(context).kind = kind; };
}

template <typename Member>
auto set(Member ChangeDecl::*member) {
    return [member](auto &context) { body(context).*member = std::move(x3::_attr(context)); };
}
const auto add_key = [](auto &context) {
    body(context).keys.push_back(std::move(x3::_attr(context)));
};
const auto table_citation = [](auto &context) {
    body(context).target.citation = std::move(x3::_attr(context));
};
const auto set_date = [](auto &context) { body(context).date = x3::_attr(context).literal.value; };

const auto the_rule = clause_word("rule") >> target[set(&ChangeDecl::target)];

const auto a_delete = clause_word("delete") >>
                      ((clause_word("exception")[is(ChangeDecl::Kind::delete_exception)] >>
                        -label[set(&ChangeDecl::label)] >> connective("of") >> the_rule) |
                       the_rule);

const auto a_change = clause_word("change") >>
                      ((clause_word("table")[is(ChangeDecl::Kind::change_cell)] >>
                        citation[table_citation] >> sign("[") >> position >> cell[add_key] >>
                        *(sign(",") >> position >> cell[add_key]) >> sign("]") >>
                        -(sign(".") >> name[set(&ChangeDecl::column)]) >> comparing("from") >>
                        position >> cell[set(&ChangeDecl::old_cell)] >> comparing("to") >>
                        position >> cell[set(&ChangeDecl::new_cell)]) |
                       (name[set(&ChangeDecl::limit)][is(ChangeDecl::Kind::change_limit)] >>
                        connective("of") >> the_rule >> comparing("from") >>
                        sum[set(&ChangeDecl::from)] >> comparing("to") >>
                        sum[set(&ChangeDecl::to)]));

const auto a_narrow = clause_word("narrow")[is(ChangeDecl::Kind::narrow)] >> the_rule >>
                      comparing("to") >> clause_word("where") >> expression[set(&ChangeDecl::to)];

const auto a_delay = clause_word("delay")[is(ChangeDecl::Kind::delay)] >> the_rule >>
                     connective("until") >> date[set_date];

const auto an_addition = clause_word("add")[is(ChangeDecl::Kind::add)] >>
                         connective("to") >> the_rule >> rule_body[set(&ChangeDecl::added)];

const auto change_declaration_def =
    x3::eps[start] >> (a_delete | a_change | a_narrow | a_delay | an_addition) >> DeclarationEnd{};

} // namespace

BOOST_SPIRIT_DEFINE(change_declaration)
BOOST_SPIRIT_INSTANTIATE(ChangeRule, Iterator, Context)

} // namespace groundrule::syntax
