// Comparisons where only one book has a thing, or where little of it differs.

#include "trial.h"

#include "book/compare.h"
#include "book/digest.h"

#include "catch.h"

namespace {

using namespace groundrule;

const std::string base = R"(type shade : one of (pale, dark, black)

group gloomy of shade = (dark, black)

item lamp in job as lamps "A lamp"
  shade : shade   choice   "Which shade?"
  draw  : current measure  "How much does it draw?"

imply lamp "A"
  draw = if shade is pale then 1 A otherwise unknown

table "sizes" "T"
  gives current
  by    load : current at most, sealed : yes_no
  10 A | yes | 1 A
  10 A | no  | 2 A
  20 A | yes | 3 A
  20 A | no  | 4 A

table 310.16 "T"
  gives shade
  by    wire : conductor_size
  8 AWG | pale
  6 AWG | --

list 240.6(A) "L" of current
  = 15 A, 20 A

define crate.twice : current
  = load * 2

rule 2.1 "Lamps"
  topic    lamps
  for      lamp
  binds    new, altered
  shall    draw at most 2 A
  says     "Too much."
  listed   (1) "Gloomy ones" where shade is gloomy
  except   1 not encoded "Old ones" where shade is black
  except   not encoded
  except   2 where draw at most 0.1 A

rule 2.2 "Sizes"
  topic    sizes
  for      crate
  should   load at most table "sizes" [15 A, sealed]
  says     "Too much."

rule 2.3 "Twice"
  topic    twice
  for      crate
  shall    twice at most smallest(x in list 240.6(A) where x at least 16 A)
  says     "Too much."

rule 2.4 "Ways"
  topic    ways
  for      crate
  says     "No way."
  path     (1) where sealed
  path     (2) where approved

gap 3.1 "One"
)";

struct Compared {
    book::Opened before;
    book::Opened after;
    book::Comparison comparison;
};

const book::Comparison &compared(const std::string &older, const std::string &newer) {
    static std::vector<std::unique_ptr<Compared>> kept; // a comparison points into its books
    kept.push_back(
        std::make_unique<Compared>(Compared{trial::open(older), trial::open(newer), {}}));
    Compared &c = *kept.back();
    INFO(trial::faults(c.before) << trial::faults(c.after));
    REQUIRE(c.before.book);
    REQUIRE(c.after.book);
    c.comparison = book::compare(*c.before.book, *c.after.book);
    return c.comparison;
}

std::string replaced(std::string text, const std::string &from, const std::string &to) {
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

std::string changes(const std::vector<book::Change> &list) {
    std::string out;
    for (const book::Change &c : list)
        out += std::string("\n  ") + book::aspect_name(c.aspect) + " " + c.name + ": " + c.from +
               " > " + c.to + " (" + book::effect_name(c.effect) + ")";
    return out;
}

// Rules, then what they share, then gaps; each with its changes below it.
std::string told(const book::Comparison &c) {
    std::string out;
    for (const book::RuleChange &r : c.rules)
        out += std::string(out.empty() ? "" : "\n") + book::rule_kind_name(r.kind) + " " + r.topic +
               " " + book::effect_name(r.effect) + changes(r.changes);
    for (const book::SharedChange &s : c.shared)
        out += std::string(out.empty() ? "" : "\n") + book::shared_kind_name(s.kind) + " " +
               s.before + " > " + s.after + changes(s.changes);
    for (const book::Gap &g : c.gaps_added)
        out += (out.empty() ? "" : "\n") + std::string("gap > ") + g.citation;
    for (const book::Gap &g : c.gaps_removed)
        out += (out.empty() ? "" : "\n") + std::string("gap < ") + g.citation;
    CHECK(out.empty() == c.same());
    return out;
}

std::string edited(const std::string &from, const std::string &to) {
    return told(compared(base, replaced(base, from, to)));
}

// What is told if only the newer book has it, and if only the older one.
std::string added(const std::string &text) {
    const std::string more = base + "\n" + text;
    return told(compared(base, more)) + "\n" + told(compared(more, base));
}

} // namespace

TEST_CASE("books that differ in one thing alone are not the same") {
    CHECK(edited("gap 3.1 \"One\"", "gap 3.1 \"Other words\"") == "gap > 3.1\ngap < 3.1");
    CHECK(added("gap 3.2 \"Two\"\n") == "gap > 3.2\ngap < 3.2");
    CHECK(edited("table 310.16 \"T\"\n", "table 310.16 \"T\" numbered 310.17 in trial-1\n") ==
          "table Table 310.16 > Table 310.17");
    CHECK(edited("gap 3.1 \"One\"\n", "") == "gap < 3.1");
}

TEST_CASE("a thing that one book alone has is told as come or gone") {
    CHECK(added("item shelf in job as shelves\n  long : length measure \"How long?\"\n") ==
          "item  > shelf\nitem shelf > ");
    CHECK(added("group pales of shade = (pale)\n") == "group  > pales\ngroup pales > ");
    CHECK(added("table \"more\" \"T\"\n  gives current\n  by a : current\n  1 A | 1 A\n") ==
          "table  > Table \"more\"\ntable Table \"more\" > ");
    CHECK(added("list 9.1 \"L\" of current\n  = 1 A\n") == "list  > List 9.1\nlist List 9.1 > ");
    CHECK(added("define crate.half : current\n  = load / 2\n") ==
          "definition  > crate.half\ndefinition crate.half > ");
    CHECK(added("define half_of(i : current) : current\n  = i / 2\n") ==
          "definition  > half_of\ndefinition half_of > ");
    const std::string field = "  draw  : current measure";
    const std::string more = "  bulb  : yes_no choice \"Any?\"\n" + field;
    CHECK(edited(field, more) == "field  > lamp.bulb");
    CHECK(told(compared(replaced(base, field, more), base)) == "field lamp.bulb > ");
}

TEST_CASE("what implies a fact is told with all that does") {
    const std::string second = "imply lamp \"B\"\n  draw = if shade is dark then 2 A otherwise "
                               "unknown\n";
    const std::string one = "if shade is pale then 1 A otherwise unknown";
    const std::string two = one + "; if shade is dark then 2 A otherwise unknown";
    const std::string more = base + "\n" + second;
    CHECK(told(compared(base, more)).find("\n  value : " + one + " > " + two) != std::string::npos);
    CHECK(told(compared(more, base)).find("\n  value : " + two + " > " + one) != std::string::npos);
}

TEST_CASE("force and work: from advice, and where more and less come together") {
    const std::string sizes = "should   load at most table";
    CHECK(edited(sizes, "shall    load at most table") ==
          "changed sizes stricter\n  force : should > shall (stricter)");
    CHECK(edited(sizes, "information load at most table") ==
          "changed sizes none\n  force : should > information (none)");
    const std::string binds = "binds    new, altered";
    CHECK(edited(binds, "binds    new") ==
          "changed lamps laxer\n  work : new, altered > new (laxer)");
    CHECK(edited(binds, "binds    new, altered, existing") ==
          "changed lamps stricter\n  work : new, altered > new, altered, existing (stricter)");
    CHECK(edited(binds, "binds    new, replaced") ==
          "changed lamps open\n  work : new, altered > new, replaced (open)");
}

TEST_CASE("parts: titles, labels, and what is not written out") {
    CHECK(edited("\"Gloomy ones\"", "\"Dark ones\"") ==
          "reworded lamps none\n  title (1): Gloomy ones > Dark ones (none)");
    CHECK(edited("(1) \"Gloomy ones\" where", "(1) where") ==
          "reworded lamps none\n  title (1): Gloomy ones >  (none)");
    CHECK(edited("1 not encoded \"Old ones\" where shade is black",
                 "1 not encoded \"Old ones\" where shade is dark") ==
          "changed lamps open\n  exception Exception No. 1: Old ones (not encoded): shade is black "
          "> Old ones (not encoded): shade is dark (open)");
    CHECK(edited("1 not encoded \"Old ones\" where shade is black", "1 not encoded \"Old ones\"")
              .find("exception Exception No. 1: Old ones (not encoded): shade is black > Old ones "
                    "(not encoded) (") != std::string::npos);
    CHECK(edited("  except   not encoded\n", "  except   not encoded \"Those\"\n")
              .find("exception Exception:  (not encoded) > ") != std::string::npos);
    CHECK(edited("2 where draw at most 0.1 A", "2 where draw at most 0.2 A") ==
          "changed lamps none\n  exception Exception No. 2: draw at most 0.1 A > draw at most 0.2 "
          "A (laxer)");
    CHECK(edited("path     (1) where sealed\n  path     (2) where approved\n",
                 "path     (1) where approved\n  path     (2) where sealed\n")
              .find("path (1), now (2)") != std::string::npos);
    CHECK(
        edited("  path     (2) where approved\n", "  path     (3) where wire at least 8 AWG\n") ==
        "changed ways open\n  path (2): approved >  (stricter)\n  path (3):  > wire at least 8 AWG "
        "(laxer)");
}

TEST_CASE("what rules share is told with the layer that its newer text came from") {
    const book::Opened before = trial::open(base);
    const book::Opened after =
        trial::open(base, {"add to group gloomy = (pale)\n\n"
                           "change table \"sizes\" [10 A, yes] from 1 A to --\n\n"
                           "change table \"sizes\" [20 A, no] from 4 A to 5 A\n"});
    INFO(trial::faults(after));
    REQUIRE(before.book);
    REQUIRE(after.book);
    std::string out;
    for (const book::SharedChange &s : book::compare(*before.book, *after.book).shared) {
        for (const book::Change &c : s.changes)
            out += c.from + " > " + c.to + " @" + c.layer + "\n";
    }
    CHECK(out == " > pale @layer-1\n1 A >  @\n4 A > 5 A @layer-1\n");
}

TEST_CASE("tables: keys that come, go and are matched otherwise") {
    const std::string keys = "by    load : current at most, sealed : yes_no\n"
                             "  10 A | yes | 1 A\n  10 A | no  | 2 A\n"
                             "  20 A | yes | 3 A\n  20 A | no  | 4 A\n";
    const std::string call = "table \"sizes\" [15 A, sealed]";
    const std::string one =
        replaced(replaced(base, keys, "by    load : current at most\n  10 A | 1 A\n  20 A | 3 A\n"),
                 call, "table \"sizes\" [15 A]");
    CHECK(told(compared(base, one)).find("\n  key : sealed : yes_no >  (open)") !=
          std::string::npos);
    CHECK(told(compared(one, base)).find("\n  key :  > sealed : yes_no (open)") !=
          std::string::npos);
    // Of an exact key a constant reads one row; of a bound, whichever its value falls under.
    CHECK(edited("load : current at most,", "load : current at least,")
              .starts_with("changed_through sizes none"));
    CHECK(edited("20 A | yes | 3 A", "20 A | yes | 9 A").starts_with("changed_through sizes"));
    CHECK(edited("list 240.6(A) \"L\" of current\n  = 15 A, 20 A",
                 "list 240.6(A) \"L\" of current\n  = 16 A, 20 A")
              .starts_with("changed_through twice"));
}

TEST_CASE("the digest moves with an empty cell of a table that gives choices") {
    const auto digest = [](const std::string &text) {
        const book::Opened opened = trial::open(text);
        REQUIRE(opened.book);
        return book::digest_of(*opened.book);
    };
    const std::string filled = replaced(base, "6 AWG | --", "6 AWG | pale");
    CHECK(digest(base) == digest(base));
    CHECK(digest(base) != digest(filled));
    CHECK(digest(filled) != digest(replaced(base, "6 AWG | --", "6 AWG | dark")));
}
