// Schemas that do not fit a book: each fault names its column and what would be right.
#include "catch.h"
#include "handmade.h"

namespace {

using namespace groundrule;
using columns::LayoutOptions;
using handmade::Arena;
using handmade::Table;

const std::string words =
    trial::vocabulary +
    "\nitem drum in job as drums \"A drum\"\n  tight : yes_no measure \"Is it tight?\"\n";

const trial::Compiled &compiled() {
    static const trial::Compiled c =
        trial::compiled(trial::open(trial::rule_that("sealed"), {}, words));
    return c;
}

LayoutOptions crates() {
    LayoutOptions out;
    out.item = "crate";
    return out;
}

std::string faults(const ArrowSchema &schema, const LayoutOptions &options) {
    Diagnostics diagnostics;
    const auto layout = columns::layout_of(*compiled().book, schema, options, diagnostics);
    CHECK(layout.has_value() == (diagnostics.size() == 0));
    std::string out;
    for (const Diagnostic &d : diagnostics.list())
        out += (out.empty() ? "" : "\n") + d.where + ": " + d.code + ": " + d.message +
               (d.help.empty() ? "" : "; " + d.help);
    return out;
}

using Named = std::vector<std::pair<std::string, std::string>>; // name, format

ArrowSchema &structure(Arena &arena, const std::string &name, const Named &columns,
                       const std::vector<ArrowSchema *> &more = {}) {
    ArrowSchema &s = arena.schema("+s", name);
    std::vector<ArrowSchema *> children;
    for (const auto &[column, format] : columns)
        children.push_back(&arena.schema(format, column));
    children.insert(children.end(), more.begin(), more.end());
    arena.children(s, children);
    return s;
}

std::string faults(const Named &columns, const LayoutOptions &options = crates()) {
    Arena arena;
    return faults(structure(arena, "", columns), options);
}

std::string faults_of_unit(const std::string &unit) {
    LayoutOptions options = crates();
    options.columns = {{"amps", "crate.load", unit}};
    return faults({{"amps", "g"}}, options);
}

} // namespace

TEST_CASE("layout: columns of the right kind tell facts") {
    CHECK(faults({{"colour", "u"},
                  {"sealed", "b"},
                  {"approved", "i"},
                  {"share", "g"},
                  {"made", "tdD"},
                  {"wire", "U"},
                  {"load", "vu"},
                  {"rating", "n"},
                  {"piece.loose", "C"}})
              .empty());
    CHECK(faults({{"made", "i"}}).empty());
    for (const char *unit : {"A", "mA", "kA"})
        CHECK(faults_of_unit(unit).empty());
}

TEST_CASE("layout: a table is a struct of columns of one kind of item") {
    LayoutOptions options = crates();
    options.item = "crat";
    CHECK(faults(Named(), options) == "column table: unknown-item: there is no item \"crat\"");
    Arena arena;
    CHECK(faults(arena.schema("g", "load"), crates()) ==
          "column table: wrong-type: a table is a struct of columns");
}

TEST_CASE("layout: a column that no fact is called by is told, or left out where that is wanted") {
    CHECK(faults({{"laod", "g"}}) ==
          "column laod: unknown-column: no fact is called that; did you mean \"load\"?");
    CHECK(faults({{"zzzzzzzzzz", "g"}}) == "column zzzzzzzzzz: unknown-column: no fact is called "
                                           "that; map the column to a fact, or leave it out");
    CHECK(faults({{"crat.load", "g"}})
              .starts_with("column crat.load: unknown-column: no fact is called that"));
    LayoutOptions options = crates();
    options.ignore_unknown = true;
    CHECK(faults({{"laod", "g"}, {"crat.load", "g"}, {"sealed", "b"}}, options).empty());
    Arena arena;
    ArrowSchema &nameless = arena.schema("g", "");
    nameless.name = nullptr;
    CHECK(faults(structure(arena, "", {}, {&nameless}), crates())
              .starts_with("column : unknown-column: no fact is called that"));
}

TEST_CASE("layout: a mapping to a column that is not there is told") {
    LayoutOptions options = crates();
    options.columns = {{"amps", "crate.load", "A"}};
    CHECK(faults({{"sealed", "b"}}, options) ==
          "column amps: unknown-column: the table has no such column");
}

TEST_CASE("layout: a column of another type than its fact has") {
    const std::string names =
        "its fact is one of several names: a column of texts, or a dictionary of them";
    CHECK(faults({{"colour", "i"}}) == "column colour: wrong-type: " + names);
    CHECK(faults({{"wire", "g"}}) == "column wire: wrong-type: " + names);
    CHECK(faults({{"sealed", "g"}}) ==
          "column sealed: wrong-type: a yes_no is a column of booleans, 0 and 1, or texts");
    CHECK(faults({{"sealed", "f"}}) ==
          "column sealed: wrong-type: a yes_no is a column of booleans, 0 and 1, or texts");
    CHECK(faults({{"load", "b"}}) ==
          "column load: wrong-type: a quantity is a column of numbers or texts");
    CHECK(faults({{"made", "l"}}) ==
          "column made: wrong-type: a date is a column of dates (days) or texts");
    for (const char *format : {"tdm", "z", "+m", "w:16"})
        CHECK(faults({{"load", format}}) ==
              std::string("column load: wrong-type: columns of Arrow format \"") + format +
                  "\" are not read");
    Arena arena;
    ArrowSchema &coded = arena.schema("i", "load");
    coded.dictionary = &arena.schema("g", "");
    CHECK(faults(structure(arena, "", {}, {&coded}), crates()) ==
          "column load: wrong-type: columns of Arrow format \"i\" are not read");
    coded.dictionary = &arena.schema("tdm", "");
    CHECK(faults(structure(arena, "", {}, {&coded}), crates()) ==
          "column load: wrong-type: columns of Arrow format \"i\" are not read");
}

TEST_CASE("layout: numbers of a quantity have a unit of it") {
    CHECK(faults({{"load", "g"}}) ==
          "column load: no-unit: which unit do its numbers have?; expected: one of A, mA, kA");
    for (const char *unit : {"V", "amps", "A or so", "AWG", "-06-01", "%"})
        CHECK(faults_of_unit(unit) == std::string("column amps: wrong-unit: \"") + unit +
                                          "\" is no unit of its fact; expected: one of A, mA, kA");
}

TEST_CASE("layout: two columns of one fact") {
    CHECK(faults({{"sealed", "b"}, {"crate.sealed", "b"}}) ==
          "column crate.sealed: twice: column sealed tells the same fact");
}

TEST_CASE("layout: an item that a row has not one of") {
    CHECK(faults({{"drum.tight", "b"}}) ==
          "column drum.tight: wrong-item: a row of crate has no single drum");
    Arena arena;
    CHECK(faults(structure(arena, "", {}, {&structure(arena, "drum", {{"tight", "b"}})}),
                 crates()) == "column drum: wrong-item: a row of crate has no single drum");
    CHECK(faults(structure(arena, "", {}, {&structure(arena, "drun", {{"tight", "b"}})}), crates())
              .starts_with("column drun: unknown-column: no fact is called that"));
    CHECK(faults(structure(arena, "", {}, {&structure(arena, "piece", {{"loose", "b"}})}), crates())
              .empty());
}

TEST_CASE("layout: items below that are there already are not given rows again") {
    LayoutOptions options;
    options.item = "job";
    CHECK(faults({{"crate.sealed", "b"}, {"piece.loose", "b"}}, options).empty());
    CHECK(faults({{"piece.loose", "b"}, {"crate.sealed", "b"}}, options).empty());
}

TEST_CASE("layout: a list is one of structs, of items that are told nowhere else") {
    Table t;
    const auto loose = [&] { return t.truths("loose", {1}); };
    const auto told = [&](const std::vector<handmade::Grown> &columns) {
        return faults(*t.structure("", columns, 1).schema, crates());
    };
    const auto list = [&](const std::string &name) { return t.list(name, {0, 1}, {loose()}, 1); };
    CHECK(told({list("pieces")}).empty());
    CHECK(told({list("peices")}).starts_with("column peices: unknown-column: "));
    CHECK(told({list("pieces"), list("crate.pieces")}) ==
          "column crate.pieces: wrong-item: the items of this list are told elsewhere too");
    CHECK(told({list("job.crates")}) ==
          "column job.crates: wrong-item: the items of this list are told elsewhere too");
    CHECK(told({list("pieces"), t.truths("piece.loose", {1})}) ==
          "column piece.loose: wrong-item: a row of crate has no single piece");
    LayoutOptions jobs;
    jobs.item = "job";
    CHECK(faults(*t.structure("", {list("crate.pieces")}, 1).schema, jobs) ==
          "column crate.pieces: wrong-item: the items of this list are told elsewhere too");
    CHECK(told({list("drum.pieces")}).starts_with("column drum.pieces: unknown-column: "));
    const handmade::Grown bare = list("pieces");
    bare.schema->children[0] = loose().schema;
    CHECK(told({bare}) == "column pieces: wrong-type: a list of items is a list of structs");
    bare.schema->n_children = 0;
    CHECK(told({bare}) == "column pieces: wrong-type: a list of items is a list of structs");
}

TEST_CASE("layout: lists that are said to be complete are lists of the book") {
    LayoutOptions options = crates();
    for (const char *name : {"pieces", "crate.pieces", "job.drums"}) {
        options.complete = {name};
        CHECK(faults(Named(), options).empty());
    }
    for (const char *name : {"peices", "crate.drums", "crat.pieces"}) {
        options.complete = {name};
        CHECK(faults(Named(), options) ==
              std::string("column ") + name + ": unknown-list: no list is called that");
    }
}
