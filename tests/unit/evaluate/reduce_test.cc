// Quantifiers and aggregates over open and complete lists, with unknown filters and values.

#include "trial.h"

#include <algorithm>
#include <functional>
#include <optional>

#include "catch.h"

namespace {

using namespace groundrule;

// One piece: a draw of 0, 1 or 2 A and whether it is loose; −1 where unknown.
struct Piece {
    int draw = -1;
    int loose = -1;
};
using Pieces = std::vector<Piece>;

class Aggregate {
  public:
    explicit Aggregate(const std::string &condition)
        : compiled_(trial::compiled(trial::rule_that(condition))),
          crate_(book::find_item(*compiled_.book, "crate")),
          piece_(book::find_item(*compiled_.book, "piece")) {
        for (program::Register r = 0; r < compiled_.program.code.size(); ++r) {
            const program::Instruction &in = compiled_.program.code[r];
            if (in.op >= program::Op::any_of && in.child == piece_)
                register_ = r;
        }
    }

    Cell of(const Pieces &pieces, bool complete) const {
        facts::Job job(*compiled_.book);
        job.add(crate_, 0);
        for (const Piece &p : pieces) {
            const std::int32_t row = job.add(piece_, 0);
            if (p.draw >= 0)
                job.set(piece_, row, 1, exactly(p.draw));
            if (p.loose >= 0)
                job.set(piece_, row, 2, exactly(p.loose));
        }
        job.mark_complete(crate_, 0, 0, complete);
        evaluate::Workspace workspace;
        evaluate::run(compiled_.program, job, workspace);
        return workspace.cell(register_, 0);
    }

  private:
    trial::Compiled compiled_;
    std::int32_t crate_;
    std::int32_t piece_;
    program::Register register_ = program::no_register;
};

bool is(const Cell &c, Bound bound, double value = 0) {
    return c.bound == bound && (bound == Bound::unknown || c.value == value);
}

bool allows(const Cell &c, double v) {
    return c.bound == Bound::unknown || (c.bound == Bound::exact && v == c.value) ||
           (c.bound == Bound::at_least && v >= c.value) ||
           (c.bound == Bound::at_most && v <= c.value);
}

// Every way in which the facts may turn out: values for what is unknown, and, while the list is
// open, none or one piece more.
void completions(const Pieces &pieces, std::size_t at, bool complete,
                 const std::function<void(const Pieces &)> &visit) {
    if (at == pieces.size()) {
        visit(pieces);
        if (complete)
            return;
        Pieces longer = pieces;
        longer.emplace_back();
        completions(longer, at, true, visit);
        return;
    }
    for (int draw = 0; draw <= 2; ++draw) {
        for (int loose = 0; loose <= 1; ++loose) {
            const Piece &p = pieces[at];
            if ((p.draw >= 0 && p.draw != draw) || (p.loose >= 0 && p.loose != loose))
                continue;
            Pieces chosen = pieces;
            chosen[at] = {draw, loose};
            completions(chosen, at + 1, complete, visit);
        }
    }
}

std::vector<Pieces> all_lists() {
    std::vector<Piece> states;
    for (int draw = -1; draw <= 2; ++draw) {
        for (int loose = -1; loose <= 1; ++loose)
            states.push_back({draw, loose});
    }
    std::vector<Pieces> lists = {{}};
    for (const Piece &a : states) {
        lists.push_back({a});
        for (const Piece &b : states)
            lists.push_back({a, b});
    }
    return lists;
}

using Meaning = std::function<std::optional<double>(const Pieces &)>;

// Sound over all completions, and exact once nothing is open.
void check_meaning(const std::string &condition, const Meaning &meaning) {
    const Aggregate aggregate(condition);
    int known = 0;
    for (const Pieces &pieces : all_lists()) {
        for (const bool complete : {false, true}) {
            const Cell c = aggregate.of(pieces, complete);
            known += c.known() ? 1 : 0;
            std::size_t outcomes = 0;
            completions(pieces, 0, complete, [&](const Pieces &p) {
                ++outcomes;
                const auto v = meaning(p);
                INFO(condition << " over " << pieces.size() << " pieces");
                if (!v)
                    REQUIRE_FALSE(c.known());
                else
                    REQUIRE(allows(c, *v));
            });
            if (outcomes == 1 && meaning(pieces))
                REQUIRE(c.exact());
        }
    }
    CHECK(known > 0);
}

double sum_of_loose(const Pieces &pieces) {
    double sum = 0;
    for (const Piece &p : pieces)
        sum += p.loose == 1 ? p.draw : 0;
    return sum;
}

std::optional<double> extreme(const Pieces &pieces, bool largest) {
    std::optional<double> out;
    for (const Piece &p : pieces) {
        if (p.loose == 1)
            out = !out
                      ? p.draw
                      : (largest ? std::max<double>(*out, p.draw) : std::min<double>(*out, p.draw));
    }
    return out;
}

} // namespace

TEST_CASE("over an open list all is never known true, nor any known false") {
    const Aggregate all("all(p in pieces : p.loose)");
    CHECK(is(all.of({}, false), Bound::unknown));
    CHECK(is(all.of({{1, 1}}, false), Bound::unknown));
    CHECK(is(all.of({{1, 0}}, false), Bound::exact, 0));
    CHECK(is(all.of({{1, 1}}, true), Bound::exact, 1));
    CHECK(is(all.of({}, true), Bound::exact, 1));
    const Aggregate any("any(p in pieces : p.loose)");
    CHECK(is(any.of({{1, 0}}, false), Bound::unknown));
    CHECK(is(any.of({{1, 1}}, false), Bound::exact, 1));
    CHECK(is(any.of({}, true), Bound::exact, 0));
    CHECK(is(any.of({{1, -1}}, true), Bound::unknown));
}

TEST_CASE("over an open list count and sum are at least, max at least, min at most") {
    const Aggregate count("count(p in pieces) at least 1");
    CHECK(is(count.of({{1, 1}, {2, 1}}, false), Bound::at_least, 2));
    CHECK(is(count.of({{1, 1}, {2, 1}}, true), Bound::exact, 2));
    const Aggregate sum("sum(p in pieces : p.draw) at least 1 A");
    CHECK(is(sum.of({{1, 1}, {2, 1}}, false), Bound::at_least, 3));
    CHECK(is(sum.of({{1, 1}, {-1, 1}}, true), Bound::at_least, 1));
    CHECK(is(sum.of({}, true), Bound::exact, 0));
    const Aggregate max("max(p in pieces : p.draw) at least 1 A");
    CHECK(is(max.of({{1, 1}, {2, 1}}, false), Bound::at_least, 2));
    CHECK(is(max.of({{1, 1}, {-1, 1}}, true), Bound::at_least, 1));
    CHECK(is(max.of({}, true), Bound::unknown));
    const Aggregate min("min(p in pieces : p.draw) at least 1 A");
    CHECK(is(min.of({{1, 1}, {2, 1}}, false), Bound::at_most, 1));
    CHECK(is(min.of({{1, 1}, {2, 1}}, true), Bound::exact, 1));
}

TEST_CASE("an unknown filter makes a count at least what is sure") {
    const Aggregate count("count(p in pieces where p.loose) at least 1");
    CHECK(is(count.of({{1, 1}, {1, -1}, {1, 0}}, true), Bound::at_least, 1));
    CHECK(is(count.of({{1, 1}, {1, 0}}, true), Bound::exact, 1));
}

TEST_CASE("a sum of what may be negative has no bound over an open list") {
    const Aggregate sum("sum(p in pieces : p.draw - 1 A) at least 1 A");
    CHECK(is(sum.of({{2, 1}}, false), Bound::unknown));
    CHECK(is(sum.of({{2, 1}}, true), Bound::exact, 1));
}

TEST_CASE("soundness of count and sum over all completions of small lists") {
    check_meaning("count(p in pieces where p.loose) at least 1", [](const Pieces &pieces) {
        return static_cast<double>(std::count_if(pieces.begin(), pieces.end(),
                                                 [](const Piece &p) { return p.loose == 1; }));
    });
    check_meaning("sum(p in pieces where p.loose : p.draw) at least 1 A", sum_of_loose);
}

TEST_CASE("soundness of max and min over all completions of small lists") {
    check_meaning("max(p in pieces where p.loose : p.draw) at least 1 A",
                  [](const Pieces &p) { return extreme(p, true); });
    check_meaning("min(p in pieces where p.loose : p.draw) at least 1 A",
                  [](const Pieces &p) { return extreme(p, false); });
}

TEST_CASE("soundness of any and all over all completions of small lists") {
    check_meaning("any(p in pieces where p.loose : p.draw at least 1 A)", [](const Pieces &pieces) {
        return std::any_of(pieces.begin(), pieces.end(),
                           [](const Piece &p) { return p.loose == 1 && p.draw >= 1; })
                   ? 1.0
                   : 0.0;
    });
    check_meaning("all(p in pieces where p.loose : p.draw at least 1 A)", [](const Pieces &pieces) {
        return std::all_of(pieces.begin(), pieces.end(),
                           [](const Piece &p) { return p.loose == 0 || p.draw >= 1; })
                   ? 1.0
                   : 0.0;
    });
}
