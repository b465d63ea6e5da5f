// The tree as text: in the one form that reads back as the same tree.

#include "syntax/parse.h"
#include "syntax/print.h"

#include "catch.h"

namespace {

using namespace groundrule;

struct Parsed {
    Sources sources;
    ast::File file;
};

Parsed parsed(const std::string &text) {
    Parsed out;
    out.sources.emplace_back("file.rules", text);
    Diagnostics diagnostics;
    out.file = syntax::parse(out.sources.front(), 0, diagnostics);
    INFO(render(diagnostics, out.sources));
    REQUIRE(diagnostics.size() == 0);
    return out;
}

std::string expression(const std::string &written) {
    const Parsed p = parsed("define a : current\n  = " + written + "\n");
    return syntax::printed(p.file, std::get<ast::DefineDecl>(p.file.decls.front().body).value,
                           p.sources);
}

} // namespace

TEST_CASE("printed: each form of an expression, with single blanks and no needless brackets") {
    for (const std::string same : {"3 A",
                                   "4 ft 6 in",
                                   "125 %",
                                   "2021-07-01",
                                   "yes",
                                   "no",
                                   "unknown",
                                   "b",
                                   "job.b",
                                   "\"5-20R\"",
                                   "not b",
                                   "b and c and not d",
                                   "b or c",
                                   "(b or c) and d",
                                   "(b and c) or d",
                                   "not (b and c)",
                                   "b = c",
                                   "b at least 3 A",
                                   "b at most 3 A",
                                   "b more than c",
                                   "b less than c",
                                   "b from 3 A to 4 A",
                                   "b is red",
                                   "b is not red",
                                   "b is one of (red, \"5-20R\")",
                                   "b is not one of (red, blue)",
                                   "b + c - d",
                                   "b - (c - d)",
                                   "b * c / d",
                                   "(b + c) * d",
                                   "b / (c * d)",
                                   "if b then c otherwise d",
                                   "(if b then c otherwise d) + 3 A",
                                   "table 310.16 [b, c]",
                                   "table \"T 1\" [b].volts",
                                   "f(b, 3 A)",
                                   "larger_of(b, c)",
                                   "smaller_of(b, c)",
                                   "round_down(b to 1 A)",
                                   "round_up(b + c to 1 A)",
                                   "round_nearest(b to 5 V)",
                                   "any(x in boxes : x.b)",
                                   "all(x in job.boxes where x.b : x.c)",
                                   "count(x in boxes where x.b)",
                                   "count(x in boxes)",
                                   "sum(x in boxes : x.c)",
                                   "max(x in boxes : x.c)",
                                   "min(x in boxes : x.c)",
                                   "smallest(s in list 240.6(A) where s at least b)",
                                   "largest(s in list \"L\")",
                                   "complete(boxes)",
                                   "complete(job.boxes)",
                                   "applies(some_topic)"})
        CHECK(expression(same) == same);
    CHECK(expression("((b))and\n c") == "b and c");
    CHECK(expression("(b and c) and d") == "b and c and d");
    CHECK(expression("b×c") == "b * c");
    CHECK(expression("(b+c)+(d)") == "b + c + d");
    CHECK(expression("4  ft\t6 \t in") == "4 ft 6 in");
    CHECK(expression("33 °C\r rise") == "33 °C rise");
}

TEST_CASE("printed: a choice stands in quotes unless it is a plain name") {
    for (const char *plain : {"red", "a", "z9_", "class_a"})
        CHECK(syntax::printed_choice(plain) == plain);
    for (const std::string quoted :
         {"", "5-20R", "Red", "_a", "~", "a-b", "aB", "a{", "a b", "°", "all", "yes", "within"})
        CHECK(syntax::printed_choice(quoted) == "\"" + quoted + "\"");
    CHECK(syntax::printed_choices({{"red", {}}, {"5-20R", {}}}) == "(red, \"5-20R\")");
    CHECK(syntax::printed_names({{"a", {}}, {"b", {}}}) == "a, b");
    CHECK(syntax::printed_names({}).empty());
}

TEST_CASE("printed: types, cells, forces") {
    const Parsed p =
        parsed("define f(i : one of (a, \"B\"), j : length) : current\n  = j\n\n"
               "table 1.1\n  gives kind\n  by k : length\n"
               "  1  1/4 in | red\n  2 in | \"5-20R\"\n  3 in | yes\n  4 in | no\n  5 in | --\n");
    const auto &function = std::get<ast::DefineDecl>(p.file.decls[0].body);
    CHECK(syntax::printed(function.parameters[0].type) == "one of (a, \"B\")");
    CHECK(syntax::printed(function.parameters[1].type) == "length");
    std::string cells;
    for (const ast::TableRow &row : std::get<ast::TableDecl>(p.file.decls[1].body).rows) {
        for (const ast::Cell &cell : row.cells)
            cells += syntax::printed(cell, p.sources) + "; ";
    }
    CHECK(cells == "1 1/4 in; red; 2 in; \"5-20R\"; 3 in; yes; 4 in; no; 5 in; --; ");
    CHECK(std::string(syntax::printed(ast::Force::shall)) == "shall");
    CHECK(std::string(syntax::printed(ast::Force::caution)) == "caution");
    CHECK(syntax::printed(ast::File{}, ast::no_expr, {}).empty());
}
