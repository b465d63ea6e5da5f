// In which direction a changed text moves a rule: told for certain, or left open. Each line is an
// older and a newer requirement of one rule; the verdicts of a job can be compared by hand.

#include "book/compare.h"
#include "book/entails.h"
#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;

// What a rule is about, where it needs more than the words of the trial.
struct Sides {
    std::string older;
    std::string newer;
};

std::string effect_of(const std::string &older, const std::string &newer) {
    const book::Opened before = trial::open(older);
    const book::Opened after = trial::open(newer);
    INFO(trial::faults(before) << trial::faults(after));
    REQUIRE(before.book);
    REQUIRE(after.book);
    const auto rule = [](const book::Book &b) {
        return *std::find_if(b.rules.begin(), b.rules.end(),
                             [](const book::Rule &r) { return r.topic == "probe"; });
    };
    book::Entailment entailment(*before.book, *after.book);
    return book::effect_name(entailment.effect(rule(*before.book), rule(*after.book)));
}

std::string effect(const std::string &older, const std::string &newer, const Sides &more = {}) {
    return effect_of(more.older + trial::rule_that(older), more.newer + trial::rule_that(newer));
}

struct Line {
    const char *older;
    const char *newer;
    const char *effect;
    const char *back; // the other way round
};

void check(const std::vector<Line> &lines, const Sides &more = {}) {
    for (const Line &l : lines) {
        INFO(l.older << "  then  " << l.newer);
        CHECK(effect(l.older, l.newer, more) == l.effect);
        CHECK(effect(l.newer, l.older, {more.newer, more.older}) == l.back);
    }
}

// Of an upper bound: the smaller one is stricter.
void check_bounds(const std::vector<Line> &lines, const Sides &more = {}) {
    for (const Line &l : lines) {
        INFO(l.older << "  then  " << l.newer);
        const std::string older = std::string("load at most ") + l.older;
        const std::string newer = std::string("load at most ") + l.newer;
        CHECK(effect(older, newer, more) == l.effect);
        CHECK(effect(newer, older, {more.newer, more.older}) == l.back);
    }
}

} // namespace

TEST_CASE("entails: comparisons with constants, the bound itself in or out") {
    check({{"load at most 10 A", "load at most 9 A", "stricter", "laxer"},
           {"load at most 10 A", "load less than 10 A", "stricter", "laxer"},
           {"load less than 10 A", "load at most 9 A", "stricter", "laxer"},
           {"load more than 10 A", "load at least 11 A", "stricter", "laxer"},
           {"load more than 10 A", "load at least 10 A", "laxer", "stricter"},
           {"load at most 10 A", "10 A at least load", "none", "none"},
           {"not (load more than 10 A)", "load at most 10 A", "none", "none"},
           {"load at most 6 A", "load = 5 A", "open", "open"},
           {"load at least 4 A", "not (load = 3 A)", "laxer", "stricter"},
           {"load at least 4 A", "not (5 A = load)", "open", "open"},
           {"load at least 6 A", "load from 6 A to 8 A", "stricter", "laxer"},
           {"load at most 6 A", "not (load = 7 A)", "laxer", "stricter"},
           {"load at most 6 A", "width at most 6 in", "open", "open"},
           {"load at most 6 A", "not (sealed = approved)", "open", "open"},
           {"load at most 6 A", "supply at most 6 V", "open", "open"},
           {"wire at least 8 AWG", "wire at least 6 AWG", "stricter", "laxer"},
           {"made at least 2020-01-01", "made at least 2021-01-01", "stricter", "laxer"},
           {"sealed = approved", "sealed = sealed", "open", "open"},
           {"sealed", "yes", "laxer", "stricter"},
           {"sealed", "not approved", "open", "open"},
           {"sealed", "not sealed", "open", "open"},
           {"not sealed", "not (sealed or approved)", "stricter", "laxer"}});
}

TEST_CASE("entails: values grow with what they are made of, where that is certain") {
    check_bounds(
        {{"rating + 5 A", "rating + 4 A", "stricter", "laxer"},
         {"rating + 5 A", "supply / 1 ohm + 4 A", "open", "open"},
         {"rating / 2", "supply / 1 ohm / 3", "open", "open"},
         {"rating * (share / 2)", "rating * (share / 3)", "stricter", "laxer"},
         {"rating * smaller_of(share, 2)", "rating * smaller_of(share, 1)", "stricter", "laxer"},
         {"rating - 5 A", "rating - 6 A", "stricter", "laxer"},
         {"rating - 5 A", "supply / 1 ohm - 6 A", "open", "open"},
         {"rating * 2", "rating * 1.5", "stricter", "laxer"},
         {"rating * (share + 2)", "rating * (share + 1)", "stricter", "laxer"},
         // What can be below zero turns the order round.
         {"rating * (share - 1)", "rating * (share - 2)", "open", "open"},
         {"(share - 1) * rating", "(share - 2) * rating", "open", "open"},
         {"rating / 2", "rating / 3", "stricter", "laxer"},
         {"(rating - 1 A) / 2", "(rating - 1 A) / 3", "open", "open"},
         {"rating / (share - 2)", "rating / (share - 1)", "open", "open"},
         {"rating / share", "rating / larger_of(share - 1, share)", "open", "open"},
         {"rating / share", "rating / larger_of(share, 1)", "stricter", "laxer"}});
}

TEST_CASE("entails: the larger and the smaller of two lie where their parts put them") {
    check_bounds(
        {{"larger_of(rating, 5 A)", "larger_of(rating, 4 A)", "stricter", "laxer"},
         {"larger_of(rating, 5 A)", "rating", "stricter", "laxer"},
         {"larger_of(5 A, rating)", "rating", "stricter", "laxer"},
         {"larger_of(5 A, rating)", "6 A", "open", "open"},
         {"5 A", "larger_of(3 A, 4 A)", "stricter", "laxer"},
         {"5 A", "larger_of(rating, 4 A)", "open", "open"},
         {"smaller_of(rating, 5 A)", "smaller_of(rating, 4 A)", "stricter", "laxer"},
         {"rating", "smaller_of(rating, 5 A)", "stricter", "laxer"},
         {"rating", "smaller_of(5 A, rating)", "stricter", "laxer"},
         {"larger_of(rating)", "rating", "none", "none"},
         {"larger_of(rating, 5 A)", "larger_of(rating)", "stricter", "laxer"},
         {"larger_of(rating, 4 A, 9 A)", "larger_of(rating, 4 A, 5 A)", "stricter", "laxer"},
         {"smaller_of(rating, 4 A, 3 A)", "smaller_of(rating, 4 A, 2 A)", "stricter", "laxer"},
         {"smaller_of(rating, 4 A)", "smaller_of(4 A, 3 A, rating)", "stricter", "laxer"},
         {"smaller_of(6 A, 7 A)", "5 A", "stricter", "laxer"},
         {"smaller_of(6 A, rating)", "5 A", "open", "open"}});
}

TEST_CASE("entails: rounding keeps the order if the step is one") {
    for (const std::string round : {"round_down", "round_up", "round_nearest"}) {
        const std::string older = "load at most " + round + "(rating * 0.9 to 5 A)";
        INFO(round);
        CHECK(effect(older, "load at most " + round + "(rating * 0.8 to 5 A)") == "stricter");
        CHECK(effect(older, "load at most " + round + "(rating * 0.9 to 5 A)") == "none");
        CHECK(effect(older, "load at most " + round + "(rating * 0.8 to 1 A)") == "open");
        CHECK(effect(older, "load at most " + round + "(rating * share to 5 A)") == "open");
    }
}

TEST_CASE("entails: both branches of an if, under one condition") {
    check_bounds({{"(if sealed then 10 A otherwise 5 A)", "(if sealed then 9 A otherwise 5 A)",
                   "stricter", "laxer"},
                  {"(if sealed then 10 A otherwise 5 A)", "(if sealed then 9 A otherwise 6 A)",
                   "open", "open"},
                  {"(if sealed then 10 A otherwise 5 A)", "(if approved then 9 A otherwise 4 A)",
                   "open", "open"},
                  {"rating * (if sealed then 2 otherwise share)",
                   "rating * (if sealed then 1 otherwise share)", "stricter", "laxer"},
                  {"rating * (if sealed then 2 otherwise share - 1)",
                   "rating * (if sealed then 1 otherwise share - 1)", "open", "open"}});
    check({{"if sealed then load at most 5 A otherwise approved",
            "if sealed then load at most 4 A otherwise approved", "stricter", "laxer"},
           {"if sealed then load at most 5 A otherwise load at most 3 A",
            "if sealed then load at most 4 A otherwise load at most 4 A", "open", "open"},
           {"if sealed then load at most 5 A otherwise approved",
            "if approved then load at most 5 A otherwise approved", "open", "open"}});
}

TEST_CASE("entails: choices are compared by name, and only of one fact") {
    const std::string lamp = "item lamp in crate as lamps \"A lamp\"\n"
                             "  tint : one of (red, blue)  choice  \"Which tint?\"\n\n";
    check({{"colour is one of (red, green)", "colour is red", "stricter", "laxer"},
           {"colour is red", "colour is not green", "laxer", "stricter"},
           {"colour is red", "not (colour is red)", "open", "open"},
           {"colour = red", "colour = red", "none", "none"},
           {"colour = red", "colour = green", "open", "open"},
           {"colour is red", "work is new", "open", "open"},
           {"sealed = (colour is red)", "sealed = (colour is green)", "open", "open"},
           {"sealed = (colour is red)", "sealed = (colour is red)", "none", "none"},
           {"sealed = (colour is red)", "sealed = (colour is one of (red, green))", "open", "open"},
           {"any(l in lamps : l.tint is red)", "any(l in lamps : l.tint is blue)", "open", "open"}},
          {lamp, lamp});
}

TEST_CASE("entails: what holds for some or for all of a list") {
    check({{"any(p in pieces where p.loose : p.draw at most 2 A)",
            "any(p in pieces where p.loose : p.draw at most 1 A)", "stricter", "laxer"},
           {"any(p in pieces : p.loose)", "any(p in pieces where p.draw at most 2 A : p.loose)",
            "stricter", "laxer"},
           {"any(p in pieces where p.loose)", "any(p in pieces where p.loose : p.draw at most 2 A)",
            "stricter", "laxer"},
           {"any(p in pieces where p.loose)", "any(p in pieces : p.draw at most 2 A)", "open",
            "open"},
           {"all(p in pieces where p.loose : p.draw at most 2 A)",
            "all(p in pieces : p.draw at most 2 A)", "stricter", "laxer"},
           {"all(p in pieces where p.loose : p.draw at most 2 A)",
            "all(p in pieces where p.loose : p.draw at most 1 A)", "stricter", "laxer"},
           {"all(p in pieces : p.loose)", "any(p in pieces : p.loose)", "open", "open"},
           {"any(p in pieces : p.loose)", "any(c in job.crates : c.sealed)", "open", "open"},
           {"all(p in pieces : p.loose)", "all(c in job.crates : c.sealed)", "open", "open"},
           {"complete(pieces)", "complete(pieces)", "none", "none"},
           {"complete(pieces)", "complete(job.crates)", "open", "open"}});
    check({{"count(p in pieces where p.loose) at most 3", "count(p in pieces) at most 3",
            "stricter", "laxer"},
           {"count(p in pieces where p.loose) at most 3",
            "count(p in pieces where p.loose) at most 2", "stricter", "laxer"},
           {"count(p in pieces where p.loose) at most 3",
            "count(p in pieces where p.draw at most 1 A) at most 3", "open", "open"},
           {"count(p in pieces) at most 3", "count(c in job.crates) at most 3", "open", "open"},
           {"sum(p in pieces : p.draw) at most 3 A", "sum(p in pieces : p.draw) at most 2 A",
            "stricter", "laxer"},
           {"sum(p in pieces : p.draw) at most 3 A",
            "sum(p in pieces where p.loose : p.draw) at most 3 A", "open", "open"},
           {"load at most rating * count(p in pieces where p.loose)",
            "load at most rating * count(p in pieces where p.loose and p.draw at most 2 A)",
            "stricter", "laxer"}});
}

TEST_CASE("entails: the smallest and the largest of longer lists") {
    const auto list = [](const std::string &values) {
        return "list 240.6(A) \"L\" of current\n  = " + values + "\n\n";
    };
    const Sides longer = {list("15 A, 20 A"), list("15 A, 18 A, 20 A")};
    const Sides other = {list("15 A, 20 A"), list("15 A, 18 A")};
    const char *least = "smallest(s in list 240.6(A) where s at least rating)";
    const char *most = "largest(s in list 240.6(A) where s at most rating)";
    check_bounds({{least, least, "stricter", "laxer"}, {most, most, "laxer", "stricter"}}, longer);
    check_bounds({{least, least, "open", "open"}, {most, most, "open", "open"}}, other);
    const Sides same = {list("15 A, 20 A"), list("15 A, 20 A")};
    check_bounds(
        {{least, least, "none", "none"},
         {least, "smallest(s in list 240.6(A) where s at least rating + 1 A)", "open", "open"},
         {"smallest(s in list 240.6(A) where s at least rating + 1 A)",
          "smallest(s in list 240.6(A) where s at least rating + 2 A)", "laxer", "stricter"},
         {least, "smallest(s in list 240.6(A))", "stricter", "laxer"},
         {most, "largest(s in list 240.6(A))", "laxer", "stricter"},
         {least, most, "open", "open"}},
        same);
    // A search within another one is another than the same one by itself.
    const std::string lowest_define =
        "define crate.lowest : current = " + std::string(least) + "\n\n";
    check_bounds(
        {{"smallest(s in list 240.6(A) where s at least lowest)",
          "smallest(s in list 240.6(A) where s at least smallest(t in list 240.6(A) where t "
          "at least rating))",
          "open", "open"},
         {"smallest(s in list 240.6(A) where not (s = lowest))",
          "smallest(s in list 240.6(A) where not (s = smallest(t in list 240.6(A) where t "
          "at least rating)))",
          "open", "open"}},
        {same.older + lowest_define, same.newer + lowest_define});
    // An inner search's element is not the outer one's.
    check_bounds(
        {{"smallest(s in list 240.6(A) where s at least smallest(t in list 240.6(A) where t "
          "at least rating))",
          "smallest(s in list 240.6(A) where s at least smallest(t in list 240.6(A) where s "
          "at least rating))",
          "open", "open"},
         {"smallest(s in list 240.6(A) where s at least smallest(t in list 240.6(A)))",
          "smallest(s in list 240.6(A) where s at least rating)", "open", "open"}},
        same);
}

TEST_CASE("entails: look-ups in tables of one shape, cell by cell") {
    const auto table = [](const std::string &text) { return "table 310.16 \"T\"\n" + text + "\n"; };
    const std::string base = "  gives low : current, high : current\n  by wire : conductor_size, "
                             "sealed : yes_no\n  8 AWG | yes | 40 A | 50 A\n"
                             "  8 AWG | no | 35 A | --\n";
    const auto changed = [&](const std::string &from, const std::string &to) {
        std::string text = base;
        const std::size_t at = text.find(from);
        REQUIRE(at != std::string::npos);
        return Sides{table(base), table(text.replace(at, from.size(), to))};
    };
    const char *any = "table 310.16 [wire, sealed].low";
    const char *open = "table 310.16 [wire, no].low";
    const char *one = "table 310.16 [8 AWG, no].low";
    check_bounds({{one, one, "none", "none"}}, changed("40 A", "39 A"));
    check_bounds({{one, one, "laxer", "stricter"}}, changed("35 A", "36 A"));
    check_bounds({{any, any, "stricter", "laxer"}, {open, open, "none", "none"}},
                 changed("40 A", "39 A"));
    check_bounds({{any, any, "laxer", "stricter"}, {open, open, "laxer", "stricter"}},
                 changed("35 A", "36 A"));
    // An empty cell is no small one.
    check_bounds(
        {{"table 310.16 [wire, sealed].high", "table 310.16 [wire, sealed].high", "open", "open"},
         {any, any, "none", "none"}},
        changed("--", "60 A"));
    check_bounds({{any, "table 310.16 [wire, sealed].high", "open", "open"},
                  {any, "table 310.16 [wire, approved].low", "open", "open"},
                  {open, "table 310.16 [wire, yes].low", "open", "open"},
                  {any, any, "none", "none"}},
                 {table(base), table(base)});
    for (const auto &[from, to] : std::vector<std::pair<std::string, std::string>>{
             {"8 AWG | no", "6 AWG | no"}, // another row
             {"8 AWG | no | 35 A | --", "6 AWG | no | 35 A | --\n  6 AWG | yes | 1 A | 1 A"}}) {
        INFO(to);
        check_bounds({{any, any, "open", "open"}}, changed(from, to));
    }
    const Sides swapped = {table(base), table("  gives high : current, low : current\n"
                                              "  by wire : conductor_size, sealed : yes_no\n"
                                              "  8 AWG | yes | 50 A | 40 A\n"
                                              "  8 AWG | no | -- | 36 A\n")};
    check_bounds(
        {{any, any, "laxer", "stricter"},
         {"table 310.16 [wire, sealed].high", "table 310.16 [wire, sealed].high", "none", "none"}},
        swapped);
    const Sides key = {table("  gives current\n  by load : current\n  5 A | 1 A\n"),
                       table("  gives current\n  by load : current\n  6 A | 1 A\n")};
    check_bounds({{"table 310.16 [rating]", "table 310.16 [rating]", "open", "open"}}, key);
    const Sides match = {table("  gives current\n  by load : current at most\n  5 A | 1 A\n"),
                         table("  gives current\n  by load : current at least\n  5 A | 1 A\n")};
    check_bounds({{"table 310.16 [rating]", "table 310.16 [rating]", "open", "open"}}, match);
    const Sides keys = {
        table("  gives current\n  by load : current\n  5 A | 1 A\n"),
        table("  gives current\n  by load : current, volts : voltage\n  5 A | 1 V | 1 A\n")};
    check_bounds({{"table 310.16 [rating]", "table 310.16 [rating, supply]", "open", "open"}},
                 keys);
    const Sides wider = {
        table("  gives low : current\n  by load : current\n  5 A | 1 A\n"),
        table("  gives low : current, high : current\n  by load : current\n  5 A | 1 A | 2 A\n")};
    check_bounds({{"table 310.16 [rating].low", "table 310.16 [rating].low", "open", "open"}},
                 wider);
    const std::string factors =
        table("  gives number\n  by sealed : yes_no\n  yes | 1\n  no | 2\n");
    check_bounds({{"rating * 3 * table 310.16 [sealed]", "rating * 2 * table 310.16 [sealed]",
                   "stricter", "laxer"}},
                 {factors, factors});
}

TEST_CASE("entails: functions are known by what they make of their values") {
    const auto part = [](const std::string &more) {
        return "define share_of(i : current) : current = i + " + more + "\n\n";
    };
    const Sides smaller = {part("2 A"), part("1 A")};
    check_bounds({{"share_of(rating)", "share_of(rating)", "stricter", "laxer"},
                  {"share_of(rating)", "share_of(rating * 2)", "open", "open"},
                  {"share_of(rating) - load", "share_of(rating) - load", "stricter", "laxer"}},
                 smaller);
    check({{"load = share_of(rating)", "load = share_of(rating)", "open", "open"}}, smaller);
    const Sides same = {part("2 A"), part("2 A")};
    check({{"load = share_of(rating)", "load = share_of(rating)", "none", "none"},
           {"load = share_of(rating)", "load = share_of(load)", "open", "open"}},
          same);
    const std::string two_values = "define share_of(i : current, n : number) : current = i * n\n\n";
    check_bounds({{"share_of(rating)", "share_of(rating, 0.9)", "open", "open"}},
                 {part("2 A"), two_values});
    const std::string two = part("2 A") + "define other(i : current) : current = i + 2 A\n\n";
    check({{"load at most share_of(rating)", "load at most other(rating)", "open", "open"},
           {"load = share_of(rating)", "load = other(rating)", "open", "open"}},
          {two, two});
    const auto fixed = [](const std::string &type) {
        return "define two_of(i : " + type + ") : number = 2\n\n";
    };
    check({{"share = two_of(5 A)", "share = two_of(8 AWG)", "open", "open"}},
          {fixed("current"), fixed("conductor_size")});
    // A definition of an item gives way to its value.
    const std::string define = "define crate.spare : current = rating - load\n\n";
    check({{"spare at least 5 A", "rating - load at least 6 A", "stricter", "laxer"}},
          {define, define});
}

TEST_CASE("entails: a difference of temperatures may be below zero") {
    const std::string lamp = "item lamp in crate as lamps \"A lamp\"\n"
                             "  drop : temperature_difference  measure  \"How much cooler?\"\n\n"
                             "rule 1.2 \"Lamps\"\n  topic probe\n  for lamp\n  shall ";
    const auto rule = [&](const std::string &factor) {
        return lamp + "drop * " + factor + " at least 5 °C rise\n  says \"No.\"\n\n";
    };
    CHECK(effect_of(rule("2"), rule("3")) == "open");
    CHECK(effect_of(rule("2"), rule("2")) == "none");
}

TEST_CASE("entails: rules that apply under other rules, force, items and kinds of work") {
    const auto other = [](const std::string &condition, const std::string &item = "crate") {
        return "rule 1.2 \"Other\"\n  topic other\n  for " + item + "\n  where " + condition +
               "\n  shall " + (item == "crate" ? "sealed" : "permit_date at least 2020-01-01") +
               "\n  says \"x\"\n\n";
    };
    check({{"applies(other)", "applies(other)", "stricter", "laxer"},
           {"sealed = applies(other)", "sealed = applies(other)", "open", "open"}},
          {other("load at most 5 A"), other("load at most 4 A")});
    check({{"applies(other)", "applies(other)", "none", "none"},
           {"sealed = applies(other)", "sealed = applies(other)", "none", "none"},
           {"sealed = applies(other)", "approved = applies(other)", "open", "open"}},
          {other("load at most 5 A"), other("load at most 5 A")});
    const std::string new_only = "rule 1.2 \"Other\"\n  topic other\n  binds new\n  for crate\n"
                                 "  where load at most 5 A\n  shall sealed\n  says \"x\"\n\n";
    check({{"applies(other)", "applies(other)", "stricter", "laxer"}},
          {other("load at most 5 A"), new_only});
    check({{"applies(other)", "applies(other)", "open", "open"}},
          {other("load at most 5 A"), other("permit_date at least 2020-01-01", "job")});

    const auto probe = [](const std::string &lines, const std::string &item = "crate",
                          const std::string &parts = "") {
        return "rule 1.1 \"A probe\"\n  topic probe\n  for " + item + "\n" + lines +
               "  says \"No.\"\n" + parts + "\n";
    };
    CHECK(effect_of(probe("  should sealed\n"), probe("  shall sealed\n")) == "stricter");
    CHECK(effect_of(probe("  shall sealed\n"), probe("  should sealed\n")) == "laxer");
    CHECK(effect_of(probe("  should sealed\n"), probe("  should approved\n")) == "none");
    CHECK(effect_of(probe("  shall work is new\n"), probe("  shall work is new\n", "piece")) ==
          "open");
    CHECK(effect_of(probe("  binds new\n  shall sealed\n"), probe("  shall sealed\n")) ==
          "stricter");
    CHECK(effect_of(probe("  binds new\n  shall sealed\n"),
                    probe("  binds replaced\n  shall sealed\n")) == "open");
    const auto excepted = [&](const std::string &title) {
        return probe("  shall sealed\n", "crate",
                     "  except 1 not encoded \"" + title + "\" where approved\n");
    };
    CHECK(effect_of(excepted("One"), excepted("One")) == "none");
    CHECK(effect_of(excepted("One"), excepted("Two")) == "open");
}

TEST_CASE("entails: two rules have one scope only if they bind the same kinds of work too") {
    const auto scope = [](const std::string &binds) {
        return "rule 1.1 \"A probe\"\n  topic probe\n  for crate\n" + binds +
               "  where sealed\n  shall approved\n  says \"No.\"\n\n";
    };
    const auto same = [](const std::string &older, const std::string &newer) {
        const book::Opened before = trial::open(older);
        const book::Opened after = trial::open(newer);
        REQUIRE(before.book);
        REQUIRE(after.book);
        return book::Entailment(*before.book, *after.book)
            .same_scope(before.book->rules.front(), after.book->rules.front());
    };
    CHECK(same(scope(""), scope("  binds new, altered\n")));
    CHECK_FALSE(same(scope(""), scope("  binds new\n")));
    CHECK_FALSE(same(scope("  binds new\n"), scope("")));
}

TEST_CASE("entails: what a limit does by itself, where a requirement counts and reads it") {
    const auto rule = [](const std::string &lines) {
        return "rule 1.1 \"A probe\"\n  topic probe\n  for crate\n" + lines + "  says \"No.\"\n\n";
    };
    const auto of_limit = [](const std::string &older, const std::string &newer) {
        const book::Opened before = trial::open(older);
        const book::Opened after = trial::open(newer);
        REQUIRE(before.book);
        REQUIRE(after.book);
        book::Entailment entailment(*before.book, *after.book);
        return std::string(book::effect_name(entailment.effect_of_limit(
            before.book->rules.front(), 0, after.book->rules.front(), 0)));
    };
    const std::string five = rule("  limit cap = 5 A\n  shall load at most cap\n");
    const std::string four = rule("  limit cap = 4 A\n  shall load at most cap\n");
    CHECK(of_limit(five, four) == "stricter");
    CHECK(of_limit(four, five) == "laxer");
    const auto factor = [&](const std::string &value) {
        return rule("  limit factor = " + value + "\n  shall load at most rating * factor\n");
    };
    CHECK(of_limit(factor("2"), factor("1")) == "stricter");
    CHECK(of_limit(five, rule("  limit cap = 4 A\n  shall sealed\n")) == "open");
    CHECK(of_limit(rule("  limit cap = 5 A\n  should load at most cap\n"), four) == "open");
}
