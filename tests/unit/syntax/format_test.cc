// The one layout of rule text: what each form of declaration looks like in it, whatever it looked
// like before.

#include "syntax/format.h"

#include "catch.h"

namespace {

using namespace groundrule;

std::string laid_out(const std::string &text) {
    Diagnostics faults;
    const SourceText source("rules", text);
    const auto out = syntax::format(source, faults);
    INFO(text << render(faults, {source}));
    REQUIRE(out);
    return *out;
}

// The layout of a text, which laid out again is the same.
void check(const std::string &text, const std::string &expected) {
    CHECK(laid_out(text) == expected);
    CHECK(laid_out(expected) == expected);
}

std::string with_carriage_returns(const std::string &text) {
    std::string out;
    for (const char c : text)
        out += c == '\n' ? std::string("\r\n") : std::string(1, c);
    return out;
}

} // namespace

TEST_CASE("layout: a text with faults has none, and its faults are told") {
    Diagnostics faults;
    CHECK_FALSE(syntax::format(SourceText("rules", "vocabulary\ntype a one of (b)\n"), faults));
    CHECK(faults.has_errors());
}

TEST_CASE("layout: an empty file stays empty, one of comments keeps them") {
    check("", "");
    check("\n\n", "");
    check("\n  # one\n\n\n# two  \n\n", "# one\n\n# two\n");
}

TEST_CASE("layout: lines of a header stand behind their words") {
    check("amendment city-1 to trial-1 title \"T\"\n until 2024-01-01 effective\n\t2021-07-01",
          "amendment city-1 to trial-1\n"
          "  title    \"T\"\n"
          "  until    2024-01-01\n"
          "  effective\n"
          "           2021-07-01\n");
    check("edition trial-1\n title \"T\"  # the book\n publisher\"P\"\n",
          "edition trial-1\n"
          "  title    \"T\"  # the book\n"
          "  publisher \"P\"\n");
}

TEST_CASE("layout: comments between declarations stay, with one blank line for several") {
    check("# head\n\n\n# more\nvocabulary\n# about a\n   \n\n# about b\n\ntype a:one of (x)\n\n\n"
          "type b:one of (y)\ntype c:one of (z)\n\n# end\n\n\n",
          "# head\n\n# more\nvocabulary\n\n# about a\n\n# about b\n\ntype a : one of (x)\n\n"
          "type b : one of (y)\ntype c : one of (z)\n\n# end\n");
    check("# head\n\nvocabulary\n", "# head\n\nvocabulary\n");
    // One that is indented belongs to the declaration above.
    check("vocabulary\n # its own\n\n# of the next\ntype a:one of (x)\n",
          "vocabulary\n  # its own\n\n# of the next\ntype a : one of (x)\n");
}

TEST_CASE("layout: carriage returns and tabs are blanks, and a last newline may be missing") {
    const std::string text = "vocabulary\n\ntype\troom : one of (a,\n\tb)\t# why \n\n"
                             "item x \"X\"\n\tk\t:\troom\tchoice\t\"Q?\"\n\n# end\n";
    const std::string expected =
        "vocabulary\n\ntype room : one of (a,\n                    b)  # why\n\n"
        "item x \"X\"\n  k : room choice \"Q?\"\n\n# end\n";
    check(text, expected);
    check(with_carriage_returns(text), expected);
    check("vocabulary\n\ntype a : one of (x)", "vocabulary\n\ntype a : one of (x)\n");
    check("vocabulary\n\ntype a : one of (x)\n# end",
          "vocabulary\n\ntype a : one of (x)\n\n# end\n");
}

TEST_CASE("layout: fields of an item stand in columns, what is no whole field in a line stays") {
    check("item box in job as boxes \"A box\"\n"
          "  w : length measure \"How wide?\"\n"
          "  # the colour of\n"
          "  colour : one of (red, \"dark blue\") choice \"Which?\"\n"
          "  deep : length # from the front\n"
          "     measure \"How deep?\"\n"
          "  kind : one of (a,\n"
          "    \"b\",\n"
          "    c, \"d\"\n"
          "    ) choice \"Which kind?\"\n",
          "item box in job as boxes \"A box\"\n"
          "  w      : length                    measure \"How wide?\"\n"
          "  # the colour of\n"
          "  colour : one of (red, \"dark blue\") choice  \"Which?\"\n"
          "  deep : length  # from the front\n"
          "  measure \"How deep?\"\n"
          "  kind : one of (a,\n"
          "    \"b\",\n"
          "    c, \"d\"\n"
          "  ) choice \"Which kind?\"\n");
    check("item box\n  kind : one of (\"a\"\n  , \"b\") choice \"Which?\"\n",
          "item box\n"
          "  kind : one of (\"a\"\n"
          "    , \"b\") choice \"Which?\"\n");
    check("add to item box\n  approved_by_city:yes_no authority \"Did it?\"\n"
          "  x:length measure \"How far?\"",
          "add to item box\n"
          "  approved_by_city : yes_no authority \"Did it?\"\n"
          "  x                : length measure   \"How far?\"\n");
}

TEST_CASE("layout: cells of a table stand in columns, keys may go on, comments stay") {
    check("table 310.16 \"Ampacity\" gives current\n"
          "  by size : conductor_size,  # down\n"
          "     material : material, # across\n"
          "     # the rating\n"
          "     rating : temperature\n"
          "  # copper first\n"
          "  material|copper|copper # both\n"
          "  rating | 60 C|75 °C\n"
          "  8 AWG | 40 A | --\n",
          "table 310.16 \"Ampacity\"\n"
          "  gives  current\n"
          "  by     size : conductor_size,  # down\n"
          "         material : material,  # across\n"
          "  # the rating\n"
          "         rating : temperature\n"
          "  # copper first\n"
          "  material | copper | copper  # both\n"
          "  rating   | 60 C   | 75 °C\n"
          "  8 AWG    | 40 A   | --\n");
    check("add to table 310.16\n  8 AWG|40 A\n  # more\n  10 AWG|30 A\n", "add to table 310.16\n"
                                                                          "  8 AWG  | 40 A\n"
                                                                          "  # more\n"
                                                                          "  10 AWG | 30 A\n");
    check("replace table \"by\" numbered 1.1 in old-1\n  gives current by k : length at most\n"
          "  1 in|2 A\n",
          "replace table \"by\"\n"
          "  numbered 1.1 in old-1\n"
          "  gives  current\n"
          "  by     k : length at most\n"
          "  1 in | 2 A\n");
    check("table 1.1\n  in old-1\n  gives current by k : length\n  1 in|2 A\n",
          "table 1.1\n"
          "  in     old-1\n"
          "  gives  current\n"
          "  by     k : length\n"
          "  1 in | 2 A\n");
}

TEST_CASE("layout: a rule has a line for each of its words, and its conditions in columns") {
    check(
        "rule 210.8(A)(2) \"Outlets\" topic t for box stage design,acceptance\n"
        "  where low:voltage at most 250 V where dwelling:\n    occupancy is one_family_dwelling\n"
        "  shall gfci is class_a and (a\n or b)\n"
        "  says \"One\"\n  \"two\"\n"
        "  listed (1)   \"Bath\"  where location is bathroom\n"
        "  except 1# snow\n where melting says \"Covered.\"\n"
        "  except not encoded \"Fans\"\n"
        "  # last\n"
        "  source \"S\"\n",
        "rule 210.8(A)(2) \"Outlets\"\n"
        "  topic    t\n"
        "  for      box\n"
        "  stage    design, acceptance\n"
        "  where    low : voltage at most 250 V\n"
        "  where    dwelling :\n"
        "           occupancy is one_family_dwelling\n"
        "  shall    gfci is class_a and (a\n"
        "                                or b)\n"
        "  says     \"One\"\n"
        "           \"two\"\n"
        "  listed   (1) \"Bath\" where location is bathroom\n"
        "  except   1  # snow\n"
        "           where melting says \"Covered.\"\n"
        "  except   not encoded \"Fans\"\n"
        "  # last\n"
        "  source   \"S\"\n");
}

TEST_CASE("layout: editions stand on a line of their own if they stood so") {
    check("rule 1.1 \"R\"\n  in e-1,e-2\n  topic t\n",
          "rule 1.1 \"R\"\n  in       e-1, e-2\n  topic    t\n");
    check("rule 1.1 \"R\" in e-1\n  topic t\n", "rule 1.1 \"R\" in e-1\n  topic    t\n");
    check("replace rule 1.1 \"R\"\n  in e-1\n  topic t\n",
          "replace rule 1.1 \"R\"\n  in       e-1\n  topic    t\n");
    // Of a part they are no line of the rule.
    check("add to rule 1.1\n  listed (5)\n    in e-1 \"L\" where a\n",
          "add to rule 1.1\n  listed   (5)\n                 in e-1 \"L\" where a\n");
    check("define a : current\n  in e-1\n  = 3 A\n", "define a : current\n  in e-1\n  = 3 A\n");
}

TEST_CASE("layout: cases of a test stand with their verdicts in a column") {
    check("test t \"T\" given a.b=1 A,c.d=\n new\n expect violates  (210.8(A)(2))\n"
          " without a.b expect undetermined\n with a.b=2 A expect complies\n"
          " with a.b=200 A without c.d\n expect complies\n source \"S\"\n",
          "test t \"T\"\n"
          "  given    a.b = 1 A, c.d =\n"
          "           new\n"
          "  expect   violates (210.8(A)(2))\n"
          "  without  a.b        expect undetermined\n"
          "  with     a.b = 2 A  expect complies\n"
          "  with     a.b = 200 A without c.d\n"
          "           expect complies\n"
          "  source   \"S\"\n");
}

TEST_CASE("layout: values, facts and what a remedy brings about stand under the first line") {
    check(
        "remedy run \"Another\"\n method=emt,\n \"NM-B\"\n sealed=yes\n without a,b\n keeps size\n"
        " # along\n carries entry.kind with kind keeps size\n",
        "remedy run \"Another\"\n"
        "  method = emt,\n"
        "    \"NM-B\"\n"
        "  sealed = yes\n"
        "  without a, b\n"
        "  keeps size\n"
        "  # along\n"
        "  carries entry.kind with kind keeps size\n");
    check("imply box\n  volume=3 in³\n  width=if round then\n  1 in otherwise unknown\n",
          "imply box\n"
          "  volume = 3 in³\n"
          "  width = if round then\n"
          "    1 in otherwise unknown\n");
    check("list 240.6(A) \"Ratings\" of current\n =15 A,20 A,\n 25 A\n",
          "list 240.6(A) \"Ratings\" of current\n"
          "  = 15 A, 20 A,\n"
          "    25 A\n");
    check("define crate.any_loose : yes_no\n = any(p in pieces\n # which\n where p.loose and (\n a "
          "= 1 A))\n",
          "define crate.any_loose : yes_no\n"
          "  = any(p in pieces\n"
          "        # which\n"
          "        where p.loose and (\n"
          "                           a = 1 A))\n");
    check("replace list 1.1 of current = 1 A\nreplace group g of t=(a,b)\n"
          "replace define f(i:current):current=i\n",
          "replace list 1.1 of current = 1 A\n"
          "replace group g of t = (a, b)\n"
          "replace define f(i : current) : current = i\n");
}

TEST_CASE("layout: a timeline, and changes of an amendment") {
    check(
        "adoption town title \"T\"\nperiod first \"One\" book \"nec-2017\" from 2018-01-01 until\n"
        " 2021-01-01 by permit_date\nperiod second \"Two\" hands_over to \"Other\" from 2021-01-01 "
        "by "
        "permit_date overlaps first where occupancy is other\n",
        "adoption town\n"
        "  title    \"T\"\n"
        "\nperiod first \"One\"\n"
        "  book     \"nec-2017\"\n"
        "  from     2018-01-01\n"
        "  until\n"
        "           2021-01-01\n"
        "  by       permit_date\n"
        "\nperiod second \"Two\"\n"
        "  hands_over to \"Other\"\n"
        "  from     2021-01-01\n"
        "  by       permit_date\n"
        "  overlaps first\n"
        "  where    occupancy is other\n");
    check("amendment a-1 to trial-1\ndelete exception (1)  of rule 210.8(A)\n"
          "change table 310.16[8 AWG,copper]from 40 A to --\n"
          "narrow rule 1.1 to where a =\n  3 A\n",
          "amendment a-1 to trial-1\n"
          "delete exception (1) of rule 210.8(A)\n"
          "change table 310.16[8 AWG, copper]from 40 A to --\n"
          "narrow rule 1.1 to where a =\n"
          "    3 A\n");
}

TEST_CASE("layout: a sign within a text or a comment is none") {
    check("gap 1.1 \"a ) # ( | b\"  # ) \"x\n\ngap 1.2 \"y\"\n",
          "gap 1.1 \"a ) # ( | b\"  # ) \"x\n\ngap 1.2 \"y\"\n");
    check("define a : current\n  = larger_of(1 A, # (\n  2 A)\n",
          "define a : current\n  = larger_of(1 A,  # (\n              2 A)\n");
}
