// Tests beside the rules.
#include "syntax/grammar.h"

namespace groundrule::syntax {

namespace {

using namespace ast;

TestDecl &body(auto &context) {
    return std::get<TestDecl>(x3::_val(context).body);
}

using TestFactRule = x3::rule<struct test_fact_class, TestFact>;
using TestFactsRule = x3::rule<struct test_facts_class, std::vector<TestFact>>;
using ReferenceRule = x3::rule<struct reference_class, std::pair<Name, Name>>;
using ReferencesRule = x3::rule<struct references_class, std::vector<std::pair<Name, Name>>>;
using CaseRule = x3::rule<struct case_class, TestCase>;
constexpr TestFactRule test_fact{"fact"};
constexpr TestFactsRule test_facts{"facts"};
constexpr ReferenceRule reference{"field"};
constexpr ReferencesRule references{"fields"};
constexpr CaseRule test_case{"case"};

constexpr auto fact_kind(TestFact::Kind kind) {
    return [kind](auto &context) { x3::_val(context).kind = kind; };
}

// Truths are reserved words; every other choice is a name or a text.
constexpr auto truth(std::string_view word) {
    return [word](auto &context) {
        x3::_val(context).value.kind = Cell::Kind::word;
        x3::_val(context).value.word = std::string(word);
    };
}

constexpr auto test_fact_def =
    (clause_word("another")[fact_kind(TestFact::Kind::another)] >> name[into(&TestFact::item)]) |
    (clause_word("complete")[fact_kind(TestFact::Kind::complete)] >> name[into(&TestFact::item)] >>
     sign(".") >> name[into(&TestFact::field)]) |
    (name[into(&TestFact::item)] >> sign(".") >> name[into(&TestFact::field)] >> arithmetic("=") >>
     (function("yes")[truth("yes")] | function("no")[truth("no")] |
      (position >> cell[into(&TestFact::value)])));

constexpr auto push = [](auto &context) {
    x3::_val(context).push_back(std::move(x3::_attr(context)));
};
constexpr auto test_facts_def = test_fact[push] >> *(-sign(",") >> test_fact[push]);

constexpr auto first = [](auto &context) {
    x3::_val(context).first = std::move(x3::_attr(context));
};
constexpr auto second = [](auto &context) {
    x3::_val(context).second = std::move(x3::_attr(context));
};
constexpr auto reference_def = name[first] >> sign(".") >> name[second];
constexpr auto references_def = reference[push] >> *(-sign(",") >> reference[push]);

constexpr auto case_verdict = [](auto &context) {
    x3::_val(context).verdict = std::move(x3::_attr(context));
    x3::_val(context).span = x3::_val(context).verdict.span;
};
constexpr auto case_citation = [](auto &context) {
    x3::_val(context).citation = std::move(x3::_attr(context).text);
};
constexpr auto test_case_def = -(clause_word("with") >> test_facts[into(&TestCase::with)]) >>
                               -(clause_word("without") >> references[into(&TestCase::without)]) >>
                               clause_word("expect") >> name[case_verdict] >>
                               -(sign("(") >> citation[case_citation] >> sign(")"));

BOOST_SPIRIT_DEFINE(test_fact, test_facts, reference, references, test_case)

constexpr auto start = [](auto &context) {
    x3::_val(context).kind = DeclKind::test;
    x3::_val(context).body.template emplace<TestDecl>();
};
constexpr auto set_topic = [](auto &context) {
    body(context).topic = std::move(x3::_attr(context));
};
constexpr auto set_title = [](auto &context) {
    body(context).title = std::move(x3::_attr(context).text);
};
constexpr auto set_given = [](auto &context) {
    body(context).given = std::move(x3::_attr(context));
};
constexpr auto add_case = [](auto &context) {
    body(context).cases.push_back(std::move(x3::_attr(context)));
};
constexpr auto add_source = [](auto &context) {
    body(context).sources.push_back(std::move(x3::_attr(context)));
};
constexpr auto in_editions = [](auto &context) {
    x3::_val(context).editions = std::move(x3::_attr(context));
};

constexpr auto
    test_declaration_def = clause_word("test")[start] >> name[set_topic] >> -text[set_title] >>
                           -(connective("in") >> editions[in_editions]) >>
                           clause_word("given") >> test_facts[set_given] >> +test_case[add_case] >>
                           *(clause_word("source") >> +text[add_source]) >> DeclarationEnd{};

} // namespace

BOOST_SPIRIT_DEFINE(test_declaration)
BOOST_SPIRIT_INSTANTIATE(TestRule, Iterator, Context)

} // namespace groundrule::syntax
