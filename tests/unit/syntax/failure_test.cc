// What a reader is told of text that can't be read: what stands there, what is expected, and help.

#include "syntax/parse.h"
#include "text/limits.h"

#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;

Diagnostics faults_of(const std::string &text) {
    const SourceText source("file.rules", text);
    Diagnostics diagnostics;
    syntax::parse(source, 0, diagnostics);
    return diagnostics;
}

std::string codes_of(const std::string &text) {
    return trial::codes(faults_of(text));
}

std::string repeated(const std::string &part, std::size_t times) {
    std::string out;
    for (std::size_t i = 0; i < times; ++i)
        out += part;
    return out;
}

struct Told {
    std::string message;
    std::string help;
    std::string at; // the text that is underlined
};

// The only fault.
Told told(const std::string &text) {
    const Diagnostics diagnostics = faults_of(text);
    INFO(text << trial::codes(diagnostics));
    REQUIRE(diagnostics.size() == 1);
    const Diagnostic &d = diagnostics.list().front();
    return {d.message, d.help, text.substr(d.span.begin, d.span.end - d.span.begin)};
}

std::string rule(const std::string &lines) {
    return "rule 1.1 \"R\"\n  topic t\n  for box\n" + lines;
}

std::string shall(const std::string &condition) {
    return rule("  shall " + condition + "\n  says \"x\"\n");
}

std::string says(const std::string &message) {
    return rule("  shall a\n  says \"" + message + "\"\n");
}

} // namespace

TEST_CASE("behind `is`, what stands without it is told as such") {
    const std::string alone =
        "a yes_no stands alone: write `x` or `not x` in place of `x is yes` or `x is no`";
    const std::string without = "leave out `is`: comparisons stand without it";
    for (const char *condition : {"a is yes", "a is no", "a is not yes"})
        CHECK(told(shall(condition)).help == alone);
    for (const char *condition :
         {"a is at least 3 A", "a is more than 3 A", "a is less than 3 A", "a is from 3 A to 4 A"})
        CHECK(told(shall(condition)).help == without);
    // A type begins with `one` too, and is none of this.
    CHECK(told("item x \"X\"\n  k : yes choice \"Q?\"\n").help ==
          "`yes` is a word of the language and can't be a name");
    CHECK(told("item x \"X\"\n  k : from choice \"Q?\"\n").help ==
          "`from` is a word of the language and can't be a name");
}

TEST_CASE("blanks before the brackets of a clause number are told, before other brackets not") {
    const std::string blanks = "a clause number has no blanks in it: 210.8(A)(2)";
    CHECK(told("rule 210.8 (A) \"R\"\n  topic t\n").help == blanks);
    CHECK(told("rule 210.8 \t (A) \"R\"\n  topic t\n").help == blanks);
    CHECK(told("rule 210.8(A) (2) \"R\"\n  topic t\n").help == blanks);
    CHECK(told("rule 210.8()\n  topic t\n").at == "(");
    for (const std::string &text :
         {std::string("rule 210.8()\n  topic t\n"), rule("  stage a(1)\n"), rule("  stage a (1)\n"),
          shall("a = 3 (b)")}) {
        CHECK(told(text).message.starts_with("`(` stands where "));
        CHECK(told(text).help != blanks);
    }
}

TEST_CASE("a value in a message is read like any other") {
    CHECK(told(says("x {")).message == "this brace has no closing one");
    CHECK(told(says("x {a")).at == "{");
    CHECK(told(says("{}")).message ==
          "the brace is closed where a value, a name or a condition is expected");
    CHECK(told(says("{a +}")).message ==
          "the brace is closed where a value, a name or a condition is expected");
    CHECK(told(says("{a b}")).message.starts_with("`b` stands where "));
    CHECK(told(says("{3 flurbs}")).message == "\"flurbs\" is no unit known here");
    CHECK(told(says("{3 flurbs}")).at == "flurbs");
    CHECK(codes_of(says("{{ {a} }")).empty());
}

TEST_CASE("a text that its line does not close is told once, up to its last sign") {
    const std::string missing = "this text has no closing quote on its line";
    for (const std::string end : {"\n", "  \n", " \r\n", ""}) {
        const Told in_a_title = told("table \"abc" + end);
        CHECK(in_a_title.message == missing);
        CHECK(in_a_title.at == "\"abc");
    }
    CHECK(told("table \"\n").at == "\"");
    const std::string head = "table 1.1\n  gives current\n  by k : kind\n  ";
    CHECK(told(head + "\"a | 3 A\n").message == missing);
    CHECK(told(head + "\"a\" | 3 A\n  \"b | 3 A\n").at == "\"b | 3 A");
    // What may be the name of a limit is read a second time as one.
    for (const char *change : {"requirement", "force", "binds"})
        CHECK(told("change " + std::string(change) + " of rule \"T from x\n").at == "\"T from x");
}

TEST_CASE("two faults of one place are both told") {
    const std::string longest = repeated(" + 1 A", limits::nesting + 1);
    CHECK(codes_of(shall("a = 0.0000000001 A" + longest)) == "off-grid too-deep");
}

TEST_CASE("a number of more digits than can be is too large, whatever stands behind it") {
    const std::string digits(400, '9');
    CHECK(codes_of(shall("a = " + digits)) == "too-large");
    CHECK(codes_of(shall("a = " + digits + " A")) == "too-large");
    CHECK(codes_of(shall("a = " + digits + ".5 A")) == "too-large");
    CHECK(codes_of(shall("a = 1/" + digits + " in")) == "too-large");
    CHECK(told(shall("a = " + digits + " A")).at == digits);
}

TEST_CASE("names of editions begin with a letter and are no words of the language") {
    const std::string expected = "the name of an edition or amendment is expected";
    for (const char *text : {"edition all\n", "edition 2020\n", "edition -a\n", "edition",
                             "part of a, \n", "amendment a to\n"})
        CHECK(told(text).message.ends_with(expected));
    CHECK(codes_of("edition nec-2020").empty());
}

TEST_CASE("a date is year, month and day, and has to be there") {
    const std::string head = "delay rule 1.1 until";
    CHECK(told(head).message ==
          "the declaration ends where a date (such as 2021-07-01) is expected");
    CHECK(told(head + " soon\n").message ==
          "`soon` stands where a date (such as 2021-07-01) is expected");
    for (const char *date : {"01.07.2021", "07/01/2021", "2021-7-1", "2021-02-29", "20210701"}) {
        CHECK(told(head + " " + date).message == std::string(date) + " is no date of the calendar");
        CHECK(told(head + " " + date + "\n").at == date);
    }
    CHECK(codes_of(head + " 2021-07-01").empty());
}

TEST_CASE("an article is a number alone, and a clause one with a point") {
    const std::string article = "the number of an article (such as 210) is expected";
    for (const char *text : {"delete article", "delete article x\n", "delete article 210.8\n",
                             "delete article 210x\n"})
        CHECK(told(text).message.ends_with(article));
    CHECK(codes_of("delete article 210").empty());
    const std::string clause = "a clause number with its point (such as 210.8) is expected";
    for (const char *text :
         {"delete rule", "delete rule 210", "delete rule 210.", "delete rule x\n"})
        CHECK(told(text).message.ends_with(clause));
    CHECK(codes_of("delete rule 210.8").empty());
    CHECK(codes_of("delete rule 210.8(A)").empty());
    CHECK(told("delete rule 210.8(A").at == "(");
    CHECK(told("delete rule 210.8(A x").at == "(");
    CHECK(told("delete exception 1").message.starts_with("the declaration ends where "));
    CHECK(told("delete exception (1").at == "(");
    CHECK(told("delete exception (").at == "(");
}

TEST_CASE("the digest of an old text has eight hexadecimal digits") {
    const auto replace = [](const std::string &digest) {
        return "replace rule 1.1 \"R\" from " + digest;
    };
    CHECK(codes_of(replace("3fa2c1b0")).empty());
    for (const char *wrong : {"", "3fa2c1b", "3fa2c1b01", "3fa2c1b0x", "3FA2C1B0", "3fa2c1bg"})
        CHECK(told(replace(wrong))
                  .message.ends_with("the digest of the old text (eight hexadecimal digits, told "
                                     "by `show`) is expected"));
}

TEST_CASE("marks of layers stand in printed books, and name a layer of theirs") {
    const std::string gap = "gap 1.1 \"x\" ";
    const std::string book = "printed base-1, city-1\n\n";
    CHECK(codes_of(book + gap + "@city-1\n").empty());
    CHECK(told(gap + "@city-1\n").message == "marks of layers stand in printed books only");
    CHECK(told("edition a\n" + gap + "@city-1\n").at == "@city-1");
    CHECK(told(book + gap + "@town-1\n").message == "this book has no layer town-1");
    CHECK(told(book + gap + "@town-1\n").at == "town-1");
    CHECK(told(book + gap + "@ 7\n")
              .message.ends_with("the name of an edition or amendment is expected"));
}

TEST_CASE("signs and words that are none of the language are told as they stand") {
    CHECK(told(shall("€")).message ==
          "`€` stands where a value, a name or a condition is expected");
    CHECK(told(shall("a = 3 A €")).at == "€");
    CHECK(told(rule("  except 1 not encodid \"x\"\n")).help == "did you mean `encoded`?");
    CHECK(told(shall("a = 3/4 A")).message ==
          "3/4 is a fraction, and only lengths in in or ft are written with one");
    const std::string head = "table 1.1\n  gives kind\n  by k : length\n  ";
    CHECK(told(head + "1 in |\n  2 in | b\n").message.starts_with("the line ends where "));
    CHECK(told(head + "1 in | Red\n").message.starts_with("`Red` stands where "));
    CHECK(told(head + "1 in | -3\n").at == "-");
}

TEST_CASE("the last row of a table may end with the file") {
    CHECK(codes_of("table 1.1\n  gives current\n  by k : length\n  1 in | 3 A").empty());
    CHECK(codes_of("table 1.1\n  gives current\n  by k : length\n  1 in | \"a\"").empty());
    CHECK(told("table 1.1\n  gives current\n  by k : length\n  1 in | -").at == "-");
}
