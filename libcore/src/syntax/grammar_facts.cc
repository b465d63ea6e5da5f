// File headers, and the declarations that give words to facts: types, items, imply; definitions.
#include "syntax/grammar_actions.h"

namespace groundrule::syntax {

namespace {

using namespace ast;

constexpr auto name_text = [](auto &context) {
    x3::_val(context).push_back(std::move(x3::_attr(context)));
};
constexpr auto message_name = [](auto &context) {
    x3::_val(context).push_back({x3::_attr(context).text, x3::_attr(context).span});
};

using ChoicesRule = x3::rule<struct choices_class, std::vector<Name>>;
constexpr ChoicesRule choices{"choices"};
constexpr auto take_names = [](auto &context) {
    x3::_val(context) = std::move(x3::_attr(context));
};
constexpr auto bracketed_choices_def = sign("(") >> (name[name_text] | text[message_name]) >>
                                       *(sign(",") >> (name[name_text] | text[message_name])) >>
                                       sign(")");
constexpr auto choices_def = comparing("one") >> comparing("of") >> bracketed_choices[take_names];

constexpr NameTerminal type_name{"a type"};
constexpr auto type_ref_def = choices[into(&TypeRef::choices)] | type_name[into(&TypeRef::name)];
constexpr auto editions_def = layer_name[name_text] >> *(sign(",") >> layer_name[name_text]);
constexpr auto numbered_def = clause_word("numbered") >> citation[into(&Numbered::citation)] >>
                              connective("in") >> editions[into(&Numbered::editions)];

BOOST_SPIRIT_DEFINE(choices)

// --- headers

constexpr auto header_name = [](auto &context) {
    body<Header>(context).names.push_back(std::move(x3::_attr(context)));
};
constexpr auto header_date(std::string Header::*member) {
    return [member](auto &context) {
        const ParseState &s = state(context);
        const Valued &v = x3::_attr(context);
        body<Header>(context).*member = std::string(s.base + v.span.begin, s.base + v.span.end);
    };
}

constexpr auto policy(std::string Header::*member, const char *word) {
    return [member, word](auto &context) { body<Header>(context).*member = word; };
}
constexpr auto interim_policy =
    clause_word("none")[policy(&Header::interim, "none")] |
    clause_word("all")[policy(&Header::interim, "all")] |
    (connective("as") >> connective("of") >> date[header_date(&Header::interim)]);
constexpr auto conflict_policy = clause_word("local")[policy(&Header::conflict, "local")] |
                                 clause_word("stricter")[policy(&Header::conflict, "stricter")];

constexpr auto header_lines =
    *((clause_word("title") >> text[set_text(&Header::title)]) |
      (clause_word("publisher") >> text[set_text(&Header::publisher)]) |
      (clause_word("authority") >> text[set_text(&Header::authority)]) |
      (clause_word("effective") >> date[header_date(&Header::effective)]) |
      (clause_word("until") >> date[header_date(&Header::until)]) |
      (clause_word("interim") >> interim_policy) | (clause_word("conflict") >> conflict_policy));

constexpr auto header_declaration_def =
    ((clause_word("vocabulary")[start<Header>(DeclKind::vocabulary)]) |
     (clause_word("edition")[start<Header>(DeclKind::edition)] >> layer_name[header_name]) |
     (clause_word("part")[start<Header>(DeclKind::part_of)] >> connective("of") >>
      editions[set(&Header::names)]) |
     (clause_word("adoption")[start<Header>(DeclKind::adoption)] >> layer_name[header_name]) |
     (clause_word("printed")[start<Header>(DeclKind::printed)] >> editions[set(&Header::names)]) |
     (clause_word("amendment")[start<Header>(DeclKind::amendment)] >> layer_name[header_name] >>
      connective("to") >> layer_name[set(&Header::base)])) >>
    header_lines;

// --- type, item, imply, define

using FactRule = x3::rule<struct fact_class, ImplyDecl::Fact>;
using AlsoRule = x3::rule<struct also_class, RemedyDecl::Fact>;
using CarriedRule = x3::rule<struct carried_class, RemedyDecl::Carried>;
using ParameterRule = x3::rule<struct parameter_class, Parameter>;
constexpr FactRule fact{"fact"};
constexpr AlsoRule also{"fact that is then so"};
constexpr CarriedRule carried{"carried fact"};
constexpr ParameterRule parameter{"parameter"};

constexpr auto field_question = [](auto &context) {
    x3::_val(context).question = std::move(x3::_attr(context).text);
};
constexpr NameTerminal field_kind{
    "the kind of the field (choice, look_up, measure, judgement, authority)"};
constexpr auto field_def = name[into(&FieldDecl::name)] >>
                           sign(":") >> type_ref[into(&FieldDecl::type)] >>
                           field_kind[into(&FieldDecl::kind)] >> text[field_question];
constexpr auto fact_def = name[into(&ImplyDecl::Fact::field)] >>
                          arithmetic("=") >> expression[into(&ImplyDecl::Fact::value)];
constexpr auto also_def = name[into(&RemedyDecl::Fact::field)] >> arithmetic("=") >> position
                          >> cell[into(&RemedyDecl::Fact::value)];
constexpr auto carried_def = clause_word("carries") >> name[into(&RemedyDecl::Carried::item)] >>
                             sign(".") >> name[into(&RemedyDecl::Carried::field)] >>
                             connective("with") >> name[into(&RemedyDecl::Carried::with)] >>
                             -(clause_word("keeps") >>
                               name[append_to(&RemedyDecl::Carried::keeps)] >>
                               *(sign(",") >> name[append_to(&RemedyDecl::Carried::keeps)]));
constexpr auto parameter_def = name[into(&Parameter::name)] >>
                               sign(":") >> type_ref[into(&Parameter::type)];
BOOST_SPIRIT_DEFINE(fact, also, carried, parameter)

constexpr auto define_item = [](auto &context) {
    DefineDecl &d = body<DefineDecl>(context);
    d.item = std::move(d.name);
    d.name = std::move(x3::_attr(context));
};
constexpr auto define_replaces = [](auto &context) { body<DefineDecl>(context).replaces = true; };
constexpr auto in_editions = [](auto &context) {
    x3::_val(context).editions = std::move(x3::_attr(context));
};

constexpr auto type_declaration = clause_word("type")[start<TypeDecl>(DeclKind::type)] >>
                                  name[set(&TypeDecl::name)] >>
                                  sign(":") >> choices[set(&TypeDecl::choices)];

// Only what replaces names the text that it replaces.
template <typename Body>
constexpr auto replacing() {
    return [](auto &context) { x3::_pass(context) = body<Body>(context).replaces; };
}

constexpr auto group_replaces = [](auto &context) { body<GroupDecl>(context).replaces = true; };
constexpr auto group_declaration =
    (clause_word("group")[start<GroupDecl>(DeclKind::group)] |
     (clause_word("replace") >>
      clause_word("group")[start<GroupDecl>(DeclKind::group)][group_replaces])) >>
    name[set(&GroupDecl::name)] >> connective("of") >> name[set(&GroupDecl::type)] >>
    -(x3::eps[replacing<GroupDecl>()] >> comparing("from") >> digest[set(&GroupDecl::old_text)]) >>
    -mark[set(&GroupDecl::mark)] >> arithmetic("=") >> bracketed_choices[set(&GroupDecl::choices)];

constexpr auto item_declaration = clause_word("item")[start<ItemDecl>(DeclKind::item)] >>
                                  name[set(&ItemDecl::name)] >>
                                  -(connective("in") >> name[set(&ItemDecl::parent)] >>
                                    connective("as") >> name[set(&ItemDecl::list)]) >>
                                  -text[set_text(&ItemDecl::title)] >>
                                  *field[append(&ItemDecl::fields)];

constexpr auto imply_declaration =
    clause_word("imply")[start<ImplyDecl>(DeclKind::imply)] >> name[set(&ImplyDecl::item)] >>
    -text[set_text(&ImplyDecl::source)] >> +fact[append(&ImplyDecl::facts)];

constexpr auto any_value = [](auto &context) { body<RemedyDecl>(context).any = true; };
constexpr auto remedy_value = position >> cell[append(&RemedyDecl::values)];
constexpr auto remedy_declaration =
    clause_word("remedy")[start<RemedyDecl>(DeclKind::remedy)] >> name[set(&RemedyDecl::item)] >>
    text[set_text(&RemedyDecl::title)] >> name[set(&RemedyDecl::field)] >> arithmetic("=") >>
    (comparing("any")[any_value] | (remedy_value >> *(sign(",") >> remedy_value))) >>
    *also[append(&RemedyDecl::also)] >>
    -(clause_word("without") >> name[append(&RemedyDecl::without)] >>
      *(sign(",") >> name[append(&RemedyDecl::without)])) >>
    -(clause_word("keeps") >> name[append(&RemedyDecl::keeps)] >>
      *(sign(",") >> name[append(&RemedyDecl::keeps)])) >>
    *carried[append(&RemedyDecl::carried)];

constexpr auto define_tail = name[set(&DefineDecl::name)] >> -(sign(".") >> name[define_item]) >>
                             -(sign("(") >> parameter[append(&DefineDecl::parameters)] >>
                               *(sign(",") >> parameter[append(&DefineDecl::parameters)]) >>
                               sign(")")) >>
                             sign(":") >> type_ref[set(&DefineDecl::type)] >>
                             -text[set_text(&DefineDecl::title)] >>
                             -(connective("in") >> editions[in_editions]) >>
                             -(x3::eps[replacing<DefineDecl>()] >> comparing("from") >>
                               digest[set(&DefineDecl::old_text)]) >>
                             -mark[set(&DefineDecl::mark)] >>
                             arithmetic("=") >> expression[set(&DefineDecl::value)];

constexpr auto define_declaration =
    (clause_word("define")[start<DefineDecl>(DeclKind::define)] |
     (clause_word("replace") >>
      clause_word("define")[start<DefineDecl>(DeclKind::define)][define_replaces])) >>
    define_tail;

constexpr auto administrative = [](auto &context) { body<GapDecl>(context).administrative = true; };
constexpr auto gap_declaration =
    (clause_word("gap")[start<GapDecl>(DeclKind::gap)] |
     clause_word("administrative")[start<GapDecl>(DeclKind::gap)][administrative]) >>
    citation[set(&GapDecl::citation)] >> text[set_text(&GapDecl::text)] >>
    -(connective("in") >> editions[in_editions]) >> -mark[set(&GapDecl::mark)];

constexpr auto fact_declaration_def =
    (type_declaration | group_declaration | item_declaration | imply_declaration |
     remedy_declaration | define_declaration | gap_declaration) >>
    DeclarationEnd{};

} // namespace

BOOST_SPIRIT_DEFINE(type_ref, bracketed_choices, editions, numbered, field, header_declaration,
                    fact_declaration)
BOOST_SPIRIT_INSTANTIATE(TypeRefRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(BracketedRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(FieldRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(EditionsRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(NumberedRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(HeaderRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(FactsRule, Iterator, Context)

} // namespace groundrule::syntax
