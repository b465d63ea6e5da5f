// Ours, by columns through the Arrow C Data Interface: columns DIRECTORY ROWS RUNS THREADS RULES…
// The inventory's numbers are handed over where they stand; choices and sizes as dictionaries,
// truths as bitmaps, as a data frame holds them. Verdict bytes are written.
#include "book.h"

#include <groundrule/arrow_abi.h>

using namespace bench;

namespace {

void keep(ArrowSchema *) {}
void keep(ArrowArray *) {}

struct Dictionary {
    std::vector<std::int32_t> offsets;
    std::string text;
    const void *buffers[3];
    ArrowSchema schema;
    ArrowArray array;
};

struct Table {
    std::vector<std::uint8_t> truths[column_count];
    const void *buffers[column_count][2];
    Dictionary dictionaries[column_count];
    ArrowSchema schemas[column_count];
    ArrowArray arrays[column_count];
    ArrowSchema *schema_children[column_count];
    ArrowArray *array_children[column_count];
    ArrowSchema schema;
    ArrowArray array;
    const void *none = nullptr;
};

ArrowSchema schema_of(const char *format, const char *name) {
    ArrowSchema s = {};
    s.format = format;
    s.name = name;
    s.flags = ARROW_FLAG_NULLABLE;
    s.release = keep;
    return s;
}

ArrowArray array_of(std::size_t length, const void **buffers, std::int64_t count) {
    ArrowArray a = {};
    a.length = static_cast<std::int64_t>(length);
    a.null_count = -1;
    a.n_buffers = count;
    a.buffers = buffers;
    a.release = keep;
    return a;
}

void fill(Dictionary &d, Column c) {
    const std::size_t count = c == size ? 20 : c == material ? 2 : c == location ? 12 : 5;
    d.offsets.push_back(0);
    for (std::size_t i = 0; i < count; ++i) {
        d.text += word_of(c, i);
        d.offsets.push_back(static_cast<std::int32_t>(d.text.size()));
    }
    d.buffers[0] = nullptr;
    d.buffers[1] = d.offsets.data();
    d.buffers[2] = d.text.data();
    d.schema = schema_of("u", "");
    d.array = array_of(count, d.buffers, 3);
    d.array.null_count = 0;
}

const char *format_of(Column c) {
    if (given(c) == Given::truth)
        return "b";
    switch (described[c].kind) {
    case Kind::u8:
        return "C";
    case Kind::i8:
        return "c";
    case Kind::i16:
        return "s";
    case Kind::f32:
        break;
    }
    return "f";
}

void lay_out(Table &t, const Inventory &in) {
    for (std::size_t k = 0; k < column_count; ++k) {
        const auto c = static_cast<Column>(k);
        t.buffers[k][0] = in.bits(c);
        t.buffers[k][1] = in.as<std::uint8_t>(c);
        if (given(c) == Given::truth) {
            t.truths[k].assign(in.rows() / 8 + 64, 0);
            for (std::size_t row = 0; row < in.rows(); ++row)
                t.truths[k][row / 8] = static_cast<std::uint8_t>(
                    t.truths[k][row / 8] | (in.value(c, row) != 0) << (row % 8));
            t.buffers[k][1] = t.truths[k].data();
        }
        t.schemas[k] = schema_of(format_of(c), described[k].name);
        t.arrays[k] = array_of(in.rows(), t.buffers[k], 2);
        if (given(c) == Given::word) {
            fill(t.dictionaries[k], c);
            t.schemas[k].dictionary = &t.dictionaries[k].schema;
            t.arrays[k].dictionary = &t.dictionaries[k].array;
        }
        t.schema_children[k] = &t.schemas[k];
        t.array_children[k] = &t.arrays[k];
    }
    t.schema = schema_of("+s", "");
    t.schema.n_children = column_count;
    t.schema.children = t.schema_children;
    t.array = array_of(in.rows(), &t.none, 1);
    t.array.null_count = 0;
    t.array.n_children = column_count;
    t.array.children = t.array_children;
}

gr_text word(const char *s) {
    return {s, std::char_traits<char>::length(s)};
}

const char *unit_of(Column c) {
    switch (c) {
    case voltage:
    case voltage_to_ground:
        return "V";
    case breaker:
    case receptacle:
    case load:
        return "A";
    case insulation:
    case terminals:
    case ambient:
        return "°C";
    case sink:
    case length:
        return "ft";
    default:
        return nullptr;
    }
}

gr_audit *audit_of(const gr_book *book, const Table &table, std::uint32_t threads) {
    std::vector<std::string> facts;
    for (const Described &d : described)
        facts.push_back(std::string("branch.") + d.name);
    std::vector<gr_column> columns;
    for (std::size_t k = 0; k < column_count; ++k) {
        const char *unit = unit_of(static_cast<Column>(k));
        if (unit != nullptr)
            columns.push_back({word(described[k].name), text(facts[k]), word(unit)});
    }
    gr_audit_options options = GR_AUDIT_OPTIONS_INIT;
    options.item = word("branch");
    options.columns = columns.data();
    options.column_count = columns.size();
    options.assumptions = word(R"({"assume": {"branch.work": "new"}})");
    options.threads = threads;
    gr_audit *audit = nullptr;
    gr_error error;
    must(gr_audit_open(book, &table.schema, &options, &audit, &error), error);
    return audit;
}

} // namespace

int main(int count, char **words) {
    const Call call = call_of(count, words);
    const auto threads = static_cast<std::uint32_t>(std::atoi(words[4]));
    const Inventory inventory = read(call.directory, call.rows);
    gr_book *book = open("twenty", {words + 5, words + count});
    Table table = {};
    lay_out(table, inventory);
    gr_audit *audit = audit_of(book, table, threads);
    std::vector<double> times;
    std::vector<double> processor;
    ArrowArray out = {};
    gr_error error;
    for (std::size_t run = 0; run <= call.runs; ++run) {
        if (out.release != nullptr)
            out.release(&out);
        std::size_t faulty = 0;
        const double begin = threads > 1 ? wall_seconds() : thread_seconds();
        const double worked = process_seconds();
        must(gr_audit_batch(audit, &table.array, &out, &faulty, &error), error);
        if (run > 0)
            processor.push_back(process_seconds() - worked);
        if (run > 0)
            times.push_back((threads > 1 ? wall_seconds() : thread_seconds()) - begin);
    }
    std::vector<std::uint8_t> verdicts;
    for (std::size_t rule = 0; rule < rule_count; ++rule) {
        const auto *bytes = static_cast<const std::uint8_t *>(out.children[rule]->buffers[1]);
        verdicts.insert(verdicts.end(), bytes, bytes + call.rows);
    }
    // Also the time that all threads worked: others on the machine don't lengthen that.
    tell(threads > 1 ? "columns_2" : "columns", call.rows, median(times), checksum(verdicts),
         median(processor));
    out.release(&out);
    gr_audit_free(audit);
    gr_book_free(book);
}
