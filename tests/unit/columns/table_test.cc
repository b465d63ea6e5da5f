// Arrays that are not what their schema says, and values that can't be: what is told, and that
// nothing else of the table is lost.
#include "catch.h"
#include "handmade.h"

namespace {

using namespace groundrule;
using columns::Audit;
using columns::Outcome;
using handmade::Grown;
using handmade::Table;

const std::string rules = trial::rule_that("load at most 40 A or sealed or colour is red or share "
                                           "at least 1") +
                          "rule 1.2 \"P\"\n  topic pieces\n  for piece\n  shall loose\n  says "
                          "\"Fixed.\"\n";

const trial::Compiled &compiled() {
    static const trial::Compiled c = trial::compiled(trial::open(rules));
    return c;
}

columns::AuditOptions crates() {
    columns::AuditOptions out;
    out.layout.item = "crate";
    out.layout.columns = {{"amps", "crate.load", "A"}};
    out.layout.ignore_unknown = true;
    out.plan.read_all = true;
    out.plan.assumptions = {{0, 0, 0}};
    return out;
}

Audit audit_of(const Grown &table, columns::AuditOptions options = crates()) {
    Diagnostics diagnostics;
    std::erase_if(options.layout.columns, [&](const columns::Mapping &m) {
        for (std::int64_t i = 0; i < table.schema->n_children; ++i) {
            if (m.column == table.schema->children[i]->name)
                return false;
        }
        return true;
    });
    auto audit =
        Audit::open(*compiled().book, compiled().program, *table.schema, options, diagnostics);
    INFO(render(diagnostics, {}));
    REQUIRE(audit);
    return std::move(*audit);
}

// What a table is refused for; empty if it is taken.
std::string refused(const Grown &table) {
    Audit audit = audit_of(table);
    std::string fault;
    const auto outcome = audit.batch(*table.array, fault);
    CHECK(outcome.has_value() == fault.empty());
    std::string same;
    CHECK(audit.job(*table.array, 0, same).has_value() == fault.empty());
    CHECK(same == fault);
    return fault;
}

// The faults of rows, each with its row.
std::string faulty(Table &t, std::size_t rows) {
    const Grown table = t.whole(rows);
    Audit audit = audit_of(table);
    std::string fault;
    const auto outcome = audit.batch(*table.array, fault);
    REQUIRE(outcome);
    std::string out;
    for (const columns::RowFault &f : outcome->faults)
        out += (out.empty() ? "" : "\n") + std::to_string(f.row) + ": " + f.message;
    CHECK(outcome->faulty == outcome->faults.size());
    return out;
}

} // namespace

TEST_CASE("table: a column that is not as its schema says is refused by its name") {
    const std::vector<std::pair<const char *, std::function<void(Grown &)>>> wrong = {
        {"short", [](Grown &g) { g.array->length = 2; }},
        {"one buffer", [](Grown &g) { g.array->n_buffers = 1; }},
        {"no buffers", [](Grown &g) { g.array->buffers = nullptr; }},
        {"no values", [](Grown &g) { g.array->buffers[1] = nullptr; }},
        {"askew",
         [](Grown &g) {
             g.array->buffers[1] = static_cast<const char *>(g.array->buffers[1]) + 1;
         }},
        {"a dictionary that the schema has not", [](Grown &g) { g.array->dictionary = g.array; }},
    };
    for (const auto &[what, spoil] : wrong) {
        INFO(what);
        Table t;
        Grown amps = t.numbers<double>("g", "amps", {10, 20, 30});
        t.columns = {amps};
        spoil(amps);
        CHECK(refused(t.whole(3)) == "column amps is not as its schema says");
    }
    Table fewer;
    fewer.columns = {fewer.truths("sealed", {1}), fewer.numbers<double>("g", "amps", {10})};
    const Grown table = fewer.whole(1);
    table.array->n_children = 1;
    CHECK(refused(table) == "column amps is not as its schema says");
}

TEST_CASE("table: a dictionary that is not as its schema says is refused") {
    const std::vector<std::pair<const char *, std::function<void(Grown &)>>> wrong = {
        {"none", [](Grown &g) { g.array->dictionary = nullptr; }},
        {"no texts", [](Grown &g) { g.array->dictionary->n_buffers = 2; }},
        {"no offsets", [](Grown &g) { g.array->dictionary->buffers[1] = nullptr; }},
        {"no indices", [](Grown &g) { g.array->buffers[1] = nullptr; }},
    };
    for (const auto &[what, spoil] : wrong) {
        INFO(what);
        Table t;
        Grown colour = t.dictionary("colour", {"red", "blue"}, {0, 1});
        t.columns = {colour};
        spoil(colour);
        CHECK(refused(t.whole(2)) == "column colour is not as its schema says");
    }
}

TEST_CASE("table: columns without rows need no buffers, and one of nothing never does") {
    Table t;
    const Grown amps = t.numbers<double>("g", "amps", {});
    amps.array->buffers = nullptr;
    amps.array->n_buffers = 0;
    const Grown nothing{&t.arena.schema("n", "share"), &t.arena.array(0, 0)};
    t.columns = {amps, nothing};
    const Grown table = t.whole(0);
    Audit audit = audit_of(table);
    std::string fault;
    const auto outcome = audit.batch(*table.array, fault);
    REQUIRE(outcome);
    CHECK(outcome->rows == 0);
    CHECK_FALSE(audit.job(*table.array, 0, fault));
    CHECK(fault == "the table has fewer rows");
}

TEST_CASE(
    "table: lists that are not as their schema says, or whose offsets are none, are refused") {
    const std::string shape = "column pieces is not as its schema says";
    const std::string offsets =
        "column pieces: its offsets are not those of lists, or a null list holds items";
    const auto told = [](const std::vector<std::int32_t> &places,
                         const std::function<void(Table &, Grown &)> &spoil) {
        Table t;
        Grown pieces = t.list("pieces", places, {t.truths("loose", {1, 0, 1})}, 3);
        t.columns = {t.truths("sealed", {1, 1}), pieces};
        spoil(t, pieces);
        return refused(t.whole(2));
    };
    const auto nothing = [](Table &, Grown &) {};
    CHECK(told({0, 1, 3}, nothing).empty());
    CHECK(told({0, 1, 1}, nothing).empty());
    CHECK(told({0, 2, 1}, nothing) == offsets);
    CHECK(told({0, 1, 4}, nothing) == offsets);
    CHECK(told({0, 1, 3}, [](Table &t, Grown &g) { t.null_where_not(g, {1, 0}); }) == offsets);
    CHECK(told({0, 1, 1}, [](Table &t, Grown &g) { t.null_where_not(g, {1, 0}); }).empty());
    CHECK(told({0, 1, 3}, [](Table &, Grown &g) { g.array->n_children = 0; }) == shape);
    CHECK(told({0, 1, 3}, [](Table &, Grown &g) { g.array->n_buffers = 1; }) == shape);
    CHECK(told({0, 1, 3}, [](Table &, Grown &g) {
              g.array->buffers[1] = static_cast<const char *>(g.array->buffers[1]) + 1;
          }) == shape);
    Table t;
    t.columns = {t.truths("sealed", {1, 1}),
                 t.list("pieces", {0, 1, 3}, {t.truths("loose", {1, 0, 1})}, 3)};
    const Grown fewer = t.whole(2);
    fewer.array->n_children = 1;
    CHECK(refused(fewer) == shape);
}

TEST_CASE("table: a value that can't be is told with its row and column, and costs no other row") {
    Table t;
    t.columns = {t.numbers<double>("g", "amps", {10, -3, 1e300, 20})};
    CHECK(faulty(t, 4) == "1: column amps: crate.load can't be less than zero\n"
                          "2: column amps: crate.load is too large, or no number");
    t.columns = {t.numbers<std::int32_t>("i", "amps", {10, 40000, -40000, 2147483647})};
    CHECK(faulty(t, 4) == "2: column amps: crate.load can't be less than zero");
    t.columns = {t.numbers<std::uint8_t>("C", "sealed", {0, 1, 2, 1})};
    CHECK(faulty(t, 4) == "2: column sealed: crate.sealed is a yes_no: 0 or 1");
    t.columns = {t.texts("sealed", {"yes", "true", "no", "false", "perhaps"})};
    CHECK(faulty(t, 5) == "4: column sealed: crate.sealed is a yes_no, and \"perhaps\" is a text");
    t.columns = {t.texts("load", {"10 A", "10", "10 V"})};
    CHECK(faulty(t, 3) == "1: column load: crate.load: \"10\" has no unit\n"
                          "2: column load: crate.load is a current, and \"10 V\" is a voltage");
    t.columns = {t.texts("colour", {"red", "gren"})};
    CHECK(faulty(t, 2) == "1: column colour: \"gren\" is no choice of crate.colour");
}

TEST_CASE("table: an index beyond its dictionary is told, whatever the form of the fact") {
    Table t;
    for (const auto &[column, entry] : std::vector<std::pair<std::string, std::string>>{
             {"colour", "red"}, {"sealed", "yes"}, {"load", "10 A"}}) {
        t.columns = {t.dictionary(column, {entry}, {0, 1, -1, 0})};
        const std::string says =
            ": column " + column + ": crate." + column + ": its dictionary has no entry ";
        CHECK(faulty(t, 4) == "1" + says + "1\n2" + says + "-1");
    }
}

TEST_CASE("table: an entry of a dictionary that can't be costs the rows that have it alone") {
    Table t;
    t.columns = {t.dictionary("colour", {"red", "gren"}, {0, 1, 0})};
    CHECK(faulty(t, 3) == "1: column colour: \"gren\" is no choice of crate.colour");
    t.columns = {t.dictionary("load", {"10 A", "10 V"}, {0, 1, 0})};
    CHECK(faulty(t, 3) == "1: column load: crate.load is a current, and \"10 V\" is a voltage");
}

TEST_CASE("table: an entry of a dictionary that is null says nothing, and nor does a null row") {
    for (const auto &[column, entry] : std::vector<std::pair<std::string, std::string>>{
             {"colour", "red"}, {"sealed", "yes"}, {"load", "10 A"}}) {
        Table t;
        const Grown made = t.dictionary(column, {entry, "nonsense"}, {0, 1, 0, 0});
        made.array->dictionary->buffers[0] = t.arena.keep(handmade::bits({1, 0}));
        made.array->dictionary->null_count = 1;
        t.null_where_not(made, {1, 1, 1, 0});
        t.columns = {made};
        const Grown table = t.whole(4);
        Audit audit = audit_of(table);
        std::string fault;
        const auto outcome = audit.batch(*table.array, fault);
        REQUIRE(outcome);
        CHECK(outcome->faulty == 0);
        const std::vector<int> verdicts(outcome->verdicts[0], outcome->verdicts[0] + 4);
        INFO(column);
        CHECK(verdicts == std::vector<int>{0, 3, 0, 3});
        const auto job = audit.job(*table.array, 1, fault);
        REQUIRE(job);
        const std::int32_t crate = book::find_item(*compiled().book, "crate");
        for (const Cell &c : job->rows(crate).given.cells())
            CHECK_FALSE(c.known());
    }
}

TEST_CASE("table: the first faulty rows are told, and all are counted") {
    Table t;
    std::vector<double> values(250, -1);
    values[3] = 10;
    t.columns = {t.numbers("g", "amps", values)};
    const Grown table = t.whole(values.size());
    columns::AuditOptions options = crates();
    options.plan.lacks = true;
    Audit audit = audit_of(table, options);
    std::string fault;
    const auto outcome = audit.batch(*table.array, fault);
    REQUIRE(outcome);
    CHECK(outcome->faulty == 249);
    CHECK(outcome->faults.size() == 100);
    CHECK(outcome->faults[3].row == 4);
    CHECK(outcome->verdicts[0][3] == 0);
    CHECK(outcome->lacks.empty()); // rows without verdicts lack nothing
}

TEST_CASE("table: a row is told as a job, unless it has a value that can't be") {
    Table t;
    t.columns = {t.numbers<double>("g", "amps", {10, -3})};
    const Grown table = t.whole(2);
    const Audit audit = audit_of(table);
    std::string fault;
    const auto job = audit.job(*table.array, 0, fault);
    REQUIRE(job);
    const std::int32_t crate = book::find_item(*compiled().book, "crate");
    const std::int32_t load =
        book::find_field(compiled().book->items[static_cast<std::size_t>(crate)], "load");
    CHECK(job->rows(crate).given.at(static_cast<std::size_t>(load), 0).value == 10);
    CHECK_FALSE(audit.job(*table.array, 1, fault));
    CHECK(fault == "column amps: crate.load can't be less than zero");
}

TEST_CASE("table: very many different texts of one column are read like few") {
    std::vector<std::string> texts;
    std::vector<double> numbers;
    for (int i = 0; i < 6000; ++i) {
        texts.push_back(std::to_string(i / 100) + "." + std::to_string(100 + i % 100) + " A");
        numbers.push_back(i / 100 + (100 + i % 100) / 1000.0);
    }
    Table t;
    t.columns = {t.texts("load", texts)};
    const Grown as_texts = t.whole(texts.size());
    t.columns = {t.numbers("g", "amps", numbers)};
    const Grown as_numbers = t.whole(numbers.size());
    std::string fault;
    Audit a = audit_of(as_texts);
    Audit b = audit_of(as_numbers);
    const auto x = a.batch(*as_texts.array, fault);
    const auto y = b.batch(*as_numbers.array, fault);
    REQUIRE(x);
    REQUIRE(y);
    CHECK(std::equal(x->verdicts[0], x->verdicts[0] + texts.size(), y->verdicts[0]));
    CHECK(std::count(x->verdicts[0], x->verdicts[0] + texts.size(), 0) == 4000);
}

TEST_CASE(
    "table: what is assumed where a row tells nothing is assumed as it is, whatever the column "
    "counts in") {
    struct Case {
        std::string unit;
        double assumed;
        int verdict; // of a load that shall be at most 40 A
    };
    const std::int32_t crate = book::find_item(*compiled().book, "crate");
    const std::int32_t load =
        book::find_field(compiled().book->items[static_cast<std::size_t>(crate)], "load");
    for (const Case &c : {Case{"A", 40, 0}, Case{"A", 40.5, 1}, Case{"A", 70000, 1},
                          Case{"kA", 39.5, 0}, Case{"kA", 400, 1}, Case{"kA", 2000, 1}}) {
        Table t;
        const Grown amps = t.numbers<std::int32_t>("i", "amps", {0, 1000});
        t.null_where_not(amps, {0, 1});
        t.columns = {amps};
        const Grown table = t.whole(2);
        columns::AuditOptions options = crates();
        options.layout.columns = {{"amps", "crate.load", c.unit}};
        options.plan.assumptions = {{crate, 0, 0}, {crate, load, c.assumed}};
        for (const char *field : {"sealed", "share"})
            options.plan.assumptions.push_back(
                {crate,
                 book::find_field(compiled().book->items[static_cast<std::size_t>(crate)], field),
                 0});
        options.plan.assumptions.push_back(
            {crate,
             book::find_field(compiled().book->items[static_cast<std::size_t>(crate)], "colour"),
             1});
        Audit audit = audit_of(table, options);
        std::string fault;
        const auto outcome = audit.batch(*table.array, fault);
        REQUIRE(outcome);
        INFO(c.assumed << " A for a column in " << c.unit);
        CHECK(int{outcome->verdicts[0][0]} == c.verdict);
        CHECK(int{outcome->verdicts[0][1]} == 1);
    }
}

TEST_CASE("table: bits of a column without nulls are not looked at, and a count may be unknown") {
    Table t;
    const Grown sealed = t.truths("sealed", {1, 1, 1});
    t.null_where_not(sealed, {0, 0, 0});
    sealed.array->null_count = 0;
    const Grown colour = t.dictionary("colour", {"red", "blue"}, {0, 1, 0});
    colour.array->null_count = -1;
    colour.array->dictionary->null_count = -1;
    const Grown nothing{&t.arena.schema("n", "share"), &t.arena.array(3, 0)};
    t.columns = {sealed, colour, nothing, t.numbers<double>("g", "amps", {10, -3, 10})};
    CHECK(faulty(t, 3) == "1: column amps: crate.load can't be less than zero");
    const Grown table = t.whole(3);
    const Audit audit = audit_of(table);
    std::string fault;
    const auto job = audit.job(*table.array, 2, fault);
    REQUIRE(job);
    const std::int32_t crate = book::find_item(*compiled().book, "crate");
    const book::Item &item = compiled().book->items[static_cast<std::size_t>(crate)];
    const auto told = [&](const char *name) {
        return job->rows(crate).given.at(static_cast<std::size_t>(book::find_field(item, name)), 0);
    };
    CHECK(told("sealed").value == 1);
    CHECK(told("colour").known());
    CHECK_FALSE(told("share").known());
}
