// Expressions come back as text in one form, and that text is read again as the same expression.

#include "book/expression_text.h"
#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;
using book::Called;

const std::string declared =
    "type blade : one of (\"5-15R\", \"Twist lock\", twist_2, none, other)\n\n"
    "group wet of blade = (twist_2, \"5-15R\")\n\n"
    "item lamp in crate as lamps \"A lamp\"\n"
    "  blade : blade  choice  \"Which blade?\"\n\n"
    "table \"Own blades\" \"T\"\n  gives current\n  by blade : blade\n  \"5-15R\" | 15 A\n\n"
    "table \"15 A types\" \"T\"\n  gives current\n  by blade : blade\n  \"5-15R\" | 15 A\n\n"
    "table 310.16 \"T\" numbered 310.15(B)(16) in trial-1\n"
    "  gives low : current, high : current\n  by w : conductor_size\n  8 AWG | 1 A | 2 A\n\n"
    "list \"(own)\" \"L\" of current\n  = 15 A, 20 A\n\n"
    "list \"3.5 mm ones\" \"L\" of current\n  = 15 A, 20 A\n\n"
    "list 240.6(A) \"L\" of current\n  = 15 A, 20 A\n\n"
    "list \"Own sizes\" of current\n  = 15 A, 20 A\n\n"
    "define half(i : current) : current\n  = i / 2\n\n"
    "define crate.spare : current\n  = rating - load\n\n";

std::string rule_for(const std::string &item, const std::string &condition) {
    return "rule 1.1 \"A probe\"\n  topic probe\n  for " + item + "\n  limit cap = 5 A\n  shall " +
           condition + "\n  says \"No.\"\n\n";
}

std::string text_of(const std::string &condition, const std::string &item = "crate",
                    Called called = Called::by_edition) {
    const book::Opened opened = trial::open(declared + rule_for(item, condition));
    INFO(condition << "\n" << trial::faults(opened));
    REQUIRE(opened.book);
    const book::Rule &rule = opened.book->rules.front();
    return book::expression_text(*opened.book, rule.requirement, {rule.item, &rule, nullptr},
                                 called);
}

void check_same(const std::vector<std::string> &conditions, const std::string &item = "crate") {
    for (const std::string &c : conditions)
        CHECK(text_of(c, item) == c);
}

} // namespace

TEST_CASE("expression text: every form stays as it is, with no bracket but those it needs") {
    check_same({"load at most cap",
                "load = 5 A",
                "not (sealed and approved)",
                "sealed and (approved or load less than 5 A)",
                "load from 1 A to 5 A",
                "load + rating - 5 A at least 1 A",
                "(load - (rating - 5 A)) * 2 / 3 more than 1 A",
                "load * (share + 1) at most half(load)",
                "load - (if sealed then 1 A otherwise 2 A) at most spare",
                "if sealed then approved otherwise load at most 1 A",
                "larger_of(load, rating) at most smaller_of(load, 5 A)",
                "round_down(load to 5 A) = round_up(load to 5 A)",
                "round_nearest(load to 5 A) at most 5 A",
                "colour is not red",
                "colour is red",
                "job.permit_date at least 2020-01-01",
                "complete(pieces)",
                "complete(job.crates)",
                "load at most smallest(s in list 240.6(A) where s at least rating)",
                "load at most largest(s in list \"Own sizes\")",
                "load at most largest(s in list \"(own)\")",
                "load at most largest(s in list \"3.5 mm ones\")",
                "load at most smallest(s in list 240.6(A) where s at least smallest(s2 in list "
                "240.6(A) where s2 at least s))"});
    CHECK(text_of("load at most table 310.16 [wire].low") ==
          "load at most table 310.15(B)(16) [wire].low");
    check_same({"crate.load at most table \"Own blades\" [blade]",
                "crate.load at most table \"15 A types\" [blade]"},
               "lamp");
}

TEST_CASE("expression text: inside a list every field says whose it is") {
    CHECK(text_of("any(p in pieces where p.loose : p.draw at most load)") ==
          "any(piece in pieces where piece.loose : piece.draw at most crate.load)");
    CHECK(text_of("all(p in pieces : p.loose)") == "all(piece in pieces : piece.loose)");
    CHECK(text_of("count(p in pieces) at least 1 and sealed") ==
          "count(piece in pieces) at least 1 and sealed");
    CHECK(text_of("sum(p in pieces : p.draw) at most max(p in pieces : p.draw)") ==
          "sum(piece in pieces : piece.draw) at most max(piece in pieces : piece.draw)");
    CHECK(text_of("min(c in job.crates : c.load) at most load") ==
          "min(crate in job.crates : crate.load) at most load");
}

TEST_CASE("expression text: choices one by one, quoted where they are no plain name") {
    CHECK(text_of("blade is \"5-15R\"", "lamp") == "blade is \"5-15R\"");
    CHECK(text_of("blade is one of (\"Twist lock\", twist_2)", "lamp") ==
          "blade is one of (\"Twist lock\", twist_2)");
    CHECK(text_of("blade = \"Twist lock\"", "lamp") == "blade = \"Twist lock\"");
    CHECK(text_of("blade is wet", "lamp") == "blade is one of (\"5-15R\", twist_2)");
    CHECK(text_of("blade is not wet", "lamp") == "blade is not one of (\"5-15R\", twist_2)");
    for (const char *plain : {"a", "a_1", "garage", "z9"})
        CHECK(book::choice_text(plain) == plain);
    for (const char *other : {"", "A", "{a", "5a", "_a", "aB", "a-b", "a b", "a{", "a:", "°"})
        CHECK(book::choice_text(other) == "\"" + std::string(other) + "\"");
}

TEST_CASE("expression text: by declaration a table has the number of its declaration, a group its "
          "name") {
    const auto declaration = [](const std::string &condition, const std::string &item) {
        return text_of(condition, item, Called::by_declaration);
    };
    CHECK(declaration("load at most table 310.16 [wire].low", "crate") ==
          "load at most table 310.16 [wire].low");
    CHECK(declaration("blade\n    is\r\n\t wet", "lamp") == "blade is wet");
    CHECK(declaration("sealed or crate.sealed", "crate") == "sealed or sealed");
    CHECK(declaration("blade is one of (\"Twist lock\", twist_2)", "lamp") ==
          "blade is one of (\"Twist lock\", twist_2)");
    // A fact of the group's name is taken for it: rather a rule too many that follows than one too
    // few.
    const book::Opened same_name = trial::open("type shape : one of (flat, other)\n\n"
                                               "group wet of shape = (other)\n\n"
                                               "item tin in crate as tins \"A tin\"\n"
                                               "  wet : shape choice \"?\"\n\n" +
                                               rule_for("tin", "wet is flat"));
    REQUIRE(same_name.book);
    CHECK(book::groups_named(*same_name.book, same_name.book->rules.front().requirement).size() ==
          1);
    // A word is whole: no group is named in these.
    for (const char *wider : {"wets", "a_wet", "wet_1", "9wet", "bwet"}) {
        const std::string type =
            "type shape : one of (" + std::string(wider[0] == '9' ? "\"9wet\"" : wider) +
            ", other)\n\ngroup wet of shape = (other)\n\n"
            "item tin in crate as tins \"A tin\"\n  shape : shape choice \"?\"\n\n";
        const std::string test = "shape is " + std::string(wider[0] == '9' ? "\"9wet\"" : wider);
        const book::Opened opened = trial::open(type + rule_for("tin", test));
        INFO(test << trial::faults(opened));
        REQUIRE(opened.book);
        CHECK(book::groups_named(*opened.book, opened.book->rules.front().requirement).empty());
    }
}

TEST_CASE("expression text: what stands in no rule or definition is told by its place") {
    const book::Opened opened = trial::open(declared + rule_for("crate", "half(load) at most cap"));
    REQUIRE(opened.book);
    const book::Book &book = *opened.book;
    const book::Define &half = book.defines.front();
    CHECK(book::expression_text(book, half.value, {-1, nullptr, &half}) == "i / 2");
    CHECK(book::expression_text(book, half.value, {}) == "parameter 0 / 2");
    CHECK(book::expression_text(book, book.rules.front().requirement, {}) ==
          "half(crate.load) at most limit 0");
    CHECK(book::expression_text(book, book::no_node, {}).empty());
}
