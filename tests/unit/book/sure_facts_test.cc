// Which values of a message may be unknown when it is told, by the form of what decides.

#include "trial.h"

#include "book/lint.h"

#include "catch.h"

namespace {

using namespace groundrule;

const std::string shared = R"(define crate.spare : current
  = rating - load

define crate.upper : current
  = larger_of(load, rating)

define crate.heavy : yes_no
  = load at least 20 A

define piece.heavy : yes_no
  = draw at least 2 A

define first_of(a : current, b : current) : current
  = a

define always(a : current) : yes_no
  = yes

list 1.0 "L" of current
  = 15 A, 20 A

table 1.0 "T"
  gives current
  by    load : current at most
  10 A | 1 A

table 2.0 "By a truth"
  gives current
  by    sealed : yes_no
  yes | 1 A

rule 9.1 "Another"
  topic  other_rule
  for    crate
  where  load at least 1 A
  shall  approved
  says   "No."

)";

// The values of the message that are told as uncertain, in their order; "-": that the rule does not
// ask for.
std::string uncertain(const std::string &lines, const std::string &message) {
    const book::Opened opened = trial::open(
        shared + "rule 5.1 \"R\"\n  topic r\n  for crate\n  reading strict = yes \"S\"\n  says \"" +
        message + "\"\n" + lines + "\nrule 9.2 \"Behind it\"\n  topic behind\n  for crate\n" +
        "  where applies(r)\n  shall sealed\n  says \"No.\"\n");
    if (!opened.book)
        return trial::faults(opened);
    Diagnostics found;
    book::lint(*opened.book, found);
    found.sort();
    std::string out;
    for (const Diagnostic &d : found.list()) {
        if (d.code != "unsure-value" && d.code != "unasked-value")
            continue;
        const SourceText &source = opened.book->sources[d.span.file];
        out += (out.empty() ? "" : ", ") + std::string(d.code == "unasked-value" ? "-" : "") +
               std::string(source.text().substr(d.span.begin, d.span.end - d.span.begin));
    }
    return out;
}

// Of what is required.
std::string of(const std::string &shall, const std::string &message) {
    return uncertain("  shall " + shall + "\n", message);
}

// Of a condition under which the box must be sealed.
std::string where(const std::string &condition, const std::string &message) {
    return uncertain("  where " + condition + "\n  shall sealed\n", message);
}

} // namespace

TEST_CASE("messages: of what is joined by and, or, not the values that decide are certain") {
    CHECK(of("load at most 1 A", "{load}").empty());
    CHECK(of("load at most 1 A", "{rating}") == "-rating");
    CHECK(of("load at most 1 A or rating at most 1 A", "{load} {rating}").empty());
    CHECK(of("load at most 1 A and rating at most 1 A", "{load} {rating}").empty());
    CHECK(of("not (load at most 1 A or rating at most 1 A)", "{load} {rating}") == "load, rating");
    CHECK(where("load at most 1 A or rating at most 1 A", "{load} {rating}") == "load, rating");
    CHECK(where("load at most 1 A and rating at most 1 A", "{load} {rating}").empty());
    CHECK(where("not (load at most 1 A and rating at most 1 A)", "{load}") == "load");
    CHECK(where("colour is red", "{colour}").empty());
    CHECK(where("strict", "{sealed}").empty());
    CHECK(where("yes", "{sealed}").empty());
}

TEST_CASE("messages: a definition is certain where what it is worked out from is") {
    CHECK(of("spare at least 1 A", "{spare} {load} {rating}").empty());
    CHECK(of("load at most 1 A or rating at most 1 A", "{spare}").empty());
    CHECK(of("upper at most 1 A", "{upper} {load}") == "load");
    CHECK(of("upper at most 1 A and load at most rating", "{load}").empty());
    CHECK(of("table 1.0 [larger_of(load, rating)] at most 1 A", "{load} {rating}").empty());
    CHECK(of("table 1.0 [upper] at most 1 A", "{load} {rating}").empty());
    CHECK(of("smaller_of(load, rating) at most 1 A", "{rating}") == "rating");
    CHECK(of("round_up(load to 5 A) at most rating", "{load} {rating}").empty());
    CHECK(of("heavy", "{heavy} {load}").empty());
    CHECK(of("load * 2 at most rating / 2 + 1 A - 0 A", "{load} {rating}").empty());
}

TEST_CASE("messages: a key of a table, and where a list is searched, have to be exact") {
    CHECK(of("load at most table 2.0 [sealed or approved]", "{sealed} {approved}") ==
          "sealed, approved");
    CHECK(of("load at most table 2.0 [sealed]", "{sealed} {load}").empty());
    CHECK(uncertain("  where rating at least 0 A or sealed\n  shall load at most 1 A\n",
                    "{smallest(s in list 1.0 where s at least rating)}") ==
          "smallest(s in list 1.0 where s at least rating)");
}

TEST_CASE("messages: a function is certain in what it reads of its parameters") {
    CHECK(of("first_of(load, rating) at most 1 A", "{load} {rating} {first_of(load, rating)}") ==
          "rating, first_of(load, rating)");
    CHECK(of("first_of(load, 2 A) at most 1 A", "{first_of(load, 1 A)}").empty());
    CHECK(of("always(load)", "{load} {rating}") == "-rating");
    CHECK(of("not always(load)", "{load}") == "load");
}

TEST_CASE("messages: of a choice between two values the one that is taken") {
    CHECK(of("(if sealed then load otherwise rating) at most 1 A", "{sealed} {load}") == "load");
    CHECK(of("(if sealed then load otherwise load / 2) at most 1 A", "{sealed} {load}").empty());
    CHECK(of("if sealed then load at most 1 A otherwise load at most 2 A", "{load} {sealed}") ==
          "sealed");
    const std::string asked = "  where rating at least 0 A or sealed\n  shall load at most 1 A\n";
    CHECK(uncertain(asked, "{if strict then load otherwise rating}").empty());
    CHECK(uncertain(asked, "{if strict then rating otherwise load}") ==
          "if strict then rating otherwise load");
    CHECK(uncertain(asked, "{if no then rating otherwise load}").empty());
    CHECK(
        of("load at most (if sealed then 1 A otherwise 2 A)", "{if sealed then 1 A otherwise 2 A}")
            .empty());
    CHECK(of("load at most 1 A or rating at most 2 A", "{if load at most 1 A then load otherwise "
                                                       "rating}")
              .empty());
}

TEST_CASE("messages: lists tell of one element, and of what stands above them") {
    CHECK(of("all(p in pieces where load at least 2 A : p.draw at most rating)", "{load} {rating}")
              .empty());
    CHECK(of("any(p in pieces where load at least 2 A : p.draw at most rating)",
             "{load} {rating}") == "load, rating");
    CHECK(where("any(p in pieces : p.heavy and heavy)", "{load}").empty());
    CHECK(where("all(p in pieces : p.heavy and heavy)", "{load}") == "load");
    CHECK(of("max(p in pieces where load at least 1 A : p.draw) at most 1 A", "{load}").empty());
    CHECK(of("min(p in pieces where first_of(load, rating) at least 1 A : p.draw) at least 1 A",
             "{load}")
              .empty());
    CHECK(of("sum(p in pieces where load at least 1 A : p.draw) at most 9 A", "{load}") == "load");
    CHECK(of("count(p in pieces where load at least 1 A) at most 9",
             "{count(p in pieces where load at least 1 A)} {sum(p in pieces : p.draw)} {load}") ==
          "-sum(p in pieces : p.draw), load");
    CHECK(of("sum(p in pieces : p.draw) at most 9 A",
             "{max(p in pieces : p.draw)} {min(p in pieces : p.draw)}")
              .empty());
    CHECK(of("load at most 1 A and any(p in pieces : p.loose)",
             "{any(p in pieces : p.loose)} {all(p in pieces : p.loose)}")
              .empty());
    CHECK(where("complete(pieces) and load at least 1 A", "{load}").empty());
    CHECK(of("rating at most smallest(s in list 1.0 where s at least load)", "{load} {rating}")
              .empty());
    CHECK(of("rating at most largest(s in list 1.0 where s at most load)",
             "{smallest(s in list 1.0 where s at least load)}")
              .empty());
}

TEST_CASE("messages: where another rule applies, what its scope asks for is certain") {
    const std::string asked = " and (load at least 0 A or colour is red)";
    CHECK(where("applies(other_rule)" + asked, "{load}").empty());
    CHECK(where("not applies(other_rule)" + asked, "{load}") == "load");
    CHECK(where("applies(other_rule) or colour is red", "{colour}") == "colour");
}

TEST_CASE("messages: parts, exceptions, paths and permissions decide each in its way") {
    CHECK(
        uncertain("  shall sealed\n  listed (1) where load at most 1 A says \"{load}, {rating}\"\n"
                  "  listed (2) where rating at most 1 A says \"{load}, {rating}\"\n",
                  "{load}") == "load, rating, load");
    CHECK(uncertain("  shall sealed\n", "{colour}") == "-colour");
    CHECK(of("sealed\n  except 1 where load at most 1 A", "{load}").empty());
    CHECK(of("sealed\n  except 1 not encoded \"E\" where load at most 1 A", "{load}").empty());
    CHECK(uncertain("  path (1) where load at most 1 A\n  path (2) where rating at most 1 A\n",
                    "{load} {rating}")
              .empty());
    CHECK(
        uncertain("  permits (1) where load at most 1 A\n  permits (2) where rating at most 1 A\n",
                  "{load} {rating}")
            .empty());
    CHECK(uncertain("  shall sealed\n  path (1) where load at most 1 A\n", "{load}") == "load");
}
