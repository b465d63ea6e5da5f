// Hostile and odd files: every bound, at it and one beyond.

#include "syntax/parse.h"
#include "text/limits.h"

#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;

std::string repeated(const std::string &part, std::size_t times) {
    std::string out;
    out.reserve(part.size() * times);
    for (std::size_t i = 0; i < times; ++i)
        out += part;
    return out;
}

Diagnostics faults_of(const std::string &text) {
    const SourceText source("file.rules", text);
    Diagnostics diagnostics;
    syntax::parse(source, 0, diagnostics);
    return diagnostics;
}

std::string codes_of(const std::string &text) {
    return trial::codes(faults_of(text));
}

std::string shall(const std::string &condition) {
    return "rule 1.1 \"R\"\n  topic t\n  for box\n  shall " + condition + "\n  says \"x\"\n";
}

std::string gap_of_size(std::size_t size) {
    const std::string head = "gap 1.1 \"";
    return head + std::string(size - head.size() - 2, 'x') + "\"\n";
}

} // namespace

TEST_CASE("a declaration of the largest size is read, one byte more is not") {
    CHECK(codes_of(gap_of_size(limits::declaration_bytes)).empty());
    CHECK(codes_of(gap_of_size(limits::declaration_bytes + 1)) == "too-large");
}

TEST_CASE("a table may be larger than other declarations, up to its own bound") {
    const auto table = [](std::size_t size) {
        std::string text = "list \"l\" \"L\" of current\n  = 1 A";
        return text + std::string(size - text.size() - 1, ' ') + "\n";
    };
    CHECK(codes_of(table(limits::declaration_bytes + 1)).empty());
    CHECK(codes_of(table(limits::table_bytes)).empty());
    CHECK(codes_of(table(limits::table_bytes + 1)) == "too-large");
}

TEST_CASE("a declaration over its bound does not hide the next") {
    const SourceText source("file.rules", "vocabulary\n" +
                                              gap_of_size(limits::declaration_bytes + 1) +
                                              "gap 1.2 \"good\"\n");
    Diagnostics diagnostics;
    CHECK(syntax::parse(source, 0, diagnostics).decls.size() == 2);
}

TEST_CASE("a file over its bound is not read") {
    CHECK(codes_of(std::string(limits::source_bytes, '\n')).empty());
    CHECK(codes_of(std::string(limits::source_bytes + 1, '\n')) == "too-large");
}

TEST_CASE("brackets nest to the bound and no deeper") {
    const auto nested = [](std::size_t depth) {
        return shall(repeated("(", depth) + "a" + repeated(")", depth));
    };
    CHECK(codes_of(nested(limits::nesting)).empty());
    CHECK(codes_of(nested(limits::nesting + 1)) == "too-deep");
    CHECK(codes_of(nested(20000)) == "too-deep");
}

TEST_CASE("not nests to the bound and no deeper") {
    CHECK(codes_of(shall(repeated("not ", limits::nesting) + "a")).empty());
    CHECK(codes_of(shall(repeated("not ", limits::nesting + 1) + "a")) == "too-deep");
    CHECK(codes_of(shall(repeated("not ", 12000) + "a")) == "too-deep");
}

TEST_CASE("if nests to the bound and no deeper, in every branch") {
    const auto chain = [](std::size_t depth) {
        return shall(repeated("if a then b otherwise ", depth) + "c");
    };
    CHECK(codes_of(chain(limits::nesting)).empty());
    CHECK(codes_of(chain(limits::nesting + 1)) == "too-deep");
    const auto inner = [](std::size_t depth) {
        return shall(repeated("if a then ", depth) + "b" + repeated(" otherwise c", depth));
    };
    CHECK(codes_of(inner(limits::nesting + 1)) == "too-deep");
    const auto asked = [](std::size_t depth) {
        return shall(repeated("if ", depth) + "a" + repeated(" then b otherwise c", depth));
    };
    CHECK(codes_of(asked(limits::nesting + 1)) == "too-deep");
}

TEST_CASE("many levels side by side are no nesting") {
    std::string condition = "a";
    for (int i = 0; i < 400; ++i)
        condition += " and (b or (c and d))";
    CHECK(codes_of(shall(condition)).empty());
}

TEST_CASE("many negations side by side are no nesting") {
    std::string condition = "not a";
    for (int i = 0; i < 400; ++i)
        condition += " and not b";
    CHECK(codes_of(shall(condition)).empty());
}

TEST_CASE("a condition inside brackets starts no new count: levels of where and not add up") {
    const std::string nots = repeated("not ", 20);
    const auto nested = [&](std::size_t depth) {
        return shall(repeated(nots + "any(x in boxes where ", depth) + "a" + repeated(")", depth));
    };
    CHECK(codes_of(nested(4)).empty());
    CHECK(codes_of(nested(5)) == "too-deep");
    CHECK(codes_of(nested(50)) == "too-deep");
}

TEST_CASE("levels end with their clause, their comma and their text") {
    const std::string nots = repeated("not ", 60);
    const std::string head = "rule 1.1 \"R\"\n  topic t\n  for box\n";
    CHECK(codes_of(head + "  where " + nots + "a\n  shall " + nots + "b\n  listed (1) where " +
                   nots + "c\n  except 1 where " + nots + "d\n  path (1) where " + nots +
                   "e\n  permits (2) where " + nots + "f\n  says \"x\"\n")
              .empty());
    CHECK(codes_of(shall("larger_of(if " + nots + "a then b otherwise c, if " + nots +
                         "a then b otherwise c) = d"))
              .empty());
    // What stands in texts and comments is none, and a bracket that nothing opened closes nothing.
    const std::string brackets = repeated("(", 120);
    CHECK(codes_of(head + "  shall a # " + brackets + "\n  says \"" + brackets + "\"\n").empty());
    CHECK(codes_of("gap 1.1 \"" + brackets + "\n") == "syntax"); // no closing quote
    CHECK(codes_of("gap 1.1 \"" + brackets) == "syntax");
    CHECK(codes_of("gap 1.1 # " + brackets) == "syntax");
    CHECK(codes_of(shall(repeated(")", 120) + brackets)) == "too-deep");
    CHECK(codes_of(shall(repeated(")", 120) + repeated("(", 90))) == "syntax");
    // A test of many cases has as many words that may open a level.
    CHECK(codes_of("test t \"T\"\n  given box.a = yes\n" +
                   repeated("  with box.a = \"not\" expect complies (1.1(A))\n", 200))
              .empty());
}

TEST_CASE("a long conjunction within the size bound is read") {
    CHECK(codes_of(shall("a" + repeated(" and b", 9000))).empty());
}

TEST_CASE("after the bound of faults the rest of a file is counted out, once") {
    const auto broken = [](std::size_t count) { return "vocabulary\n" + repeated("gap\n", count); };
    CHECK(faults_of(broken(limits::faults_per_file)).size() == limits::faults_per_file);
    const Diagnostics more = faults_of(broken(limits::faults_per_file + 50));
    CHECK(more.size() == limits::faults_per_file + 1);
    CHECK(more.list().back().code == "too-many-faults");
}

TEST_CASE("bytes that are not UTF-8 are told with their place") {
    const Sources sources = {SourceText("file.rules", "vocabulary\n\ngap 1.1 \"caf\xE9\"\n")};
    Diagnostics diagnostics;
    syntax::parse(sources[0], 0, diagnostics);
    REQUIRE(trial::codes(diagnostics) == "not-utf-8");
    const Place place = sources[0].place(diagnostics.list()[0].span.begin);
    CHECK(place.line == 3);
    CHECK(place.column == 13);
    for (const char *bad : {"\xC0\xAF", "\xED\xA0\x80", "\xF5\x80\x80\x80", "\xE2\x82", "\x80"})
        CHECK(codes_of(std::string("# ") + bad + "\n") == "not-utf-8");
    CHECK(codes_of("# °C ² € 𝄞\n").empty());
}

TEST_CASE("files with carriage returns, a byte order mark or no last newline are read alike") {
    const std::string unix_text = "vocabulary\n\ntype room : one of (garage,\n  kitchen) # x\n\n"
                                  "table \"t\" \"T\"\n  gives current\n  by room : room\n"
                                  "  garage | 1 A\n  kitchen | 2 A\n\ngap 1.1 \"x\"";
    std::string dos_text;
    for (const char c : unix_text)
        dos_text += c == '\n' ? std::string("\r\n") : std::string(1, c);
    for (const std::string &text : {unix_text, dos_text, "\xEF\xBB\xBF" + unix_text}) {
        const Sources sources = {SourceText("file.rules", text)};
        Diagnostics diagnostics;
        const ast::File file = syntax::parse(sources[0], 0, diagnostics);
        INFO(render(diagnostics, sources));
        CHECK(diagnostics.size() == 0);
        CHECK(file.decls.size() == 4);
    }
}

TEST_CASE("an empty file, and one of comments, declare nothing and have no faults") {
    for (const char *text :
         {"", "\n", "\r\n\r\n", "# only a comment", "   \n\t\n", "\xEF\xBB\xBF"}) {
        const SourceText source("file.rules", text);
        Diagnostics diagnostics;
        CHECK(syntax::parse(source, 0, diagnostics).decls.empty());
        CHECK(diagnostics.size() == 0);
    }
}

TEST_CASE("an indented line with nothing above it is told") {
    CHECK(codes_of("  topic t\nvocabulary\n") == "stray-line");
}

TEST_CASE("random bytes and cut-off files end in faults, never in anything worse") {
    const std::string good = trial::vocabulary + trial::rule_that("load at most 3 A and (sealed)");
    for (std::size_t cut = 0; cut < good.size(); cut += 3)
        faults_of(good.substr(0, cut));
    std::uint32_t random = 1;
    for (int round = 0; round < 300; ++round) {
        std::string text = good;
        for (int i = 0; i < 8; ++i) {
            random = random * 1664525u + 1013904223u;
            text[random % text.size()] = "()[]\"{}|=:,.#\n 9a-"[(random >> 8u) % 18];
        }
        const Diagnostics diagnostics = faults_of(text);
        REQUIRE(diagnostics.size() <= limits::faults_per_file + 1);
    }
}
