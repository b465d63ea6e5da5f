// Actions on a declaration whose body is set by its first word: start it, then fill its members.
#pragma once

#include "syntax/grammar.h"

namespace groundrule::syntax {

template <typename Body>
Body &body(auto &context) {
    return std::get<Body>(x3::_val(context).body);
}

template <typename Body>
constexpr auto start(ast::DeclKind kind) {
    return [kind](auto &context) {
        x3::_val(context).kind = kind;
        x3::_val(context).body.template emplace<Body>();
    };
}

template <typename Body, typename Member>
constexpr auto set(Member Body::*member) {
    return [member](auto &context) { body<Body>(context).*member = std::move(x3::_attr(context)); };
}

template <typename Body, typename Member>
constexpr auto append(std::vector<Member> Body::*member) {
    return [member](auto &context) {
        (body<Body>(context).*member).push_back(std::move(x3::_attr(context)));
    };
}

template <typename Body>
constexpr auto set_text(std::string Body::*member) {
    return [member](auto &context) {
        body<Body>(context).*member = std::move(x3::_attr(context).text);
    };
}

} // namespace groundrule::syntax
