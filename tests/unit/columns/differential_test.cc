// The columnar evaluator gives what the scalar evaluator gives, on every input, and both what the
// plain walker gives (it looks at every fifth row): shipped editions, books of every operation and
// books that nobody wrote, over random tables.
#include "catch.h"
#include "compare.h"
#include "generated.h"

namespace {

// Under the sanitizers a table costs twenty times as much: they see a quarter of them.
#ifdef GROUNDRULE_SANITIZED
constexpr std::uint32_t fewer = 4;
#else
constexpr std::uint32_t fewer = 1;
#endif

using namespace groundrule;
using compared::Checked;
using compared::compare;

Checked compare_all(const book::Book &book, const program::Program &program, std::size_t tables,
                    std::size_t rows) {
    Checked all;
    for (std::uint32_t seed = 1; seed <= tables; ++seed) {
        const auto item = static_cast<std::int32_t>(seed % book.items.size());
        const Checked c =
            compare(book, program, item, seed, rows, 1 + seed % 3, 0.04 + 0.03 * (seed % 8));
        all += c;
    }
    return all;
}

const std::string every_operation = R"(
table 1.1 "By size, and heat at most"
  gives  current
  by     heat : temperature at most, wire : conductor_size
  wire   | 14 AWG | 12 AWG | 8 AWG
  30 °C  | 15 A   | 20 A   | 40 A
  40 °C  | 12 A   | --     | 35.5 A
  60 °C  | 10 A   | 10 A   | 20 A

table 1.2 "By load at least"
  gives  share : number, width : length
  by     load : current at least
  10 A   | 1   | 1 ft
  20.5 A | 0.8 | 2 ft
  60 A   | 0.5 | 9 in

table 1.3 "By load exactly"
  gives  current
  by     load : current, sealed : yes_no
  sealed | yes  | no
  15 A   | 12 A | 11 A
  20 A   | 16 A | 15 A
  20.000001 A | 17 A | 16 A
  30 A   | 24 A | 1 mA

list 1.4 "Ratings" of current
  = 15 A, 20 A, 25 A, 30 A, 35 A, 40 A, 45 A, 50 A, 60 A, 70 A, 80 A, 90 A, 100 A

define standard(i : current) : current = smallest(s in list 1.4 where s at least i)
define crate.allowed : current = table 1.1 [heat, wire]
define crate.derated : current = allowed * share * table 1.2 [load].share
define crate.total : current = sum(p in pieces where p.loose : p.draw)
define crate.peak : current = max(p in pieces : p.draw)
define crate.least_draw : current = min(p in pieces where not p.loose : p.draw * 2)
define crate.number : number = count(p in pieces where p.draw more than 10 A)

imply crate "the table"
  width = table 1.2 [load].width
  sealed = if colour is red then yes otherwise approved

rule 1.1 "a"
  topic t1
  for crate
  where share more than 0.5 or colour is one of (red, blue)
  shall load * 125 % at most rating
  says "."
rule 1.2 "b"
  topic t2
  for crate
  shall rating at most standard(smaller_of(allowed, derated))
  says "."
rule 1.3 "c"
  topic t3
  for crate
  where sealed
  shall larger_of(load, total, peak) at most rating + 5 A
  says "."
rule 1.4 "d"
  topic t4
  for crate
  shall total / 2 at most rating and number from 1 to 3
  says "."
rule 1.5 "e"
  topic t5
  for crate
  shall round_up(load to 5 A) = rating or round_down(load / 3 to 1 A) less than 4 A or round_nearest(load to 0.5 A) = 20 A
  says "."
rule 1.6 "f"
  topic t6
  for crate
  where not (heat from 10 °C to 45 °C)
  shall (if approved then load otherwise rating) at least 20 A and (if sealed then approved otherwise share = 1)
  says "."
rule 1.7 "g"
  topic t7
  for crate
  shall supply * load / (rating - load) at most 240 V and load / share at most 100 A
  says "."
rule 1.8 "h"
  topic t8
  for crate
  shall smallest(s in list 1.4 where s at least load and s more than rating * 0.8) at most 60 A
  says "."
rule 1.9 "i"
  topic t9
  for crate
  shall largest(s in list 1.4 where s at most rating) at least load
  says "."
rule 1.10 "j"
  topic t10
  for crate
  shall table 1.3 [load, sealed] at most rating
  says "."
rule 1.11 "k"
  topic t11
  for crate
  shall any(p in pieces where p.loose : p.draw at least load) or all(p in pieces : p.draw at most 20 A)
  says "."
rule 1.12 "l"
  topic t12
  for crate
  shall least_draw at least 5 A and complete(pieces) and made at least 2015-01-01
  says "."
rule 1.13 "m"
  topic t13
  for piece
  where crate.sealed
  shall draw at most crate.rating and wide_enough
  says "."
  except 1 where loose and crate.number more than 1
rule 1.14 "n"
  topic t14
  for crate
  where applies(t1)
  shall width at least 18 in and wire at least 12 AWG
  says "."

define crate.weakest : current = smaller_of(load, rating, least_draw)
define crate.strongest : current = larger_of(load, 10 A, rating, peak)

rule 2.1 "Bounds compared with each other, with a constant and with a column"
  topic t15
  for crate
  shall (weakest at most strongest / 2 and weakest at least 15 A) or strongest = load
  says "."
rule 2.2 "Bounds times and by what may be negative"
  topic t16
  for crate
  shall weakest * (share - 0.5) at least strongest * (0.25 - share) or strongest / (share - 1) less than 20 A
  says "."
rule 2.3 "Bounds times and by constants below zero and above"
  topic t17
  for crate
  shall number * (10 A - 25 A) more than weakest - 60 A or total / (1 - 3) at least 0 A - 20 A or 2 * peak less than 50 A
  says "."
rule 2.4 "Bounds times and by bounds"
  topic t18
  for crate
  shall number * total at most 60 A or strongest / number at least 20 A or strongest - weakest at most 10 A
  says "."
rule 2.5 "Bounds chosen"
  topic t19
  for crate
  shall (if approved then weakest otherwise strongest) = 20 A or (if sealed then peak otherwise 15 A) more than rating
  says "."
rule 2.6 "Bounds where only an exact number will do"
  topic t20
  for crate
  shall table 1.2 [weakest].share at least 0.8 or round_up(strongest to 5 A) at most 30 A or standard(weakest) = 20 A
  says "."
rule 2.7 "Bounds of ratings that come from short lists"
  topic t21
  for crate
  shall smaller_of(allowed, standard(load)) * 125 % at least larger_of(allowed, standard(rating)) - weakest
  says "."
rule 2.8 "Bounds of the crate, asked by its pieces"
  topic t22
  for piece
  shall draw at most crate.weakest or draw * 2 at least crate.strongest or crate.number more than 2
  says "."

define crate.net : current = sum(p in pieces where p.loose : p.draw - 15 A)
define crate.cut : current = max(p in pieces where not p.loose : smaller_of(p.draw, 30 A))
define crate.carried : current = sum(p in pieces where p.loose : smaller_of(p.draw, 30 A))
define crate.spare : current = min(p in pieces where p.loose : larger_of(p.draw, 2 A))

rule 2.9 "Reductions of what may be negative, and of bounds"
  topic t23
  for crate
  shall (net at most 0 A and cut at most 20 A) or (carried at least 15 A and spare less than load)
  says "."

define piece.wide_enough : yes_no = crate.width more than 1 ft or not loose
)";

} // namespace

TEST_CASE("columns: every operation gives what the scalar evaluator gives on random tables") {
    const trial::Compiled compiled = trial::compiled(every_operation);
    for (const program::Op op :
         {program::Op::add,          program::Op::subtract,     program::Op::multiply,
          program::Op::divide,       program::Op::larger,       program::Op::smaller,
          program::Op::round_down,   program::Op::round_up,     program::Op::round_nearest,
          program::Op::choose_truth, program::Op::choose_value, program::Op::lookup,
          program::Op::next,         program::Op::first_where,  program::Op::join,
          program::Op::any_of,       program::Op::all_of,       program::Op::count_of,
          program::Op::sum_of,       program::Op::max_of,       program::Op::min_of,
          program::Op::gather}) {
        INFO(program::op_name(op));
        CHECK(std::any_of(compiled.program.code.begin(), compiled.program.code.end(),
                          [&](const program::Instruction &in) { return in.op == op; }));
    }
    Checked all;
    for (std::uint32_t seed = 1; seed <= 400 / fewer; ++seed) {
        const std::int32_t item = book::find_item(
            *compiled.book, seed % 4 == 0 ? "piece" : (seed % 4 == 1 ? "job" : "crate"));
        const Checked c = compare(*compiled.book, compiled.program, item, seed, 100, 1 + seed % 2,
                                  0.2 + 0.15 * (seed % 6));
        all += c;
    }
    INFO(all.verdicts << " verdicts, " << all.decided << " decided, " << all.faulty
                      << " faulty rows, " << all.lacks << " lacks");
    CHECK(all.decided > all.verdicts / 10);
    CHECK(all.lacks > 10'000 / fewer);
}

TEST_CASE("columns: shipped editions give the verdicts of the scalar evaluator on random tables") {
    for (const char *name : {"nec-2017+tia-17-2", "nec-2020", "nec-2023"}) {
        const trial::Compiled compiled = trial::compiled(book::open_book(name, {}));
        const Checked all = compare_all(*compiled.book, compiled.program, 24, 150 / fewer);
        INFO(name << ": " << all.verdicts << " verdicts, " << all.decided << " decided, "
                  << all.faulty << " faulty rows");
        CHECK(all.verdicts > 10000 / fewer);
        CHECK(all.decided > all.verdicts / 20);
        CHECK(all.by_three > 1000 / fewer);
    }
}

TEST_CASE("columns: generated books give the verdicts of the other two on random tables") {
    Checked all;
    for (std::uint32_t seed = 1; seed <= 12; ++seed) {
        generated::Writer writer(seed);
        std::string rules = generated::figures;
        for (int i = 1; i <= 30; ++i)
            rules += writer.rule(i);
        const std::string &words = seed % 2 == 0 ? generated::implying : trial::vocabulary;
        const trial::Compiled compiled = trial::compiled(trial::open(rules, {}, words));
        const std::int32_t crate = book::find_item(*compiled.book, "crate");
        const Checked c = compare(*compiled.book, compiled.program, crate, seed, 200, 1 + seed % 2,
                                  0.3 + 0.1 * (seed % 6));
        all += c;
    }
    INFO(all.verdicts << " verdicts, " << all.decided << " decided, " << all.by_three
                      << " also by the walker");
    CHECK(all.decided > all.verdicts / 5);
    CHECK(all.by_three > 5000);
}
