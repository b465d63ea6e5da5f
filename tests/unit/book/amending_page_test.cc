// docs/amending.md: the file that it makes of an ordinance does what the page says.
#include "book/adoption.h"
#include "book/compare.h"
#include "book/digest.h"
#include "book/show.h"
#include "cases/trial.h"
#include "evaluate/review.h"
#include "evaluate/rule_tests.h"
#include "quantity/date.h"
#include "syntax/format.h"
#include "trial.h"

#include "catch.h"

#include <algorithm>
#include <set>
#include <sstream>

namespace {

using namespace groundrule;

// The blocks of one kind, one behind the other.
std::string blocks(const std::string &kind) {
    std::istringstream lines(cases::read_file(cases::source_dir() / "docs/amending.md"));
    std::string out;
    bool inside = false;
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with("```")) {
            out += inside && !out.empty() ? "\n" : "";
            inside = line == "```" + kind;
        } else if (inside) {
            out += line + "\n";
        }
    }
    while (out.ends_with("\n\n"))
        out.pop_back();
    return out;
}

std::vector<book::NamedText> ordinance() {
    return {{"saltmere-2026.rules", blocks("rules")}};
}

} // namespace

TEST_CASE("amending page: the ordinance's file opens, and its tests hold") {
    const trial::Compiled c =
        trial::compiled(book::open_book("nec-2020+saltmere-2026", ordinance()));
    const std::size_t file = c.book->sources.size() - 1;
    std::size_t own = 0;
    for (const evaluate::TestFailure &f : evaluate::run_rule_tests(*c.book, c.program).failures) {
        if (f.span.file == file)
            FAIL_CHECK(c.book->sources[file].place(f.span.begin).line << ": " << f.message);
    }
    for (const ast::Decl &decl : c.book->files[file].decls)
        own += decl.kind == ast::DeclKind::test ? 1 : 0;
    CHECK(own == 26);
    CHECK(c.book->changes.size() > 40);
    CHECK(c.book->administrative.size() == 1);
}

TEST_CASE("amending page: the file uses every form of change") {
    const book::Opened opened = book::open_book("nec-2020+saltmere-2026", ordinance());
    REQUIRE(opened.book);
    using Kind = ast::ChangeDecl::Kind;
    std::set<Kind> changed;
    std::set<std::string> others;
    for (const ast::Decl &decl : opened.book->files.back().decls) {
        if (const auto *change = std::get_if<ast::ChangeDecl>(&decl.body))
            changed.insert(change->kind);
        else if (const auto *rule = std::get_if<ast::RuleDecl>(&decl.body))
            others.insert(rule->replaces ? "replace rule" : "rule");
        else if (const auto *define = std::get_if<ast::DefineDecl>(&decl.body))
            others.insert(define->replaces ? "replace define" : "define");
        else if (const auto *group = std::get_if<ast::GroupDecl>(&decl.body))
            others.insert(group->replaces ? "replace group" : "group");
        else if (const auto *table = std::get_if<ast::TableDecl>(&decl.body))
            others.insert(table->replaces ? "replace table" : "table");
        else if (const auto *list = std::get_if<ast::ListDecl>(&decl.body))
            others.insert(list->replaces ? "replace list" : "list");
        else if (const auto *gap = std::get_if<ast::GapDecl>(&decl.body))
            others.insert(gap->administrative ? "administrative" : "gap");
    }
    for (int kind = 0; kind <= static_cast<int>(Kind::hand_over); ++kind) {
        INFO("kind of change " << kind << ", in the order of ast::ChangeDecl::Kind");
        CHECK(changed.contains(static_cast<Kind>(kind)));
    }
    CHECK(others == std::set<std::string>{"administrative", "define", "group", "list",
                                          "replace define", "replace group", "replace list",
                                          "replace rule", "replace table", "rule", "table"});
}

TEST_CASE("amending page: the file has no fault, and its tests reach all of it") {
    const book::Opened opened = book::open_book("nec-2020+saltmere-2026", ordinance());
    REQUIRE(opened.book);
    Diagnostics all;
    evaluate::review(*opened.book, all);
    Diagnostics own;
    for (const Diagnostic &d : all.list()) {
        if (d.span.file + 1 == opened.book->sources.size())
            own.add(d);
    }
    INFO(render(own, opened.book->sources));
    CHECK(own.size() == 0);
}

TEST_CASE("amending page: the file is laid out in the canonical form") {
    const book::NamedText text = ordinance().front();
    const SourceText source(text.name, text.text);
    Diagnostics faults;
    const auto laid_out = syntax::format(source, faults);
    REQUIRE(laid_out);
    CHECK(*laid_out == text.text);
}

TEST_CASE("amending page: it compares, and it is printed whole and opens again") {
    const book::Opened before = book::open_book("nec-2020");
    const book::Opened after = book::open_book("nec-2020+saltmere-2026", ordinance());
    REQUIRE(after.book);
    const book::Comparison changed = book::compare(*before.book, *after.book);
    const auto kind_of = [&](const std::string &topic) {
        const auto found =
            std::find_if(changed.rules.begin(), changed.rules.end(),
                         [&](const book::RuleChange &c) { return c.topic == topic; });
        return found == changed.rules.end() ? std::string("untouched")
                                            : std::string(book::rule_kind_name(found->kind)) + " " +
                                                  book::effect_name(found->effect);
    };
    CHECK(kind_of("nm_cable_supports") == "changed stricter");
    CHECK(kind_of("saltmere_charging_height") == "added stricter");
    CHECK(kind_of("emergency_disconnect") == "removed laxer");
    CHECK(kind_of("service_surge_protection") == "changed laxer");
    CHECK(kind_of("dwelling_afci") == "changed_through laxer");
    CHECK(kind_of("panel_openings_closed") == "untouched");
    const std::string whole = book::printed_book(*after.book);
    const book::Opened again = book::open_book("whole.rules", {{"whole.rules", whole}});
    INFO(trial::faults(again));
    REQUIRE(again.book);
    CHECK(book::digest_of(*again.book) == book::digest_of(*after.book));
}

TEST_CASE("amending page: the adoption puts it in force on its day") {
    std::vector<book::NamedText> texts = ordinance();
    texts.push_back({"saltmere.rules", blocks("adoption")});
    const auto adoption = book::open_adoption("saltmere", texts);
    INFO(render(adoption.diagnostics, adoption.book ? adoption.book->sources : adoption.sources));
    CHECK(adoption.diagnostics.size() == 0);
    const book::Opened early =
        book::open_book("nec-2020+saltmere-2026", ordinance(), date_from_text("2026-06-30"));
    REQUIRE(early.book);
    CHECK(book::digest_of(*early.book) == book::digest_of(*book::open_book("nec-2020").book));
}
