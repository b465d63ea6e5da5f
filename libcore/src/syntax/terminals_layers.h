// Terminals of what layers do to each other: digests of old text, articles, and the marks by which
// a printed book tells where a text came from.
#pragma once

#include "syntax/terminals.h"

namespace groundrule::syntax {

// "3fa2c1b0": the first eight digits of the digest of a text.
struct DigestTerminal : Terminal<DigestTerminal, ast::Name> {
    static constexpr std::ptrdiff_t digits = 8;

    const char *match(const char *at, const char *last, ParseState &s, ast::Name &digest) const {
        const char *end = at;
        while (end != last && (is_digit(*end) || (*end >= 'a' && *end <= 'f')))
            ++end;
        if (end - at != digits || (end != last && is_word(*end))) {
            s.missed(at, Expected::value,
                     "the digest of the old text (eight hexadecimal digits, told by `show`)");
            return nullptr;
        }
        digest = {std::string(at, end), s.span(at, end)};
        return end;
    }
};

// "210", a whole article.
struct ArticleTerminal : Terminal<ArticleTerminal, ast::Citation> {
    const char *match(const char *at, const char *last, ParseState &s,
                      ast::Citation &article) const {
        const char *end = at;
        while (end != last && is_digit(*end))
            ++end;
        if (end == at || (end != last && (*end == '.' || is_word(*end)))) {
            s.missed(at, Expected::citation, "the number of an article (such as 210)");
            return nullptr;
        }
        article = {std::string(at, end), s.span(at, end), false};
        return end;
    }
};

// "@harbor-2021" behind a text of a printed book. Nobody writes it, so it is not among what is
// expected.
template <Layout layout>
struct MarkIn : Terminal<MarkIn<layout>, ast::Mark, layout> {
    const char *match(const char *at, const char *last, ParseState &s, ast::Mark &mark) const {
        if (at == last || *at != '@')
            return nullptr;
        ast::Name name;
        const char *end = LayerName{}.match(at + 1, last, s, name);
        if (end == nullptr)
            return nullptr;
        const std::vector<ast::Decl> &decls = s.file->decls;
        if (decls.empty() || decls.front().kind != ast::DeclKind::printed) {
            s.faults.push_back({"mark-outside", "marks of layers stand in printed books only",
                                s.span(at, end),
                                "a text belongs to the layer whose file it stands in"});
            return end;
        }
        const auto &names = std::get<ast::Header>(decls.front().body).names;
        const auto found = std::find_if(names.begin(), names.end(),
                                        [&](const ast::Name &n) { return n.text == name.text; });
        if (found == names.end())
            s.faults.push_back({"unknown-name", "this book has no layer " + name.text, name.span});
        mark = static_cast<ast::Mark>(found - names.begin());
        return end;
    }
};

} // namespace groundrule::syntax
