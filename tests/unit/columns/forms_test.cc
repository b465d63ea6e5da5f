// What fits no narrow form, over random tables: more choices than a byte has, long tables and
// lists, truths out of tables, look-ups by many keys, products of many values, and facts that
// constants, tables and lists imply.
#include "catch.h"
#include "compare.h"

namespace {

using namespace groundrule;

#ifdef GROUNDRULE_SANITIZED
constexpr std::uint32_t tables = 24;
#else
constexpr std::uint32_t tables = 96;
#endif

std::string words() {
    std::string out = trial::vocabulary + "\ntype drum_kind : one of (";
    for (int i = 0; i < 300; ++i)
        out += (i == 0 ? "k" : ", k") + std::to_string(i);
    return out + R"()

item drum in job as drums "A drum"
  kind   : drum_kind       choice   "Which kind?"
  load   : current         measure  "How much does it carry?"
  rating : current         look_up  "What is it rated for?"
  strain : current         measure  "How much does it pull?"
  tension : current        measure  "How much does it stretch?"
  worth  : current         look_up  "What is it worth?"
  both   : current         look_up  "What do both say?"
  plain  : yes_no          measure  "Is it plain?"
  heat   : temperature     measure  "How hot is it?"
  share  : number          measure  "Which share?"
  layers : number          measure  "How many layers?"
  tight  : yes_no          measure  "Is it tight?"
  old    : yes_no          measure  "Is it old?"
  wet    : yes_no          measure  "Is it wet?"
  bare   : yes_no          measure  "Is it bare?"
  dull   : yes_no          measure  "Is it dull?"
  wire   : conductor_size  look_up  "Which wire?"
  earth  : conductor_size  look_up  "Which earth?"

item rope in drum as ropes "A rope on a drum"
  pull  : current  measure "How much does it pull?"
  slack : yes_no   measure "Is it slack?"

imply drum "All are old"
  old = yes
imply drum "And nobody doubts it"
  old = yes
imply drum "What the kind says"
  tight = table "tight kinds" [kind]
imply drum "What the load says"
  wet = table "wet loads" [load]
imply drum "At least its strongest rope"
  strain = max(r in ropes : r.pull)
imply drum "And not far above its weakest"
  strain = min(r in ropes : r.pull) + 200 A
imply drum "At least its strongest rope"
  tension = max(r in ropes : r.pull)
imply drum "What the load is worth"
  worth = table "many values" [load]
imply drum "All are plain"
  plain = yes
imply drum "What the wire says"
  both = table "carried" [wire]
imply drum "What the earth says"
  both = table "carried" [earth]
imply drum "What the wire carries"
  rating = table "carried" [wire]
)";
}

std::string rules() {
    std::string out = "table \"tight kinds\" \"T\"\n  gives yes_no\n  by kind : drum_kind\n";
    for (int i = 0; i < 300; ++i)
        out += "  k" + std::to_string(i) + (i % 3 == 0 ? " | yes\n" : " | no\n");
    out += "table \"wet loads\" \"T\"\n  gives yes_no\n  by load : current at most\n";
    for (int i = 1; i <= 10; ++i)
        out += "  " + std::to_string(10 * i) + (i % 2 == 0 ? " A | yes\n" : " A | no\n");
    out += "table \"long\" \"T\"\n  gives current\n  by load : current at most\n";
    for (int i = 1; i <= 300; ++i)
        out += "  " + std::to_string(i) + " A | " + std::to_string(2 * i + i % 7) + " A\n";
    out += "table \"many values\" \"T\"\n  gives current\n  by load : current at least\n";
    for (int i = 1; i <= 254; ++i)
        out += "  " + std::to_string(i) + " A | " + std::to_string(3 * i) + ".5 A\n";
    out += "list \"many\" \"L\" of current\n  = 1 A";
    for (int i = 2; i <= 300; ++i)
        out += ", " + std::to_string(i) + " A";
    out += "\ntable \"five\" \"T\"\n  gives current\n"
           "  by a : yes_no, b : yes_no, c : yes_no, d : yes_no, e : yes_no\n";
    for (int i = 0; i < 32; ++i) {
        out += " ";
        for (int bit = 0; bit < 5; ++bit)
            out += (i >> bit & 1) != 0 ? " yes |" : " no |";
        out += " " + std::to_string(i) + " A\n";
    }
    out += "table \"sparse\" \"T\"\n  gives number\n  by x : number, y : number, z : number\n";
    for (int i = 0; i < 41; ++i)
        out += "  " + std::to_string(i) + " | " + std::to_string(i) + " | " + std::to_string(i) +
               " | " + std::to_string(i + 1) + "\n";
    const char *sizes[] = {"14 AWG",    "12 AWG",    "10 AWG",   "8 AWG",     "6 AWG",
                           "4 AWG",     "3 AWG",     "2 AWG",    "1 AWG",     "1/0 AWG",
                           "2/0 AWG",   "3/0 AWG",   "4/0 AWG",  "250 kcmil", "300 kcmil",
                           "350 kcmil", "400 kcmil", "500 kcmil"};
    out += "table \"carried\" \"T\"\n  gives current\n  by wire : conductor_size\n";
    int amps = 13;
    for (const char *size : sizes)
        out += "  " + std::string(size) + " | " + std::to_string(amps += 11) + ".5 A\n";
    out += "table \"factor\" \"T\"\n  gives number\n  by wire : conductor_size\n";
    int factor = 0;
    for (const char *size : sizes)
        out += "  " + std::string(size) + " | 1." + std::to_string(factor += 3) + "\n";
    out += "table \"square\" \"T\"\n  gives current\n  by wire : conductor_size, earth : "
           "conductor_size\n";
    int cell = 0;
    for (const char *size : sizes) {
        for (const char *earth : sizes)
            out +=
                "  " + std::string(size) + " | " + earth + " | " + std::to_string(++cell) + " A\n";
    }
    const auto keyed = [&](const std::string &name, const std::vector<std::string> &keys,
                           const std::string &match) {
        out += "table \"" + name + "\" \"T\"\n  gives current\n  by load : current" + match + "\n";
        int value = 7;
        for (const std::string &key : keys)
            out += "  " + key + " A | " + std::to_string(value += 13) + " A\n";
    };
    keyed("wide", {"10", "100", "400", "900"}, " at most");
    keyed("wider", {"50",  "100", "150", "200", "250", "300", "350", "400", "450", "500",
                    "550", "600", "650", "700", "750", "800", "850", "900", "950", "1000"},
          " at least");
    keyed("near", {"1", "1.000001", "100", "200", "3000"}, " at most");
    keyed("fine", {"20", "20.000001", "20.00005", "20.0001"}, "");
    keyed("uneven", {"1", "1.5", "300", "500", "700", "900"}, " at most");
    keyed("huge", {"40000", "50000"}, " at most");
    out += "table \"pairs\" \"T\"\n  gives current\n  by load : current, tight : yes_no\n"
           "  10 A | yes | 20 A\n  10 A | no | 30 A\n  20 A | yes | 40 A\n"
           "table \"large\" \"T\"\n  gives current\n  by wire : conductor_size\n"
           "  8 AWG | 30 A\n  6 AWG | 40000 A\n  4 AWG | 25 A\n"
           "list \"forty\" \"L\" of current\n  = 1 A";
    for (int i = 2; i <= 40; ++i)
        out += ", " + std::to_string(i * i) + " A";
    out += "\n";
    const std::vector<std::string> conditions = {
        "table \"wide\" [load] at most table \"wider\" [rating]",
        "table \"near\" [load] at most 40 A or table \"fine\" [rating] at least 30 A",
        "table \"uneven\" [load] at most 40 A or table \"huge\" [rating] at least 30 A",
        "load = rating or load = worth or tension at least 20 A or both = load",
        "heat = 0 °C - 40000 °C rise or heat at least 0 °C - 40000 °C rise",
        "240 V / load at least 6 ohm or plain",
        "table \"pairs\" [load, tight] at least 20 A or table \"pairs\" [17 A, tight] at least 1 A",
        "table \"large\" [wire] at least load",
        "table \"square\" [wire, earth] at least load",
        "smallest(s in list \"forty\" where s at least load) at most rating",
        "round_up(table \"many values\" [load] to 5 A) at most rating",
        "table \"many values\" [load] + table \"many values\" [rating] at most 500 A",
        "tight",
        "wet or table \"tight kinds\" [kind]",
        "table \"wet loads\" [rating] and not wet",
        "table \"long\" [load] at most rating",
        "table \"long\" [strain] at least table \"many values\" [strain]",
        "smallest(s in list \"many\" where s at least load) at most rating",
        "smallest(s in list \"many\" where s at least strain) at least 20 A",
        "table \"five\" [tight, old, wet, bare, dull] at most load",
        "table \"sparse\" [share, layers, share] at least 1",
        "table \"carried\" [wire] * table \"factor\" [earth] at most rating",
        "table \"carried\" [wire] + table \"carried\" [earth] more than strain",
        "kind is one of (k1, k2, k3, k280) or kind is not k7",
        "load at most 40000 A and load less than 40000 A and 40000 A more than load",
        "load = 40000 A or load = 0.5 A or load at least 33000 A",
        "10 A at least load or 5 A more than rating or 32767 A at least load",
        "sum(r in ropes where 1 A more than 2 A : r.pull) = 0 A",
        "max(r in ropes where 2 A more than 1 A : r.pull) at least 5 A",
        "min(r in ropes where 1 A more than 2 A : r.pull) at least 5 A",
        "sum(r in ropes where r.slack : table \"many values\" [r.pull]) at most 100 A",
        "max(r in ropes where not r.slack : table \"many values\" [r.pull]) at most 100 A",
        "min(r in ropes where r.slack : table \"many values\" [r.pull]) at least 4.5 A",
        "(if 1 A more than 2 A then load otherwise rating) at least 5 A",
        "(if 2 A more than 1 A then tight otherwise bare)",
        "load / 0 at most 3 A or load / (share - share) at most 3 A",
        "larger_of(strain, load, table \"carried\" [wire]) at most smaller_of(rating, 90 A)",
        "(if table \"tight kinds\" [kind] then bare otherwise dull)",
        "heat at most 30 °C and heat + 10 °C rise at least 20 °C",
    };
    for (std::size_t i = 0; i < conditions.size(); ++i) {
        const std::string n = std::to_string(i + 1);
        out += "rule 1." + n + " \"R\"\n  topic t" + n + "\n  for drum\n  shall " + conditions[i] +
               "\n  says \".\"\n";
    }
    out += "rule 1.99 \"R\"\n  topic asks_nothing\n  for drum\n  where tight\n  caution\n  says "
           "\".\"\n";
    return out + "rule 2.1 \"R\"\n  topic r1\n  for rope\n  where drum.tight\n"
                 "  shall pull at most drum.strain and table \"long\" [pull] at most drum.rating\n"
                 "  says \".\"\n";
}

} // namespace

TEST_CASE("columns: what fits no narrow form is as the scalar evaluator has it") {
    const trial::Compiled compiled = trial::compiled(trial::open(rules(), {}, words()));
    compared::Checked all;
    for (std::uint32_t seed = 1; seed <= tables; ++seed) {
        const std::int32_t item = book::find_item(
            *compiled.book, seed % 5 == 0 ? "rope" : (seed % 5 == 1 ? "job" : "drum"));
        const compared::Checked c = compared::compare(*compiled.book, compiled.program, item, seed,
                                                      100, 1 + seed % 2, 0.15 + 0.15 * (seed % 6));
        all += c;
    }
    INFO(all.verdicts << " verdicts, " << all.decided << " decided, " << all.faulty
                      << " faulty rows, " << all.lacks << " lacks");
    CHECK(all.decided > all.verdicts / 20);
    CHECK(all.faulty > 0);
    CHECK(all.lacks > 1000);
}

TEST_CASE("columns: what a constant implies is not what is assumed") {
    const trial::Compiled c = trial::compiled(
        trial::open(trial::rule_that("sealed"), {},
                    trial::vocabulary + "\nimply crate \"All are sealed\"\n  sealed = yes\n"));
    frame::Arena arena;
    ArrowSchema &schema = arena.schema("+s", "");
    ArrowArray &array = arena.array(1, 0);
    arena.buffers(array, {nullptr});
    array.null_count = 0;
    const std::int32_t crate = book::find_item(*c.book, "crate");
    const std::int32_t sealed =
        book::find_field(c.book->items[static_cast<std::size_t>(crate)], "sealed");
    columns::AuditOptions options;
    options.layout.item = "crate";
    options.plan.assumptions = {{crate, 0, 0}, {crate, sealed, 0}};
    Diagnostics diagnostics;
    auto audit = columns::Audit::open(*c.book, c.program, schema, options, diagnostics);
    REQUIRE(audit);
    std::string fault;
    const auto outcome = audit->batch(array, fault);
    REQUIRE(outcome);
    CHECK(int{outcome->verdicts[0][0]} == 0);
}
