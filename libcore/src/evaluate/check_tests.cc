// What a test gives is built as for a run, and thrown away.
#include "evaluate/check_tests.h"

#include "book/typer_words.h"
#include "evaluate/situation.h"

#include <algorithm>

namespace groundrule::evaluate {

namespace {

bool names(const std::vector<ast::Name> &list, const std::string &name) {
    return std::any_of(list.begin(), list.end(),
                       [&](const ast::Name &n) { return n.text == name; });
}

bool holds_tests_of(const book::Book &book, const ast::File &file) {
    if (file.decls.empty() || file.decls.front().kind > ast::DeclKind::amendment)
        return false;
    return names(std::get<ast::Header>(file.decls.front().body).names, book.layers.back().name);
}

void check_topic(const book::Book &book, const ast::TestDecl &test, Diagnostics &diagnostics) {
    if (rule_of(book, test) >= 0)
        return;
    std::vector<std::string> topics;
    for (const book::Rule &r : book.rules)
        topics.push_back(r.topic);
    diagnostics
        .error("unknown-name", test.topic.span,
               "no rule of this book has the topic `" + test.topic.text + "`")
        .help = book::did_you_mean(nearest(test.topic.text, topics));
}

void check_facts(const book::Book &book, const std::vector<ast::TestFact> &facts,
                 Diagnostics &diagnostics) {
    Situation situation(book, diagnostics);
    situation.take(facts);
    situation.build();
}

} // namespace

std::vector<const ast::TestDecl *> tests_of(const book::Book &book) {
    const std::string &edition = book.layers.front().name;
    std::vector<const ast::TestDecl *> tests;
    for (const ast::File &file : book.files) {
        if (!holds_tests_of(book, file))
            continue;
        for (const ast::Decl &decl : file.decls) {
            if (decl.kind == ast::DeclKind::test &&
                (decl.editions.empty() || names(decl.editions, edition)))
                tests.push_back(&std::get<ast::TestDecl>(decl.body));
        }
    }
    return tests;
}

std::int32_t rule_of(const book::Book &book, const ast::TestDecl &test) {
    const auto rule = std::find_if(book.rules.begin(), book.rules.end(),
                                   [&](const book::Rule &r) { return r.topic == test.topic.text; });
    return rule == book.rules.end() ? -1 : static_cast<std::int32_t>(rule - book.rules.begin());
}

std::optional<Verdict> verdict_named(const std::string &name) {
    if (name == "complies")
        return Verdict::complies;
    if (name == "violates")
        return Verdict::violates;
    if (name == "not_applicable")
        return Verdict::not_applicable;
    return name == "undetermined" ? std::optional(Verdict::undetermined) : std::nullopt;
}

void check_test(const book::Book &book, const ast::TestDecl &test, Diagnostics &diagnostics) {
    check_topic(book, test, diagnostics);
    check_facts(book, test.given, diagnostics);
    for (const ast::TestCase &c : test.cases) {
        if (!verdict_named(c.verdict.text))
            diagnostics
                .error("unknown-name", c.verdict.span, "`" + c.verdict.text + "` is no verdict")
                .help = "verdicts: complies, violates, not_applicable, undetermined";
        Situation given(book, diagnostics);
        given.take(test.given);
        given.drop(c.without);
        check_facts(book, c.with, diagnostics);
    }
}

void check_tests(const book::Book &book, Diagnostics &diagnostics) {
    for (const ast::TestDecl *test : tests_of(book))
        check_test(book, *test, diagnostics);
}

} // namespace groundrule::evaluate
