// Actions on the changes that an amendment makes.
#pragma once

#include "syntax/grammar_actions.h"

namespace groundrule::syntax {

inline ast::ChangeDecl &change(auto &context) {
    return body<ast::ChangeDecl>(context);
}

inline constexpr auto start_change = start<ast::ChangeDecl>(ast::DeclKind::change);

constexpr auto is(ast::ChangeDecl::Kind kind) {
    return [kind](auto &context) { change(context).kind = kind; };
}

inline constexpr auto target_citation = [](auto &context) {
    change(context).target = {};
    change(context).target.citation = std::move(x3::_attr(context));
};
inline constexpr auto of_group = [](auto &context) { change(context).group = true; };

// A way that came to nothing may have left some behind.
template <typename Member>
constexpr auto first_of(std::vector<Member> ast::ChangeDecl::*member) {
    return [member](auto &context) {
        (change(context).*member).assign(1, std::move(x3::_attr(context)));
    };
}
template <typename Member>
constexpr auto next_of(std::vector<Member> ast::ChangeDecl::*member) {
    return append(member);
}

inline constexpr auto the_rule = clause_word("rule") >> target[set(&ast::ChangeDecl::target)];
inline constexpr auto cells = position >> cell[first_of(&ast::ChangeDecl::keys)] >>
                              *(sign(",") >> position >> cell[next_of(&ast::ChangeDecl::keys)]);
inline constexpr auto the_exception = clause_word("exception") >>
                                      -label[set(&ast::ChangeDecl::label)] >>
                                      connective("of") >> the_rule;

} // namespace groundrule::syntax
