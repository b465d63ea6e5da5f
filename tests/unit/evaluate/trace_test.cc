// What an open verdict lacks and what a known one rests on, as the trace of one run finds it.

#include "evaluate/trace.h"
#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;

const std::string words = trial::vocabulary +
                          "\nimply crate \"What red says\"\n"
                          "  sealed = if colour is red then yes otherwise unknown\n"
                          "\nimply crate \"What approval says\"\n"
                          "  sealed = if approved then yes otherwise unknown\n";

const std::string steps = "list \"steps\" \"Steps\" of current\n  = 15 A, 20 A, 30 A\n\n";

// The requirement of the only rule on the only crate.
class Traced {
  public:
    Traced(const std::string &condition, const std::string &facts)
        : compiled_(trial::compiled(trial::open(steps + trial::rule_that(condition), {}, words))),
          job_(trial::job_of(*compiled_.book, trial::crate(facts))) {
        evaluate::run(compiled_.program, job_, workspace_);
    }

    std::vector<std::string> lacks(std::size_t most = limits::lacks_per_finding) const {
        std::vector<std::string> out;
        for (const evaluate::Lack &l : trace(most).lacks(met(), 0))
            out.push_back(l.kind == evaluate::Lack::Kind::fact ? name_of(l.slot, l.row)
                          : l.kind == evaluate::Lack::Kind::list
                              ? "the list"
                              : (l.kind == evaluate::Lack::Kind::no_value ? l.text : "no text"));
        return out;
    }
    std::vector<std::string> assumptions(std::size_t most = limits::lacks_per_finding) const {
        std::vector<std::string> out;
        for (const evaluate::Assumed &a : trace(most).assumptions(met(), 0))
            out.push_back(name_of(a.slot, a.row));
        return out;
    }

  private:
    evaluate::Trace trace(std::size_t most) const {
        return {*compiled_.book, compiled_.program, job_, workspace_, most};
    }
    program::Register met() const { return compiled_.program.rules.front().met; }
    std::string name_of(std::uint32_t slot, std::uint32_t row) const {
        const program::Slot &s = compiled_.program.slots[slot];
        return compiled_.book->items[s.item].fields[s.field].name + " " + std::to_string(row);
    }

    trial::Compiled compiled_;
    facts::Job job_;
    evaluate::Workspace workspace_;
};

using Names = std::vector<std::string>;

// Pieces that all have these facts; all there are.
std::string pieces(int count, const std::string &facts) {
    std::string out = R"("complete":["pieces"],"pieces":[)";
    for (int i = 0; i < count; ++i)
        out += (i == 0 ? "{" : ",{") + facts + "}";
    return out + "]";
}

} // namespace

TEST_CASE(
    "lacks: of a long list as many are named as a person asks for, or as many as are wanted") {
    const Traced all("all(p in pieces : p.loose)", pieces(40, ""));
    CHECK(all.lacks().size() == limits::lacks_per_finding);
    CHECK(all.lacks(1000).size() == 40);
    const Traced two("all(p in pieces : p.loose) and any(p in pieces : p.draw more than load)",
                     pieces(20, ""));
    CHECK(two.lacks().size() == limits::lacks_per_finding);
    CHECK(two.lacks(1000).size() == 41);
    CHECK(Traced("all(p in pieces : p.loose) and sealed and approved", pieces(40, ""))
              .lacks()
              .size() == limits::lacks_per_finding);
}

TEST_CASE("lacks: a largest of what is open, and of nothing") {
    const std::string most = "max(p in pieces : p.draw) at most 10 A";
    CHECK(Traced(most, pieces(1, "")).lacks() == Names{"draw 0"});
    CHECK(Traced(most, pieces(0, "")).lacks() ==
          Names{"no item of the list counts, so none is the largest"});
    CHECK(Traced("min(p in pieces : p.draw) at most 10 A", pieces(0, "")).lacks() ==
          Names{"no item of the list counts, so none is the smallest"});
    CHECK(Traced("sum(p in pieces : p.draw - 1 A) at most 10 A", pieces(1, "")).lacks() ==
          Names{"draw 0"});
    CHECK(Traced(most, R"("pieces":[{"draw":"3 A"}])").lacks() == Names{"the list"});
}

TEST_CASE("assumptions: of a long list as many are named as of what is lacking") {
    const std::string assumed = R"("assumed":{"loose":true,"draw":"3 A"})";
    const Traced all("all(p in pieces : p.loose)", pieces(40, assumed));
    CHECK(all.assumptions().size() == limits::lacks_per_finding);
    CHECK(all.assumptions(1000).size() == 40);
    const Traced two("all(p in pieces : p.loose) and all(p in pieces : p.draw at most 5 A)",
                     pieces(40, assumed));
    CHECK(two.assumptions().size() == limits::lacks_per_finding);
    CHECK(two.assumptions(1000).size() == 80);
}

TEST_CASE("assumptions: each is named once, wherever it is read") {
    const Traced t("load at least 3 A and all(p in pieces : p.draw at most crate.load) and "
                   "any(p in pieces : p.draw less than crate.load)",
                   R"("assumed":{"load":"30 A"},)" + pieces(2, R"("draw":"3 A")"));
    CHECK(t.assumptions() == Names{"load 0"});
}

TEST_CASE(
    "assumptions: one that facts make needless is none, those facts may be assumed themselves") {
    const std::string sealed = R"("assumed":{"sealed":true})";
    CHECK(Traced("sealed", sealed).assumptions() == Names{"sealed 0"});
    CHECK(Traced("sealed", sealed + R"(,"sealed":true)").assumptions().empty());
    CHECK(Traced("sealed", sealed + R"(,"colour":"red")").assumptions().empty());
    CHECK(Traced("sealed", sealed + R"(,"colour":"red","approved":true)").assumptions().empty());
    CHECK(Traced("sealed", R"("assumed":{"sealed":true,"colour":"red"})").assumptions() ==
          Names{"colour 0"});
}

TEST_CASE("assumptions: a search rests on what it looks at, up to the element that it takes") {
    const std::string search =
        "smallest(s in list \"steps\" where s at least load or s at least rating) = 20 A";
    CHECK(Traced(search, R"("load":"16 A","assumed":{"rating":"18 A"})").assumptions() ==
          Names{"rating 0"});
    CHECK(Traced("smallest(s in list \"steps\" where s at least 20 A and sealed) = 20 A",
                 R"("assumed":{"sealed":true})")
              .assumptions() == Names{"sealed 0"});
}
