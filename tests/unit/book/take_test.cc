// Text taken from another edition: it goes on reading the figures, definitions and words of that
// edition where they differ, and the rules that stay go on reading theirs.

#include "trial.h"

#include "book/digest.h"
#include "book/show.h"

#include "catch.h"

#include <map>
#include <set>

namespace {

using namespace groundrule;

const std::string words = trial::vocabulary + R"(
type sort : one of (drums, horns, flutes)

item chest in job as chests "A chest on wheels"
  sort    : sort    choice  "Which sort?"
  load    : current measure "How much does it draw?"
  rating  : current look_up "What is it rated for?"
  carries : current look_up "What does it say that it carries?"
  locked  : yes_no  measure "Is it locked?"

item drawer in chest as drawers "A drawer"
  spare : current measure "What is spare in it?"
)";

// What both editions tell in the same words, about figures and words of their own. Crates have
// definitions that are called as facts and elements are here.
const std::string shared = R"(
define chest.most_of_load : current "What the table gives"
  = table 20.1 [sort]

define chest.loud : yes_no
  = sort is one of (noisy, flutes)

define step_for(i : current) : current
  = smallest(s in list 20.6 where s at least i)

define crate.carries : current
  = spare * 2

clause 20.0 "Chests that are locked"
  topic  locked_chests
  for    chest
  limit  lowest = 4 A
  where  locked : locked

rule 20.1 "Load"
  topic  chest_load
  for    chest
  displaces chest_rest
  shall  load at most most_of_load
  says   "{load} is over {most_of_load}."
         "Unload {{it}."

rule 20.2 "Steps"
  topic  chest_steps
  for    chest
  shall  rating at most step_for(load)
  says   "{rating} is over {step_for(load)}."

rule 20.3 "Loud ones"
  topic  chest_loud
  within locked_chests
  shall  carries at least lowest
  says   "Too little."
  listed (1) "Loud" where loud says "It carries {carries}; the table gives {most_of_load}."
  except 1 "Small" where load at most 1 A
  except 2 not encoded "Those of the authority"

rule 20.4 "All others"
  topic  chest_rest
  for    chest
  shall  load at most 2 A
  says   "Over 2 A."

rule 20.5 "Drawers"
  topic  chest_drawers
  for    chest
  shall  all(spare in drawers : spare.spare at least 1 A)
  says   "Too little is spare."

rule 20.6 "At once"
  topic  chest_at_once
  for    chest
  limit  spare = 6 A
  shall  table 20.1 [sort] at least spare
  says   "The table gives {table 20.1 [sort]}."

rule 30.1 "What stays"
  topic  stays
  for    chest
  shall  load at most most_of_load
  says   "{load} is over {most_of_load}."
)";

const std::string old_text = R"(edition old-1
  title "Old"

group noisy of sort = (drums, horns)

table 20.1 "Loads"
  gives current
  by    sort : sort
  drums  | 5 A
  horns  | 8 A

list 20.6 "Steps" of current
  = 10 A, 30 A

define crate.spare : current
  = rating - load
)" + shared;

const std::string new_text = R"(edition new-2
  title "New"

group noisy of sort = (drums)

table 20.1 "Loads"
  gives current
  by    sort : sort
  drums  | 7 A
  horns  | 8 A

list 20.6 "Steps" of current
  = 10 A, 20 A, 30 A

define crate.spare : current
  = rating
)" + shared;

book::Opened opened(const std::string &amendment, const std::string &older = old_text,
                    const std::string &newer = new_text) {
    return book::open_book(
        "new-2+city",
        {{"words.rules", words},
         {"old.rules", older},
         {"new.rules", newer},
         {"city.rules", "amendment city to new-2\n  title \"City\"\n\n" + amendment}});
}

std::string without(const std::string &text, const std::string &part) {
    const std::size_t at = text.find(part);
    REQUIRE(at != std::string::npos);
    return text.substr(0, at) + text.substr(at + part.size());
}

// What a book says of a chest: the verdict, and the message if it is violated.
std::string of_chest(const trial::Compiled &c, const std::string &topic, const std::string &facts) {
    const report::Report r =
        trial::check(c, R"({"work":"new","chests":[{)" + facts + "}],\"complete\":[]}");
    for (const report::Finding &f : r.findings) {
        if (r.book->rules[f.rule].topic == topic)
            return report::verdict_name(f.verdict) +
                   (f.verdict == Verdict::violates ? std::string(": ") + f.says : "");
    }
    return "no finding";
}

std::string taken(const std::string &amendment, const std::string &topic,
                  const std::string &facts) {
    return of_chest(trial::compiled(opened(amendment)), topic, facts);
}

const std::string drums_of_6_a = R"("sort":"drums","load":"6 A")";

} // namespace

TEST_CASE(
    "take: a rule that is taken reads its own edition's table, and what stays reads the other") {
    const std::string rule = "take rule 20.1 from old-1\n";
    CHECK(taken("", "chest_load", drums_of_6_a) == "complies");
    CHECK(taken(rule, "chest_load", drums_of_6_a) == "violates: 6 A is over 5 A.\nUnload {it}.");
    CHECK(taken(rule, "stays", drums_of_6_a) == "complies");
    // What a layer changes is the table that stands under the number.
    const std::string lower = rule + "\nchange table 20.1 [drums] from 7 A to 4 A\n";
    CHECK(taken(lower, "chest_load", drums_of_6_a).starts_with("violates: 6 A is over 5 A."));
    CHECK(taken(lower, "stays", drums_of_6_a) == "violates: 6 A is over 4 A.");
}

TEST_CASE("take: lists, groups and definitions come along where they differ") {
    const std::string load = R"("load":"15 A","rating":"30 A")";
    CHECK(taken("", "chest_steps", load) == "violates: 30 A is over 20 A.");
    CHECK(taken("take section 20.2 from old-1\n", "chest_steps", load) == "complies");
    const std::string horns = R"("sort":"horns","load":"3 A","carries":"2 A","locked":true)";
    CHECK(taken("", "chest_loud", horns) == "not_applicable");
    CHECK(taken("take rule 20.3 from old-1\n", "chest_loud", horns).starts_with("undetermined"));
}

TEST_CASE("take: what stands within a clause comes with the clause's scope, limits and message") {
    const std::string rule = "take rule 20.3 from old-1\n\ndelete exception 2 of rule 20.3\n";
    const auto loud = [&](const std::string &facts) {
        return taken(rule, "chest_loud", R"("sort":"drums","load":"3 A",)" + facts);
    };
    CHECK(loud(R"("locked":true,"carries":"4 A")") == "complies");
    CHECK(loud(R"("locked":true,"carries":"3 A")") ==
          "violates: It carries 3 A; the table gives 5 A.");
    CHECK(loud(R"("locked":false,"carries":"3 A")") == "not_applicable");
    const book::Opened scopeless = opened(
        "take rule 20.3 from old-1\n",
        without(old_text, "clause 20.0 \"Chests that are locked\"\n  topic  locked_chests\n"
                          "  for    chest\n  limit  lowest = 4 A\n  where  locked : locked\n"));
    CHECK(trial::faults(scopeless).find(
              "old-1 has no clause with the topic `locked_chests`, within which rule 20.3 "
              "(chest_loud) stands") != std::string::npos);
}

TEST_CASE(
    "take: a fact, an element or a limit is no definition that another item has by its name") {
    const trial::Compiled c = trial::compiled(opened("take article 20 from old-1\n"));
    CHECK(of_chest(c, "chest_at_once", R"("sort":"drums")") == "violates: The table gives 5 A.");
    CHECK(of_chest(c, "chest_drawers", R"("drawers":[{"spare":"2 A"},{"spare":"0.5 A"}])") ==
          "violates: Too little is spare.");
}

TEST_CASE("take: what a taken rule displaces is displaced, also where that is taken behind it") {
    const trial::Compiled c = trial::compiled(opened("take article 20 from old-1\n"));
    CHECK(of_chest(c, "chest_rest", drums_of_6_a) == "not_applicable");
    const trial::Compiled alone = trial::compiled(opened("take rule 20.1 from old-1\n"));
    CHECK(of_chest(alone, "chest_rest", drums_of_6_a) == "not_applicable");
    // What neither book has needs no displacing.
    const std::string rest = "rule 20.4 \"All others\"\n  topic  chest_rest\n  for    chest\n"
                             "  shall  load at most 2 A\n  says   \"Over 2 A.\"\n";
    const std::string displaces = "  displaces chest_rest\n";
    const trial::Compiled none = trial::compiled(opened(
        "take rule 20.1 from old-1\n", old_text, without(without(new_text, rest), displaces)));
    CHECK(of_chest(none, "chest_load", drums_of_6_a).starts_with("violates"));
    CHECK(of_chest(none, "chest_rest", drums_of_6_a) == "no finding");
}

TEST_CASE("take: what the edition at hand does not have comes under its own name") {
    const std::string newer = "edition new-2\n  title \"New\"\n\nrule 1.1 \"Own\"\n  topic own\n"
                              "  for chest\n  shall locked\n  says \"Open.\"\n";
    const book::Opened whole = opened("take article 20 from old-1\n", old_text, newer);
    INFO(trial::faults(whole));
    REQUIRE(whole.book);
    const std::string printed = book::printed_book(*whole.book);
    CHECK(printed.find("group noisy of sort @city") != std::string::npos);
    CHECK(printed.find("table 20.1 \"Loads\"") != std::string::npos);
    CHECK(printed.find("list 20.6 \"Steps\"") != std::string::npos);
    CHECK(printed.find("old_1") == std::string::npos);
    CHECK(printed.find("of old-1") == std::string::npos);
    // A definition that only they have reads their list, which differs.
    const book::Opened function =
        opened("take rule 20.2 from old-1\n", old_text,
               "edition new-2\n  title \"New\"\n\nlist 20.6 \"Steps\" of current\n  = 10 A\n");
    INFO(trial::faults(function));
    REQUIRE(function.book);
    CHECK(book::printed_book(*function.book).find("define step_for(i : current) : current @city") !=
          std::string::npos);
    CHECK(function.book->lists.back().name == "20.6 of old-1");
}

TEST_CASE("take: what was brought along once serves the next change") {
    const book::Opened twice = opened("take rule 20.1 from old-1\n\ntake rule 20.6 from old-1\n\n"
                                      "take rule 20.2 from old-1\n\ntake rule 30.1 from old-1\n");
    INFO(trial::faults(twice));
    REQUIRE(twice.book);
    const auto count = [&](const auto &list, const std::string &name) {
        return std::count_if(list.begin(), list.end(),
                             [&](const auto &x) { return x.name == name; });
    };
    CHECK(count(twice.book->tables, "20.1 of old-1") == 1);
    CHECK(count(twice.book->lists, "20.6 of old-1") == 1);
    CHECK(count(twice.book->defines, "most_of_load_of_old_1") == 1);
    CHECK(count(twice.book->defines, "step_for_of_old_1") == 1);
    CHECK(count(twice.book->defines, "carries_of_old_1") == 0); // of crates: nothing taken reads it
}

TEST_CASE("take: a book that takes text is printed whole and says the same, in its messages too") {
    const book::Opened first = opened("take article 20 from old-1\n");
    REQUIRE(first.book);
    const std::string printed = book::printed_book(*first.book);
    const trial::Compiled again =
        trial::compiled(book::open_book("whole.rules", {{"whole.rules", printed}}));
    CHECK(book::digest_of(*again.book) == book::digest_of(*first.book));
    CHECK(of_chest(again, "chest_load", drums_of_6_a) ==
          "violates: 6 A is over 5 A.\nUnload {it}.");
    CHECK(of_chest(again, "stays", drums_of_6_a) == "complies");
}

TEST_CASE("take: a number or topic that can't be taken is told") {
    const auto codes = [](const std::string &amendment) {
        return trial::codes(opened(amendment).diagnostics);
    };
    CHECK(codes("take rule 20.9 from old-1\n") == "no-target");
    CHECK(codes("take rule 20.1 topic chest_rest from old-1\n") == "no-target");
    CHECK(codes("take rule 20.1 topic chest_load from old-1\n").empty());
    CHECK(codes("take article 21 from old-1\n") == "no-target");
    CHECK(trial::codes(opened("take rule 20.9 from old-1\n",
                              old_text + "\nrule 20.9 \"No list\"\n  topic no_list\n  for chest\n"
                                         "  shall any(x in nowhere : x.spare at least 1 A)\n"
                                         "  says \"x\"\n")
                           .diagnostics) == "unknown-name");
    // The topic went to another number: which text is to stand has to be said.
    const std::string moved = "rule 20.4";
    const std::size_t at = new_text.find(moved);
    const std::string newer = new_text.substr(0, at) + "rule 31.1" + new_text.substr(at + 9);
    CHECK(trial::codes(opened("take rule 20.4 from old-1\n", old_text, newer).diagnostics) ==
          "topic-twice");
    CHECK(
        trial::codes(
            opened("delete rule 31.1\n\ntake rule 20.4 from old-1\n", old_text, newer).diagnostics)
            .empty());
}

TEST_CASE("take: text that rests on a deeper chain of definitions than a book may is refused") {
    const auto chain = [](int count) {
        std::string out;
        for (int i = 1; i <= count; ++i)
            out += "\ndefine chest.d" + std::to_string(i) +
                   " : current\n  = " + (i == 1 ? "load" : "d" + std::to_string(i - 1)) + " + e" +
                   std::to_string(i) + "\n\ndefine chest.e" + std::to_string(i) +
                   " : current\n  = load\n";
        return out + "\nrule 40.1 \"Deep\"\n  topic deep\n  for chest\n  shall d" +
               std::to_string(count) + " at most 1 A\n  says \"x\"\n";
    };
    const std::string older = "edition old-1\n  title \"Old\"\n";
    const auto codes = [&](int count) {
        return trial::codes(
            opened("take rule 40.1 from old-1\n", older + chain(count)).diagnostics);
    };
    CHECK(codes(1000).empty());
    CHECK(codes(1500) == "too-deep");
}

// Articles of which a requirement stands in another article there would bring its topic twice.
TEST_CASE("take: each article of a shipped edition can be taken into each other edition") {
    std::map<std::string, std::map<std::string, std::string>> article_of; // by edition and topic
    std::map<std::string, book::Opened> books;
    const auto article = [](const std::string &citation) {
        return citation.substr(0, citation.find('.'));
    };
    for (const std::string &edition : book::shipped_editions()) {
        books[edition] = book::open_book(edition);
        REQUIRE(books[edition].book);
        for (const book::Rule &r : books[edition].book->rules)
            article_of[edition][r.topic] = article(r.citation);
    }
    for (const auto &[from, theirs] : article_of) {
        for (const auto &[to, ours] : article_of) {
            if (from == to)
                continue;
            std::set<std::string> articles;
            for (const auto &[topic, number] : theirs)
                articles.insert(number);
            for (const auto &[topic, number] : theirs) {
                const auto there = ours.find(topic);
                const bool moved = there != ours.end() && there->second != number;
                if (moved || number.find_first_not_of("0123456789") != std::string::npos)
                    articles.erase(number);
            }
            CHECK(articles.size() > 30);
            std::string text = "amendment whole to " + to + "\n  title \"Whole\"\n";
            for (const std::string &number : articles)
                text += "\ntake article " + number + " from " + from + "\n";
            const book::Opened all = book::open_book(to + "+whole", {{"whole.rules", text}});
            INFO("from " << from << " to " << to << "\n" << trial::faults(all));
            REQUIRE(all.book);
            std::set<std::string> wanted;
            std::set<std::string> got;
            for (const auto &[topic, number] : theirs) {
                if (articles.contains(number))
                    wanted.insert(topic);
            }
            for (const book::Rule &r : all.book->rules) {
                if (articles.contains(article(r.citation)))
                    got.insert(r.topic);
            }
            CHECK(got == wanted);
        }
    }
}
