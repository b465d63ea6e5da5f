// What a reader is told of an expression whose types don't agree or whose names mean nothing: one
// fault, and what would be right.

#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;
using trial::rule_that;

struct Fault {
    std::string text;
    std::string message; // some of it
    std::string help;    // likewise; empty: none
};

void check_one(const std::string &rules, const Fault &fault) {
    const book::Opened opened = trial::open(rules);
    INFO(fault.text << "\n" << trial::faults(opened));
    REQUIRE(opened.diagnostics.size() == 1);
    const Diagnostic &d = opened.diagnostics.list().front();
    CHECK(d.message.find(fault.message) != std::string::npos);
    CHECK(d.help.empty() == fault.help.empty());
    CHECK(d.help.find(fault.help) != std::string::npos);
}

// What a rule may use beside the words of the trial.
const std::string declared =
    "type tint : one of (a1, b2, c3, d4, e5, f6, g7, h8, i9, j10)\n\n"
    "item lamp in crate as lamps \"A lamp\"\n"
    "  tint : tint  choice  \"Which tint?\"\n"
    "  hot  : temperature_difference  measure  \"How much?\"\n\n"
    "table 310.16 \"T\"\n  gives current\n  by a : current\n  1 A | 1 A\n\n"
    "list 240.6(A) \"L\" of current\n  = 15 A\n\n"
    "define crate.spare : current\n  = rating - load\n\n"
    "define half(i : current) : current\n  = i / 2\n\n";

std::string on_lamp(const std::string &condition) {
    return "rule 1.2 \"Lamps\"\n  topic lamps\n  for lamp\n  shall " + condition +
           "\n  says \"No.\"\n\n";
}

void check_conditions(const std::vector<Fault> &faults) {
    for (const Fault &f : faults)
        check_one(declared + rule_that(f.text), f);
}

} // namespace

TEST_CASE("typing: sides of a comparison that are of two kinds, with how each is written") {
    check_conditions(
        {{"load at most 5 V", "compares current with voltage",
          "a current is given in A, mA, kA; a"},
         {"load at most 5", "compares current with number", "a current is written with its unit"},
         {"share at most 5 A", "compares number with current", "a number has no unit"},
         {"load * width at most 3 A", "compares A·mm with current", ""},
         {"3 A at least load * width", "compares current with A·mm", ""},
         {"load = sealed", "compares current with yes_no", ""},
         {"wire at least 3 A", "compares conductor_size with current",
          "a conductor size is a name"},
         {"3 A at most wire", "compares current with conductor_size", "a conductor size is a name"},
         {"colour = work", "compares crate.colour with work", ""},
         {"load from 1 V to 2 A", "`from` compares current with voltage", "a current is given in"},
         {"load from 1 A to 2 V", "`to` compares current with voltage", "a current is given in"},
         {"sealed at least approved", "yes_no has no order", ""},
         {"colour more than colour", "crate.colour has no order", ""}});
    CHECK(trial::open(rule_that("sealed = approved and colour = colour and made = made")).book);
}

TEST_CASE("typing: arithmetic of what is no quantity, of points and of two dimensions") {
    check_conditions(
        {{"sealed + load at most 1 A", "this joins yes_no with current", ""},
         {"load * made at most 1 A", "this joins current with date", ""},
         {"load - supply at most 1 A", "subtracting voltage from current has no meaning", ""},
         {"load + supply at most 1 A", "adding voltage to current has no meaning", ""},
         {"heat / 2 at most 1 °C", "a temperature is a point; only differences", ""},
         {"2 * heat at most 1 °C", "a temperature is a point; only differences", ""},
         {"heat + heat at most 1 °C", "two temperatures can be subtracted", "10 °C rise"},
         {"heat - 3 A at most 1 °C", "two temperatures can be subtracted", "10 °C rise"},
         {"heat + 3 A at most 1 °C", "two temperatures can be subtracted", "10 °C rise"},
         {"3 A - heat at most 1 °C", "two temperatures can be subtracted", "10 °C rise"},
         {"3 °C rise + heat at most 1 °C", "two temperatures can be subtracted", "10 °C rise"},
         {"round_down(wire to 8 AWG) = wire", "`round_down` rounds conductor_size to a multiple",
          ""},
         {"round_up(load to 5 V) at most 1 A", "`round_up` rounds current to a multiple of volt",
          ""},
         {"larger_of(sealed, approved)", "yes_no has no order", ""},
         {"larger_of(colour, colour) is red", "crate.colour has no order", ""},
         {"larger_of(load, supply) at most 1 A", "`larger_of` compares current with voltage", ""}});
    CHECK(
        trial::open(rule_that("heat - heat at most 3 °C rise and heat - 3 °C rise at most 3 °C "
                              "and heat + 3 °C rise at most 3 °C and larger_of(wire, wire) = wire "
                              "and smaller_of(made, made) = made"))
            .book);
}

TEST_CASE("typing: choices that a type does not have, quoted or not") {
    check_conditions(
        {{"colour is gren", "\"gren\" is no choice of crate.colour", "did you mean `green`?"},
         {"colour is mauve", "is no choice of", "one of: red, green, blue"},
         {"colour = gren", "`gren` is no field or definition of crate", "did you mean `green`?"},
         {"colour = \"gren\"", "\"gren\" is no choice of crate.colour", "did you mean `green`?"},
         {"\"red\" = colour", "a quoted choice can stand only where a choice is expected", ""},
         {"load = \"red\"", "a quoted choice can stand only where a choice is expected", ""},
         {"load is red", "`is` asks for a choice, and the left side is current", "compare values"},
         {"sealed is red", "`is` asks for a choice, and the left side is yes_no", "stands alone"},
         {"colour", "must be yes_no, and this is crate.colour", "ask for a choice with `is`"},
         {"load", "must be yes_no, and this is current", "compare it"}});
    check_one(declared + on_lamp("tint is zinc"), {"tint is zinc", "is no choice of tint",
                                                   "one of: a1, b2, c3, d4, e5, f6, g7, h8, …"});
    CHECK(trial::open(rule_that("colour = \"red\" or colour = blue")).book);
    // Each wrong one is told.
    CHECK(trial::codes(trial::open(rule_that("colour is one of (gren, red, blu)")).diagnostics) ==
          "unknown-choice unknown-choice");
}

TEST_CASE("typing: names that are not known, with what is near or what there is") {
    check_conditions(
        {{"sealed = true", "`true` is no field or definition of crate", "write `yes`"},
         {"sealed = false", "`false` is no field or definition of crate", "write `no`"},
         {"job.zanzibar", "`zanzibar` is no field or definition of job", "job has: "},
         {"zanzibar", "`zanzibar` is no field or definition of crate",
          "crate has: work, load, rat"},
         {"job.load at most 1 A", "`load` is no field or definition of job", "job has: "},
         {"crat.load at most 1 A", "`crat` is no item", "did you mean `crate`?"},
         {"any(crumb in pieces : crum.loose)", "`crum` is no item", "did you mean `crumb`?"},
         {"any(p in crat.pieces : p.loose)", "`crat` is no item", "did you mean `crate`?"},
         {"any(p in pieces : p)", "`p` is an item; name one of its fields", ""},
         {"any(p in piecs : p.loose)", "`piecs` is no list of crate", "did you mean `pieces`?"},
         {"complete(piecs)", "`piecs` is no list of crate", "did you mean `pieces`?"},
         {"piece.loose", "`piece` is not above crate in a job", "an item sees itself"},
         {"half(load, load) at most 1 A", "`half` takes 1 value; given here: 2", ""},
         {"hlf(load) at most 1 A", "there is no definition `hlf(…)`", "did you mean `half`?"},
         {"larger(load) at most 1 A", "there is no definition `larger(…)`", ""},
         {"spare(load) at most 1 A", "there is no definition `spare(…)`", ""},
         {"half(supply) at most 1 A", "`i` of `half` must be current, and this is voltage", ""},
         {"load at most table 310.17 [load]", "there is no table 310.17", "did you mean `310.16`?"},
         {"load at most table 240.6(A) [load]", "there is no table 240.6(A)",
          "is a list: smallest"},
         {"load at most table 310.16 [load, load]", "table 310.16 has 1 key; given here: 2",
          "its keys, in order: a"},
         {"load at most smallest(s in list 240.6(B))", "there is no list 240.6(B)", "`240.6(A)`?"},
         {"load at most smallest(s in list 310.16)", "there is no list 310.16",
          "is a table: table"},
         {"applies(prob)", "no rule has the topic `prob`", "did you mean `probe`?"},
         {"any(c in job.crates : load at least 1 A)", "`load` is no field or definition here",
          "a field of the element is written `c.load`"},
         {"any(p in pieces : load at least 1 A and draw at least 1 A)",
          "`draw` is no field or definition of crate",
          "a field of the element is written `p.draw`"},
         {"any(c in job.crates : any(p in pieces : p.loose))", "say whose list: `item.pieces`",
          ""}});
    check_one(
        "rule 1.1 \"A probe\"\n  topic probe\n  for crate\n  limit widest = 5 A\n  shall load at "
        "most widst\n  says \"No.\"\n",
        {"widst", "`widst` is no field or definition of crate", "did you mean `widest`?"});
    check_one(
        declared + rule_that("sealed") +
            "rule 1.3 \"J\"\n  topic of_job\n  for job\n  shall applies(probe)\n  says \"x\"\n",
        {"applies(probe)", "`probe` is a rule for crate, which is not at hand here", ""});
}

TEST_CASE("typing: an item that could be the rule's own or an element is not guessed") {
    check_conditions(
        {{"any(c in job.crates : crate.sealed)", "`crate` could be the element", "`c.sealed`"},
         {"any(c in job.crates : any(p in c.pieces : crate.sealed))",
          "`crate` could be the element", "write `c.sealed`"},
         {"any(p in pieces : any(q in crate.pieces : piece.loose))", "`piece` could be the element",
          "write `q.loose`"}});
    const std::string of_job =
        "rule 1.3 \"J\"\n  topic of_job\n  for job\n  shall any(c in crates : "
        "any(p in c.pieces : p.loose and crate.sealed))\n  says \"x\"\n";
    CHECK(trial::open(declared + of_job).book);
    CHECK(trial::open(rule_that("any(p in pieces : p.loose and crate.sealed)")).book);
}

TEST_CASE("typing: lists are asked for what their items can give") {
    check_conditions(
        {{"all(p in pieces)", "`all` needs a colon and what it is about: all(x in pieces : …)", ""},
         {"count(p in pieces : p.loose) at least 1", "`count` takes a `where`, no colon", ""},
         {"sum(p in pieces : p.loose) at least 1", "`sum` has no meaning for yes_no", ""},
         {"max(c in job.crates : c.colour) is red", "`max` has no meaning for crate.colour", ""},
         {"sum(c in job.crates : c.heat) at most 3 °C", "`sum` has no meaning for temperature", ""},
         {"sum(c in job.crates : c.wire) = wire", "`sum` has no meaning for conductor_size", ""},
         {"any(p in pieces : p.draw)", "what `any` is about must be yes_no, and this is current",
          "compare it"},
         {"any(p in pieces where p.draw : p.loose)", "the condition of `where` must be yes_no",
          "compare it"}});
    CHECK(trial::open(rule_that("max(c in job.crates : c.wire) at least 8 AWG and "
                                "min(c in job.crates : c.heat) at most 30 °C"))
              .book);
}

TEST_CASE("typing: a function sees its parameters, and no item") {
    const auto function = [](const std::string &value, const std::string &type = "current") {
        return "define f(i : current) : " + type + "\n  = " + value + "\n\n";
    };
    check_one(function("load"), {"load", "`load` is no field or definition here", ""});
    check_one(function("ii"), {"ii", "`ii` is no field or definition here", "did you mean `i`?"});
    check_one(function("crate.load"),
              {"crate.load", "`crate` is not above a function in a job", "an item sees itself"});
    check_one(function("any(p in pieces : p.loose)", "yes_no"),
              {"pieces", "say whose list: `item.pieces`", ""});
    check_one(function("applies(probe)", "yes_no") + rule_that("sealed"),
              {"applies(probe)", "whether a rule applies can be asked in rules only", ""});
    check_one(function("complete(pieces)", "yes_no"),
              {"pieces", "say whose list: `item.pieces`", ""});
}

TEST_CASE("typing: unknown stands for a value, and only where something is implied") {
    const auto implying = [](const std::string &value) {
        return "imply crate \"A standard\"\n  rating = " + value + "\n\n" + rule_that("sealed");
    };
    CHECK(trial::open(implying("if sealed then unknown otherwise 3 A")).book);
    CHECK(trial::open(implying("if sealed then 3 A otherwise unknown")).book);
    CHECK(trial::open(implying("if sealed then unknown otherwise unknown")).book);
    check_one(implying("unknown + 3 A"),
              {"unknown + 3 A", "`unknown` may stand only in", "nothing"});
    check_one(implying("if sealed then unknown otherwise 3 V"),
              {"3 V", "what `rating` is set to must be current, and this is voltage", ""});
    check_one(implying("if sealed then unknown otherwise lod"),
              {"lod", "`lod` is no field or definition of crate", "did you mean `load`?"});
    check_conditions(
        {{"load = unknown", "`unknown` may stand only in", "nothing can ask"},
         {"if sealed then 3 A otherwise 3 V", "`then` gives current and `otherwise` gives", ""}});
}

TEST_CASE("typing: an operand at fault is told once, whatever stands around it") {
    for (const char *condition :
         {"lod at most 1 A",
          "1 A at least lod",
          "lod from 1 A to 2 A",
          "load from lod to 2 A",
          "load from 1 A to lod",
          "lod + 1 A at most 2 A",
          "1 A + lod at most 2 A",
          "round_up(lod to 1 A) at most 2 A",
          "round_up(load to lod) at most 2 A",
          "larger_of(lod, 1 A) at most 2 A",
          "larger_of(1 A, lod) at most 2 A",
          "(if lod at most 1 A then load otherwise rating) at most 1 A",
          "(if sealed then lod otherwise rating) at most 1 A",
          "(if sealed then load otherwise lod) at most 1 A",
          "sealed and lod",
          "not lod",
          "lod is red",
          "any(p in pieces where p.lod : p.loose)",
          "any(p in pieces : p.lod)",
          "max(p in pieces : p.lod) at most 1 A",
          "half(lod) at most 1 A",
          "load at most table 310.16 [lod]",
          "load at most smallest(s in list 240.6(A) where s at most lod)"}) {
        const book::Opened opened = trial::open(declared + rule_that(condition));
        INFO(condition << "\n" << trial::faults(opened));
        REQUIRE(opened.diagnostics.size() == 1);
        CHECK(opened.diagnostics.list().front().code == "unknown-name");
    }
}
