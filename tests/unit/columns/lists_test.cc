// Rows of lists: what is told of none, of items in items, and how their verdicts leave; batches of
// every size.
#include "catch.h"
#include "handmade.h"

#include "columns/export.h"
#include "columns/row_stream.h"

#include <cerrno>

namespace {

using namespace groundrule;
using columns::Audit;
using columns::Outcome;
using handmade::Grown;
using handmade::Table;

const std::string rules =
    "rule 1.1 \"All pieces\"\n  topic every_piece\n  for crate\n  shall all(p in pieces "
    ": p.loose)\n  says \"No.\"\nrule 1.2 \"A piece\"\n  topic each_piece\n  for piece\n"
    "  shall loose and crate.sealed\n  says \"No.\"\n";

const trial::Compiled &compiled() {
    static const trial::Compiled c = trial::compiled(trial::open(rules));
    return c;
}

std::size_t place_of(const Audit &audit, const std::string &topic) {
    for (std::size_t k = 0; k < audit.plan().rules.size(); ++k) {
        if (compiled().book->rules[audit.plan().rules[k]].topic == topic)
            return k;
    }
    FAIL("no rule " << topic);
    return 0;
}

Audit audit_of(const Grown &table, const std::string &item,
               const std::vector<std::string> &complete = {}, bool lacks = false) {
    columns::AuditOptions options;
    options.layout.item = item;
    options.layout.complete = complete;
    for (const char *name : {"crate", "piece"}) // new work
        options.plan.assumptions.push_back({book::find_item(*compiled().book, name), 0, 0});
    options.plan.lacks = lacks;
    Diagnostics diagnostics;
    auto audit =
        Audit::open(*compiled().book, compiled().program, *table.schema, options, diagnostics);
    INFO(render(diagnostics, {}));
    REQUIRE(audit);
    return std::move(*audit);
}

Outcome outcome_of(Audit &audit, const Grown &table) {
    std::string fault;
    auto outcome = audit.batch(*table.array, fault);
    INFO(fault);
    REQUIRE(outcome);
    return std::move(*outcome);
}

using Verdicts = std::vector<int>;

Verdicts first(const Outcome &outcome, std::size_t rule, std::size_t count) {
    return {outcome.verdicts[rule], outcome.verdicts[rule] + count};
}

} // namespace

TEST_CASE("lists: of rows without items nothing is told, however deep the lists lie") {
    Table t;
    const Grown pieces = t.list("pieces", {0}, {t.truths("loose", {})}, 0);
    const Grown crates = t.list("crates", {0, 0, 0, 0}, {t.truths("sealed", {}), pieces}, 0);
    t.columns = {crates};
    const Grown table = t.whole(3);
    for (const bool lacks : {false, true}) {
        Audit audit = audit_of(table, "job", {}, lacks);
        const Outcome outcome = outcome_of(audit, table);
        CHECK(outcome.rows == 3);
        for (std::size_t tier = 1; tier < outcome.offsets.size(); ++tier)
            CHECK(outcome.offsets[tier] == std::vector<std::int64_t>{0, 0, 0, 0});
    }
}

TEST_CASE("lists: items one to one below an item of a list are its whole list where that is said") {
    Table t;
    const auto table_of = [&] {
        t.columns = {t.list("crates", {0, 2, 3},
                            {t.truths("sealed", {1, 0, 1}),
                             t.structure("piece", {t.truths("loose", {1, 1, 0})}, 3)},
                            3)};
        return t.whole(2);
    };
    const Grown table = table_of();
    Audit open = audit_of(table, "job");
    CHECK(first(outcome_of(open, table), place_of(open, "every_piece"), 3) == Verdicts{3, 3, 1});
    Audit whole = audit_of(table, "job", {"crate.pieces"});
    const Outcome outcome = outcome_of(whole, table);
    CHECK(first(outcome, place_of(whole, "every_piece"), 3) == Verdicts{0, 0, 1});
    CHECK(first(outcome, place_of(whole, "each_piece"), 3) == Verdicts{0, 1, 1});
}

TEST_CASE("lists: verdicts leave as a column of bytes for rows, and as lists of them for items") {
    Table t;
    t.columns = {t.truths("sealed", {1, 0, 1}),
                 t.list("pieces", {0, 2, 2, 3}, {t.truths("loose", {1, 0, 1})}, 3)};
    const Grown table = t.whole(3);
    Audit audit = audit_of(table, "crate", {"pieces"});
    const std::size_t all = place_of(audit, "every_piece");
    const std::size_t one = place_of(audit, "each_piece");
    ArrowSchema schema = {};
    columns::export_schema(*compiled().book, audit, schema);
    CHECK(std::string(schema.format) == "+s");
    REQUIRE(schema.n_children == static_cast<std::int64_t>(audit.plan().rules.size()));
    CHECK(std::string(schema.children[all]->name) == "every_piece");
    CHECK(std::string(schema.children[all]->format) == "C");
    CHECK(std::string(schema.children[one]->name) == "each_piece");
    CHECK(std::string(schema.children[one]->format) == "+L");
    REQUIRE(schema.children[one]->n_children == 1);
    CHECK(std::string(schema.children[one]->children[0]->format) == "C");
    schema.release(&schema);

    ArrowArray array = {};
    columns::export_array(outcome_of(audit, table), array);
    CHECK(array.length == 3);
    const auto *rows = static_cast<const std::uint8_t *>(array.children[all]->buffers[1]);
    CHECK(Verdicts(rows, rows + 3) == Verdicts{1, 0, 0});
    const ArrowArray &lists = *array.children[one];
    CHECK(lists.length == 3);
    const auto *offsets = static_cast<const std::int64_t *>(lists.buffers[1]);
    CHECK(std::vector<std::int64_t>(offsets, offsets + 4) == std::vector<std::int64_t>{0, 2, 2, 3});
    REQUIRE(lists.n_children == 1);
    CHECK(lists.children[0]->length == 3);
    const auto *items = static_cast<const std::uint8_t *>(lists.children[0]->buffers[1]);
    CHECK(Verdicts(items, items + 3) == Verdicts{0, 1, 0});
    array.release(&array);
}

TEST_CASE(
    "batches: memory for verdicts is used again if it is large enough and not far too large") {
    columns::Blocks blocks;
    columns::Blocks::Block large = blocks.take(4096);
    std::uint8_t *const there = large.get();
    blocks.give_back(std::move(large), 4096);
    columns::Blocks::Block same = blocks.take(2048);
    CHECK(same.get() == there);
    blocks.give_back(std::move(same), 4096);
    const columns::Blocks::Block larger = blocks.take(8192);
    CHECK(larger.get() != there);
    const columns::Blocks::Block far_smaller = blocks.take(64);
    CHECK(far_smaller.get() != there);
    CHECK(blocks.take(4096).get() == there);
}

TEST_CASE("batches: an outcome that was moved from gives nothing back") {
    Table t;
    t.columns = {t.truths("sealed", {1, 0, 1})};
    const Grown table = t.whole(3);
    Audit audit = audit_of(table, "crate");
    Outcome first_one = outcome_of(audit, table);
    const std::uint8_t *const there = first_one.block.get();
    {
        const Outcome second_one = std::move(first_one);
        CHECK(second_one.block.get() == there);
    }
    const Outcome again = outcome_of(audit, table);
    CHECK(again.block.get() == there);
}

TEST_CASE("batches: a row of more verdicts than a cache holds has those of a small batch") {
    std::string many;
    for (int i = 1; i <= 300; ++i)
        many += "rule 1." + std::to_string(i) + " \"R\"\n  topic t" + std::to_string(i) +
                "\n  for crate\n  shall " + (i % 2 == 0 ? "sealed" : "approved") +
                "\n  says \".\"\n";
    const trial::Compiled c = trial::compiled(trial::open(many));
    const auto verdicts = [&](std::size_t rows, bool lacks) {
        std::vector<int> sealed;
        std::vector<int> approved;
        for (std::size_t i = 0; i < rows; ++i) {
            sealed.push_back(i % 3 == 0 ? 1 : 0);
            approved.push_back(i % 5 == 0 ? 1 : 0);
        }
        Table t;
        t.columns = {t.truths("sealed", sealed), t.truths("approved", approved)};
        const Grown table = t.whole(rows);
        columns::AuditOptions options;
        options.layout.item = "crate";
        options.plan.assumptions = {{book::find_item(*c.book, "crate"), 0, 0}};
        options.plan.lacks = lacks;
        Diagnostics diagnostics;
        auto audit = Audit::open(*c.book, c.program, *table.schema, options, diagnostics);
        REQUIRE(audit);
        std::string fault;
        auto outcome = audit->batch(*table.array, fault);
        REQUIRE(outcome);
        return std::move(*outcome);
    };
    const Outcome small = verdicts(15, false);
    for (const bool lacks : {false, true}) {
        const Outcome large = verdicts(30000, lacks); // nine million verdicts
        for (std::size_t k = 0; k < large.verdicts.size(); ++k) {
            bool same = true;
            for (std::size_t row = 0; row < large.rows; ++row)
                same = same && large.verdicts[k][row] == small.verdicts[k][row % 15];
            CHECK(same);
        }
    }
}

TEST_CASE("batches: of a stage only the rules that can be checked at it have verdicts") {
    const auto staged = [](const std::string &topic, const std::string &stages) {
        return "rule 1.1 \"R\"\n  topic " + topic + "\n" + stages +
               "  for crate\n  shall sealed\n  says \".\"\n";
    };
    const trial::Compiled c = trial::compiled(trial::open(
        staged("first", "  stage design\n") + staged("both", "  stage design, acceptance\n") +
        staged("last", "  stage acceptance\n")));
    const auto topics = [&](const std::string &stage) {
        Table t;
        t.columns = {t.truths("sealed", {1})};
        const Grown table = t.whole(1);
        columns::AuditOptions options;
        options.layout.item = "crate";
        options.plan.stage = stage;
        Diagnostics diagnostics;
        const auto audit = Audit::open(*c.book, c.program, *table.schema, options, diagnostics);
        REQUIRE(audit);
        std::vector<std::string> out;
        for (const std::uint32_t rule : audit->plan().rules)
            out.push_back(c.book->rules[rule].topic);
        return out;
    };
    CHECK(topics("") == std::vector<std::string>{"first", "both", "last"});
    CHECK(topics("acceptance") == std::vector<std::string>{"both", "last"});
    CHECK(topics("trim_out").empty());
}

TEST_CASE("batches: what the host throws when it is told how far they are comes back to it") {
    Table t;
    t.columns = {t.truths("sealed", std::vector<int>(5000, 1))};
    const Grown table = t.whole(5000);
    columns::AuditOptions options;
    options.layout.item = "crate";
    options.threads = 2;
    Diagnostics diagnostics;
    auto audit =
        Audit::open(*compiled().book, compiled().program, *table.schema, options, diagnostics);
    REQUIRE(audit);
    std::string fault;
    const auto throws = [](std::uint64_t done, std::uint64_t) -> bool {
        if (done > 0)
            throw std::runtime_error("enough");
        return true;
    };
    CHECK_THROWS_AS(audit->batch(*table.array, fault, throws), std::runtime_error);
    CHECK(fault.empty());
    const auto outcome = audit->batch(*table.array, fault);
    REQUIRE(outcome);
    CHECK(outcome->rows == 5000);
}

// --- streams

namespace {

// A host's stream of the same batch, some times.
struct Source {
    Grown table;
    int left = 0;
    int status = 0;             // of the next call
    const char *said = nullptr; // about it
    bool released = false;

    static Source &of(ArrowArrayStream *stream) {
        return *static_cast<Source *>(stream->private_data);
    }
    ArrowArrayStream stream() {
        ArrowArrayStream out = {};
        out.get_schema = [](ArrowArrayStream *s, ArrowSchema *to) {
            if (of(s).status == 0)
                *to = *of(s).table.schema;
            return of(s).status;
        };
        out.get_next = [](ArrowArrayStream *s, ArrowArray *to) {
            *to = {};
            if (of(s).status == 0 && of(s).left-- > 0) {
                *to = *of(s).table.array;
                to->release = [](ArrowArray *a) { a->release = nullptr; };
            }
            return of(s).status;
        };
        out.get_last_error = [](ArrowArrayStream *s) { return of(s).said; };
        out.release = [](ArrowArrayStream *s) { of(s).released = true; };
        out.private_data = this;
        return out;
    }
};

} // namespace

TEST_CASE("streams: batches are taken in slices of bounded length, one after the other") {
    Table t;
    t.columns = {t.truths("sealed", {1, 0, 1, 1, 0})};
    Source source{t.whole(5), 2};
    source.table.array->null_count = 1;
    ArrowArrayStream given = source.stream();
    {
        columns::RowStream rows(given);
        CHECK(given.release == nullptr);
        std::vector<std::pair<std::int64_t, std::int64_t>> slices;
        std::vector<std::int64_t> nulls;
        for (const ArrowArray *slice = nullptr; rows.next(3, slice) == 0 && slice != nullptr;) {
            slices.emplace_back(slice->offset, slice->length);
            nulls.push_back(slice->null_count);
        }
        const std::vector<std::pair<std::int64_t, std::int64_t>> expected = {
            {0, 3}, {3, 2}, {0, 3}, {3, 2}};
        CHECK(slices == expected);
        CHECK(nulls == std::vector<std::int64_t>{-1, -1, -1, -1}); // how many is not known
        const ArrowArray *slice = nullptr;
        CHECK(rows.next(3, slice) == 0);
        CHECK(slice == nullptr);
    }
    CHECK(source.released);
}

TEST_CASE("streams: a batch in one slice keeps its count of nulls, and none stay none") {
    Table t;
    t.columns = {t.truths("sealed", {1, 0})};
    for (const std::int64_t count : {0, 1}) {
        Source source{t.whole(2), 1};
        source.table.array->null_count = count;
        ArrowArrayStream given = source.stream();
        columns::RowStream rows(given);
        const ArrowArray *slice = nullptr;
        REQUIRE(rows.next(count == 0 ? 1 : 10, slice) == 0);
        CHECK(slice->null_count == count);
    }
}

TEST_CASE("streams: what the host says of a fault is kept, or that there was one") {
    for (const char *said : {"the disk is gone", static_cast<const char *>(nullptr)}) {
        Table t;
        t.columns = {t.truths("sealed", {1})};
        Source source{t.whole(1), 3, EIO, said};
        ArrowArrayStream given = source.stream();
        columns::RowStream rows(given);
        const std::string expected = said == nullptr ? "the stream of rows failed" : said;
        ArrowSchema schema = {};
        CHECK(rows.schema(schema) == EIO);
        CHECK(rows.fault() == expected);
        const ArrowArray *slice = nullptr;
        CHECK(rows.next(10, slice) == EIO);
        CHECK(slice == nullptr);
        CHECK(rows.fault() == expected);
        source.status = 0;
        CHECK(rows.next(10, slice) == 0); // a stream that failed has ended
        CHECK(slice == nullptr);
    }
}

TEST_CASE("streams: one that no rows were taken of can be given back") {
    Table t;
    t.columns = {t.truths("sealed", {1})};
    Source source{t.whole(1), 1};
    ArrowArrayStream given = source.stream();
    ArrowArrayStream back = {};
    {
        columns::RowStream rows(given);
        ArrowSchema schema = {};
        CHECK(rows.schema(schema) == 0);
        CHECK(std::string(schema.format) == "+s");
        rows.give_back(back);
    }
    CHECK_FALSE(source.released);
    back.release(&back);
    CHECK(source.released);
}

TEST_CASE("streams: schemas of one shape have one text, others have others") {
    Table t;
    const std::string flat = columns::shape_of(*t.truths("sealed", {1}).schema);
    CHECK(flat == columns::shape_of(*t.truths("sealed", {}).schema));
    CHECK(flat != columns::shape_of(*t.truths("dull", {1}).schema));
    CHECK(flat != columns::shape_of(*t.texts("sealed", {"yes"}).schema));
    const std::string coded = columns::shape_of(*t.dictionary("sealed", {"yes"}, {0}).schema);
    CHECK(coded != columns::shape_of(*t.numbers<std::int32_t>("i", "sealed", {0}).schema));
    ArrowSchema nameless = *t.truths("sealed", {1}).schema;
    nameless.name = nullptr;
    CHECK(columns::shape_of(nameless) != flat);
}
