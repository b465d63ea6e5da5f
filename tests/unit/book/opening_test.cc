// Which texts make a book, and what of them is typed.

#include "book/digest.h"
#include "book/embedded.h"
#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;
using trial::rule_that;

struct Layer {
    std::string name;
    std::string header; // more lines of it
    std::string text;
};

book::Opened with_layers(const std::string &rules, const std::vector<Layer> &layers) {
    std::vector<book::NamedText> texts = {{"words.rules", trial::vocabulary},
                                          {"trial.rules", trial::edition_head + rules}};
    std::string name = "trial-1";
    for (const Layer &l : layers) {
        texts.push_back({l.name + ".rules", "amendment " + l.name + " to trial-1\n  title \"T\"\n" +
                                                l.header + "\n" + l.text});
        name += "+" + l.name;
    }
    return book::open_book(name, texts);
}

const std::string limited = "rule 1.1 \"A probe\"\n  topic probe\n  for crate\n"
                            "  limit cap = 10 A\n  limit spare = 1 A\n"
                            "  where rating at least cap\n  shall sealed\n  says \"No.\"\n\n";

// The limit of two layers that are at odds, of which the upper one leaves it to the stricter text.
std::string settled(const std::string &limit, const std::string &lower, const std::string &upper,
                    const std::string &rules = limited) {
    const book::Opened opened =
        with_layers(rules, {{"county", "", "change " + limit + " of rule 1.1 from " + lower + "\n"},
                            {"city", "  conflict stricter\n",
                             "change " + limit + " of rule 1.1 from " + upper + "\n"}});
    if (!opened.book)
        return trial::codes(opened.diagnostics);
    for (const book::Limit &l : opened.book->rules.front().limits) {
        if (l.name == limit)
            return book::value_text(*opened.book, l.type, l.value);
    }
    return "";
}

std::vector<std::string> layers_of(const book::Opened &opened) {
    INFO(trial::faults(opened));
    REQUIRE(opened.book);
    std::vector<std::string> out;
    for (const book::Layer &l : opened.book->layers)
        out.push_back(l.name);
    return out;
}

} // namespace

TEST_CASE("opening: a shipped edition is asked for by its whole name") {
    for (const char *name :
         {"nec", "2017", "ec-2017", "017", "nec-201", "nec-20177", "nec-2017-"}) {
        INFO(name);
        const book::Opened opened = book::open_book(name);
        CHECK_FALSE(opened.book);
        CHECK(trial::codes(opened.diagnostics) == "unknown-book");
    }
}

TEST_CASE("opening: what is not known is answered with what ships and what the caller has") {
    const auto help = [](const std::string &name) {
        const book::Opened opened = book::open_book(
            name,
            {{"a.rules", "# Ours.\r\n\r\n\n   \n\nedition  own-1# invented\n  title \"Own\"\n"},
             {"d.rules", "edition nec-2017\n  title \"Another\"\n"},
             {"e.rules", "amendment own-2 to own-1\n  title \"Own\"\n"}});
        for (const Diagnostic &d : opened.diagnostics.list()) {
            if (d.code == "unknown-book")
                return d.help;
        }
        return std::string();
    };
    std::string editions = "known:";
    for (const std::string &e : book::shipped_editions())
        editions += " " + e;
    std::string amendments = "known:";
    for (const std::string &a : book::shipped_amendments())
        amendments += " " + a;
    CHECK(help("nobody-1") == editions + " own-1");
    CHECK(help("own-1+edition-of-nobody") == amendments + " own-2");
    CHECK(
        book::lineage("nobody-1", {{"b.rules", "edition \n"}, {"c.rules", "editions\n"}}).empty());
}

TEST_CASE("opening: a header at fault may be the one that was asked for, and is told alone") {
    const auto told = [](const std::string &name, const std::string &text) {
        const book::Opened opened =
            book::open_book(name, {{"a.rules", text},
                                   {"b.rules", "edition own-1\n  title \"Own\"\n"},
                                   {"c.rules", "# nothing yet\n"}});
        CHECK_FALSE(opened.book);
        return trial::codes(opened.diagnostics);
    };
    CHECK(told("own-2", "gap 1.1 \"No header\"\n") == "no-header");
    CHECK(told("own-2", "edition own 2\n") == "syntax");
    CHECK(told("own-1+city-1", "amendmnt city-1 to own-1\n") == "unknown-declaration");
    CHECK(told("own-1+city-1", "gap 1.1 \"No header\"\n") == "no-header");
    CHECK(told("own-1+city-1", "amendment city-2 to own-1\n  title \"T\"\n") == "unknown-book");
}

TEST_CASE("opening: a text of the caller's takes the place of the shipped one of its path") {
    std::string path;
    for (unsigned long i = 0; i < book::embedded_file_count; ++i) {
        if (std::string_view(book::embedded_files[i].heading).starts_with("edition nec-2017"))
            path = book::embedded_files[i].path;
    }
    REQUIRE_FALSE(path.empty());
    for (const std::string &name : {path, "/home/city/" + path}) {
        const book::Opened opened =
            book::open_book("nec-2017", {{name, "edition nec-2017\n  title \"Ours\"\n"}});
        INFO(name << trial::faults(opened));
        REQUIRE(opened.book);
        CHECK(opened.book->layers.front().title == "Ours");
    }
}

TEST_CASE("opening: layers of the caller's take in the interim amendments that ship") {
    const auto layer = [](const std::string &name) {
        return book::NamedText{name + ".rules", "amendment " + name +
                                                    " to nec-2020\n  title \"T\"\n"
                                                    "  interim as of 2024-01-01\n"};
    };
    const std::vector<book::NamedText> texts = {layer("first-1"), layer("second-1")};
    CHECK(layers_of(book::open_book("nec-2020+first-1+second-1", texts)) ==
          std::vector<std::string>{"nec-2020", "tia-2022-08", "first-1", "second-1"});
}

TEST_CASE("opening: a printed book is made of its own text alone") {
    const std::string printed =
        "printed own-1\n\nedition own-1\n  title \"Own\"\n\n"
        "item site \"A site\"\n  fenced : yes_no measure \"Is it fenced?\"\n\n"
        "rule 1.1 \"Fences\"\n  topic fences\n  for site\n  shall fenced\n"
        "  says \"No fence.\"\n";
    const book::Opened opened = book::open_book(
        "own.rules", {{"own.rules", printed}, {"other.rules", "rule 1.1 what is this\n"}});
    INFO(trial::faults(opened));
    REQUIRE(opened.book);
    CHECK(opened.book->sources.size() == 1);
    CHECK(opened.book->rules.size() == 1);
    // A text that is not printed is no book because its path is asked for.
    const std::string edition = "edition own-1\n  title \"Own\"\n";
    CHECK(trial::codes(book::open_book("own.rules", {{"own.rules", edition}}).diagnostics) ==
          "unknown-book");
}

TEST_CASE("opening: an item without a title is called by its name") {
    const book::Opened opened =
        trial::open("item tin in crate as tins\n  flat : yes_no choice \"?\"\n\n"
                    "item tub in crate as tubs \"A tub\"\n\n");
    INFO(trial::faults(opened));
    REQUIRE(opened.book);
    const auto title = [&](const char *item) {
        return opened.book->items[static_cast<std::size_t>(book::find_item(*opened.book, item))]
            .title;
    };
    CHECK(title("tin") == "tin");
    CHECK(title("tub") == "A tub");
}

TEST_CASE("opening: of two texts the stricter one, over all rules that follow") {
    const std::string one_way = limited + "rule 1.2 \"Follower\"\n  topic follower\n  for crate\n"
                                          "  where applies(probe)\n  shall approved\n"
                                          "  says \"No.\"\n\n";
    const std::string two_ways = limited + "rule 1.2 \"Other\"\n  topic other\n  for crate\n"
                                           "  where not applies(probe)\n  shall approved\n"
                                           "  says \"No.\"\n\n";
    for (const std::string &rules : {limited, one_way}) {
        CHECK(settled("cap", "10 A to 8 A", "10 A to 9 A", rules) == "8 A");
        CHECK(settled("cap", "10 A to 8 A", "10 A to 7 A", rules) == "7 A");
    }
    CHECK(settled("cap", "10 A to 8 A", "10 A to 9 A", two_ways) == "stricter-unclear");
    // A limit that nothing reads makes no rule stricter: the text that stands stays.
    CHECK(settled("spare", "1 A to 2 A", "1 A to 3 A") == "2 A");
    // The other text is read before the two are compared.
    CHECK(settled("cap", "10 A to 8 A", "10 A to 9 V") == "wrong-type");
}

TEST_CASE(
    "opening: a clause's conditions are widened and narrowed for the rule that stands in it") {
    const std::string rules = "clause 1.3 \"Sealed crates\"\n  topic sealed_crates\n  for crate\n"
                              "  where sealed\n  where load at least 5 A or rating at least 5 A\n\n"
                              "rule 1.1 \"A probe\"\n  topic probe\n  within sealed_crates\n"
                              "  shall approved\n  says \"No.\"\n\n";
    const auto verdict = [&](const std::vector<std::string> &layers, const char *facts) {
        return trial::verdict(trial::compiled(rules, layers), trial::crate(facts));
    };
    const char *open =
        R"("sealed":false,"load":"1 A","rating":"1 A","colour":"red","approved":false)";
    CHECK(verdict({}, open) == "not_applicable");
    CHECK(verdict({"widen rule 1.1 to where colour is red\n"}, open) == "violates");
    CHECK(verdict({"widen rule 1.1 to where colour is green\n",
                   "widen rule 1.1 to where colour is red\n"},
                  open) == "violates");
    CHECK(verdict({"widen rule 1.1 to where colour is blue\n"}, open) == "not_applicable");
    const char *closed =
        R"("sealed":true,"load":"6 A","rating":"1 A","colour":"red","approved":false)";
    CHECK(verdict({}, closed) == "violates");
    CHECK(verdict({"narrow rule 1.1 to where colour is blue\n"}, closed) == "not_applicable");
}

TEST_CASE("opening: a part of a clause is no second one of the same number") {
    const auto file = [](const std::string &text) { return "part of trial-1\n\n" + text; };
    const auto open = [&](const std::string &clause_part, const std::string &rule_part) {
        return book::open_book(
            "trial-1",
            {{"words.rules", trial::vocabulary},
             {"head.rules", trial::edition_head},
             {"a.rules",
              file("rule 1.1 \"R\"\n  topic probe\n  within sealed_crates\n  shall approved\n"
                   "  says \"x\"\n" +
                   rule_part)},
             {"b.rules",
              file("clause 1.3 \"C\"\n  topic sealed_crates\n  for crate\n  where sealed\n" +
                   clause_part)}});
    };
    const std::string part = "  except 1 \"Red\" where colour is red\n";
    CHECK(trial::codes(open(part, part).diagnostics) == "label-twice");
    CHECK(open(part, "").book->rules.front().exceptions.size() == 1);
    CHECK(open(part, "  except 2 \"Red\" where colour is red\n")
              .book->rules.front()
              .exceptions.size() == 2);
}

TEST_CASE("opening: a clause that a layer deletes is missed by the rules that stand in it") {
    const std::string rules =
        "clause 1.2 \"Others\"\n  topic others\n  for crate\n  where approved\n\n"
        "clause 1.3 \"Sealed crates\"\n  topic sealed_crates\n  for crate\n"
        "  where sealed\n\n"
        "rule 1.1 \"A probe\"\n  topic probe\n  within sealed_crates\n"
        "  shall approved\n  says \"No.\"\n\n";
    CHECK(trial::open(rules).book);
    const book::Opened opened = trial::open(rules, {"delete rule 1.3\n"});
    CHECK(trial::codes(opened.diagnostics) == "unknown-name");
    CHECK(trial::open(rules, {"delete rule 1.3\n\ndelete rule 1.1\n"}).book);
}

TEST_CASE("opening: a rule for an item that there is not takes no other rule along") {
    const std::string nobody =
        "rule 1.2 \"Nobody\"\n  topic nobody\n  for crat\n  displaces probe\n"
        "  shall sealed\n  says \"x\"\n\n";
    const book::Opened opened = trial::open(nobody + rule_that("sealed or applies(nobody)"));
    INFO(trial::faults(opened));
    REQUIRE(opened.diagnostics.size() == 1);
    CHECK(opened.diagnostics.list().front().message == "`crat` is no item");
}

TEST_CASE("opening: any values of a yes_no, a choice or a size may be tried for a remedy") {
    const book::Opened opened = trial::open(
        "remedy crate \"Sealed or not\"\n  sealed = any\n\n"
        "remedy crate \"Any colour\"\n  colour = any\n\n"
        "remedy crate \"Any wire\"\n  wire = any\n  sealed = yes\n  without load, heat\n"
        "  keeps rating, width\n\n" +
        rule_that("sealed"));
    INFO(trial::faults(opened));
    REQUIRE(opened.book);
    const auto &remedies = opened.book->remedies;
    REQUIRE(remedies.size() >= 3);
    const auto *own = &remedies[remedies.size() - 3];
    CHECK(own[0].values == std::vector<double>{0, 1});
    CHECK(own[1].values == std::vector<double>{0, 1, 2});
    CHECK(own[2].values.size() == 30);
    CHECK(own[2].also.size() == 1);
    CHECK(own[2].without.size() == 2);
    CHECK(own[2].keeps.size() == 2);
}

TEST_CASE("opening: a type has so many choices and no more") {
    const auto choices = [](std::size_t count) {
        std::string text = "type many : one of (c0";
        for (std::size_t i = 1; i < count; ++i)
            text += ", c" + std::to_string(i);
        return text + ")\n\n" + rule_that("sealed");
    };
    CHECK(trial::open(choices(1024)).book);
    const book::Opened opened = trial::open(choices(1025));
    REQUIRE(opened.diagnostics.size() == 1);
    CHECK(opened.diagnostics.list().front().message == "many has more than 1024 choices");
}

TEST_CASE("opening: of circles so many are told, and the middle of a long one is left out") {
    std::string text;
    for (int i = 0; i < 101; ++i)
        text +=
            "define crate.c" + std::to_string(i) + " : current = c" + std::to_string(i) + "\n\n";
    CHECK(trial::open(text).diagnostics.size() == 100);
    std::string long_one;
    for (int i = 0; i < 12; ++i)
        long_one += "define crate.c" + std::to_string(i) + " : current = c" +
                    std::to_string((i + 1) % 12) + "\n\n";
    const book::Opened opened = trial::open(long_one);
    REQUIRE(opened.diagnostics.size() == 1);
    CHECK(opened.diagnostics.list().front().message ==
          "`crate.c0` leads back to itself: crate.c0 → crate.c1 → crate.c2 → crate.c3 → crate.c4 → "
          "crate.c5 → crate.c6 → crate.c7 → … → crate.c11 → crate.c0");
}

TEST_CASE("opening: a cell without a value is another book than one with the first choice") {
    const auto digest = [](const std::string &cell) {
        const book::Opened opened =
            trial::open("type tint : one of (pale, dark)\n\ntable 1.2 \"T\"\n  gives tint\n"
                        "  by sealed : yes_no\n  yes | dark\n  no | " +
                        cell + "\n\n" + rule_that("sealed"));
        REQUIRE(opened.book);
        return book::digest_of(*opened.book);
    };
    CHECK(digest("--") != digest("pale"));
    CHECK(digest("--") == digest("--"));
}

TEST_CASE("opening: rows of an ordered key may be days, and a key's name is a choice behind the "
          "head lines") {
    const std::string tables = "table 1.2 \"By day\"\n  gives current\n  by made : date at most\n"
                               "  2020-01-01 | 1 A\n  2021-01-01 | 2 A\n\n"
                               "table 1.3 \"Red and blue\"\n  gives current\n"
                               "  by red : yes_no, blue : one of (red, blue)\n"
                               "  red  | yes | no\n  red  | 1 A | 2 A\n  blue | 3 A | 4 A\n\n";
    const auto says = [&](const std::string &value, const std::string &facts) {
        const trial::Compiled c =
            trial::compiled(tables + "rule 1.1 \"R\"\n  topic probe\n  for crate\n  shall " +
                            value + " at least 0 A\n  says \"{" + value + "}\"\n");
        return trial::check(c, trial::crate(facts)).findings.front().says;
    };
    CHECK(says("table 1.2 [made]", R"("made":"2020-06-01")") == "2 A");
    CHECK(says("table 1.2 [made]", R"("made":"2021-06-01")") == "unknown");
    CHECK(says("table 1.3 [sealed, blue]", R"("sealed":false)") == "4 A");
    CHECK(says("table 1.3 [sealed, red]", R"("sealed":true)") == "1 A");
}
