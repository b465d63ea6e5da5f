// What an amendment does to the reach of the text below it: what it takes out, narrows, widens,
// dates, takes from another edition or hands over.
#include "syntax/grammar_change_actions.h"

namespace groundrule::syntax {

namespace {

using namespace ast;
using Kind = ChangeDecl::Kind;

constexpr auto reach(Target::Reach r) {
    return [r](auto &context) { x3::_val(context).reach = r; };
}
constexpr auto take_target = [](auto &context) {
    x3::_val(context) = std::move(x3::_attr(context));
};

constexpr auto target_def = citation[into(&Target::citation)] >>
                            -(clause_word("topic") >> name[into(&Target::topic)]);

constexpr auto scope_def =
    (clause_word("rule") >> target[take_target]) |
    (clause_word("section")[reach(Target::Reach::section)] >> citation[into(&Target::citation)]) |
    (clause_word("article")[reach(Target::Reach::article)] >> article[into(&Target::citation)]);

constexpr auto the_scope = scope[set(&ChangeDecl::target)];
constexpr auto is_exception = [](auto &context) { change(context).exception = true; };
constexpr auto set_date = [](auto &context) {
    change(context).date = x3::_attr(context).literal.value;
};
constexpr auto range_topic = [](auto &context) {
    change(context).target.topic = std::move(x3::_attr(context));
};

constexpr auto deleted =
    (clause_word("range")[is(Kind::delete_range)] >> citation[target_citation] >>
     connective("to") >> citation[set(&ChangeDecl::last)] >>
     -(clause_word("topic") >> name[range_topic])) |
    (clause_word("all") >> (clause_word("exceptions")[is(Kind::delete_exceptions)] |
                            clause_word("notes")[is(Kind::delete_notes)]) >>
     connective("of") >> the_rule) |
    (x3::eps[is(Kind::delete_exception)] >> the_exception) |
    (clause_word("condition")[is(Kind::delete_condition)] >> name[set(&ChangeDecl::name)] >>
     connective("of") >> the_rule) |
    (clause_word("row")[is(Kind::delete_row)] >> sign("[") >> cells >> sign("]") >>
     connective("of") >> clause_word("table") >> citation[target_citation]) |
    (clause_word("entries")[is(Kind::delete_entries)] >> cells >> connective("of") >>
     ((clause_word("list") >> citation[target_citation]) |
      (clause_word("group")[of_group] >> name[set(&ChangeDecl::name)]))) |
    (x3::eps[is(Kind::delete_text)] >> the_scope);

constexpr auto a_delete = clause_word("delete") >> deleted;

constexpr auto a_condition = clause_word("condition") >> name[set(&ChangeDecl::name)] >>
                             connective("of") >> the_rule;
constexpr auto a_scope = (clause_word("narrow")[is(Kind::narrow)] |
                          clause_word("widen")[is(Kind::widen)]) >>
                         ((the_exception >> x3::eps[is_exception]) | a_condition | the_scope) >>
                         comparing("to") >>
                         clause_word("where") >> expression[set(&ChangeDecl::to)];

constexpr auto dated = (the_exception >> x3::eps[is_exception]) | the_scope;
constexpr auto by = -(clause_word("by") >> name[set(&ChangeDecl::by)]);
constexpr auto a_date =
    (clause_word("delay")[is(Kind::delay)] >> dated >> connective("until") >> date[set_date] >>
     by) |
    (clause_word("sunset")[is(Kind::sunset)] >> dated >> comparing("from") >> date[set_date] >> by);

constexpr auto a_take = clause_word("take")[is(Kind::take)] >> the_scope >>
                        comparing("from") >> layer_name[set(&ChangeDecl::edition)];

constexpr auto whole_book = [](auto &context) {
    change(context).target.reach = Target::Reach::book;
};
constexpr auto a_hand_over = clause_word("hand_over")[is(Kind::hand_over)] >>
                             (clause_word("all")[whole_book] | the_scope) >>
                             connective("to") >> text[set(&ChangeDecl::code)] >>
                             clause_word("where") >> expression[set(&ChangeDecl::to)];

constexpr auto change_declaration_def = x3::eps[start_change] >>
                                        (a_delete | a_scope | a_date | a_take | a_hand_over) >>
                                        DeclarationEnd{};

} // namespace

BOOST_SPIRIT_DEFINE(target, scope, change_declaration)
BOOST_SPIRIT_INSTANTIATE(TargetRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(ScopeRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(ChangeRule, Iterator, Context)

} // namespace groundrule::syntax
