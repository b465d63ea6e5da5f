// What more rules, deeper rules and more rows cost: growth FACTS.rules RULES DEPTH ROWS RUNS
// [stream]. Makes an edition of so many rules over the yardstick's facts, no two alike, each with
// an expression of so many levels, and a table of so many rows. Tells what it takes to open the
// book, to check one circuit, and to audit the table, in processor time, and the most memory that
// was held; with a sixth word also while ten million rows go through as a stream.
#include "book.h"

#include <groundrule/arrow_abi.h>

#include <algorithm>
#include <random>

using namespace bench;

namespace {

std::string level(std::size_t rule, std::size_t depth) {
    const std::string number = std::to_string(10 + (rule * 7 + depth * 13) % 90);
    if (depth == 0)
        return "breaker * " + number + " %";
    const std::string below = level(rule, depth - 1);
    switch ((rule + depth) % 3) {
    case 0:
        return "(if load more than " + number + " A then " + below + " otherwise receptacle)";
    case 1:
        return "smaller_of(" + below + ", receptacle * " + number + " %)";
    default:
        return "(" + below + " + " + number + " A)";
    }
}

std::string edition(std::size_t rules, std::size_t depth) {
    std::string out = "edition growth\n  title \"Growth\"\n  publisher \"Invented\"\n\n";
    for (std::size_t k = 1; k <= rules; ++k) {
        const std::string n = std::to_string(k);
        out += "rule 1." + n + " \"R\"\n  topic t_" + n + "\n  stage design\n  for branch\n" +
               "  binds new, altered, replaced, existing\n  where receptacle more than " +
               std::to_string(k % 60) + "." + std::to_string(k / 60) + " A\n  shall load * " +
               std::to_string(100 + k % 50) + " % at most " + level(k, depth) +
               " or length at most " + n + " ft\n  says \".\"\n\n";
    }
    return out;
}

// What is handed over stays ours.
void keep(ArrowSchema *s) {
    s->release = nullptr;
}
void keep(ArrowArray *a) {
    a->release = nullptr;
}
void keep(ArrowArrayStream *s) {
    s->release = nullptr;
}

struct Table {
    std::vector<float> numbers[4];
    std::vector<std::uint8_t> told;
    const void *buffers[4][2];
    const void *none[1] = {nullptr};
    ArrowSchema schemas[4] = {};
    ArrowArray arrays[4] = {};
    ArrowSchema *schema_children[4];
    ArrowArray *array_children[4];
    ArrowSchema schema = {};
    ArrowArray array = {};
};

// Amperes and feet in halves; one in eight is not told.
void fill(Table &t, std::size_t rows) {
    static const char *const names[] = {"load", "breaker", "receptacle", "length"};
    std::mt19937 random(42);
    for (std::size_t i = 0; i < rows / 8 + 1; ++i)
        t.told.push_back(static_cast<std::uint8_t>(~(1u << random() % 8)));
    for (std::size_t c = 0; c < 4; ++c) {
        for (std::size_t row = 0; row < rows; ++row)
            t.numbers[c].push_back(static_cast<float>(random() % 200) / 2);
        t.buffers[c][0] = t.told.data();
        t.buffers[c][1] = t.numbers[c].data();
        t.schemas[c].release = keep;
        t.arrays[c].release = keep;
        t.schemas[c].format = "f";
        t.schemas[c].name = names[c];
        t.arrays[c].length = static_cast<std::int64_t>(rows);
        t.arrays[c].null_count = -1;
        t.arrays[c].n_buffers = 2;
        t.arrays[c].buffers = t.buffers[c];
        t.schema_children[c] = &t.schemas[c];
        t.array_children[c] = &t.arrays[c];
    }
    t.schema.release = keep;
    t.array.release = keep;
    t.schema.format = "+s";
    t.schema.n_children = 4;
    t.schema.children = t.schema_children;
    t.array.length = static_cast<std::int64_t>(rows);
    t.array.n_buffers = 1;
    t.array.buffers = t.none;
    t.array.n_children = 4;
    t.array.children = t.array_children;
}

gr_text word(const char *s) {
    return {s, std::char_traits<char>::length(s)};
}

gr_book *open_growth(const std::string &facts, const std::string &rules) {
    const gr_source sources[] = {{word("facts.rules"), text(facts)},
                                 {word("growth.rules"), text(rules)}};
    gr_error error;
    gr_book *book = nullptr;
    must(gr_book_open("growth", 6, sources, 2, nullptr, &book, &error), error);
    return book;
}

// Ten million rows as a stream: the table again and again.
struct Repeated {
    const Table *table = nullptr;
    std::size_t left = 0;
};
constexpr std::size_t streamed_rows = 10'000'000;

int schema_of(ArrowArrayStream *s, ArrowSchema *out) {
    *out = static_cast<Repeated *>(s->private_data)->table->schema;
    out->release = keep;
    return 0;
}
int next_of(ArrowArrayStream *s, ArrowArray *out) {
    Repeated &rows = *static_cast<Repeated *>(s->private_data);
    *out = {};
    if (rows.left == 0)
        return 0;
    *out = rows.table->array;
    out->length = std::min(out->length, static_cast<std::int64_t>(rows.left));
    rows.left -= static_cast<std::size_t>(out->length);
    out->release = keep;
    return 0;
}
const char *no_error(ArrowArrayStream *) {
    return nullptr;
}

gr_audit *audit_of(const gr_book *book, const Table &table) {
    const gr_column units[] = {{word("load"), word("branch.load"), word("A")},
                               {word("breaker"), word("branch.breaker"), word("A")},
                               {word("receptacle"), word("branch.receptacle"), word("A")},
                               {word("length"), word("branch.length"), word("ft")}};
    gr_audit_options options = GR_AUDIT_OPTIONS_INIT;
    options.item = word("branch");
    options.columns = units;
    options.column_count = 4;
    gr_audit *audit = nullptr;
    gr_error error;
    must(gr_audit_open(book, &table.schema, &options, &audit, &error), error);
    return audit;
}

// Megabytes that grew while all rows went through.
double streamed(const gr_book *book, const Table &table) {
    const double before = peak_megabytes();
    gr_audit *audit = audit_of(book, table);
    Repeated repeated = {&table, streamed_rows};
    ArrowArrayStream rows = {schema_of, next_of, no_error, keep, &repeated};
    ArrowArrayStream verdicts = {};
    gr_error error;
    must(gr_audit_stream(audit, &rows, nullptr, &verdicts, &error), error);
    std::size_t count = 0;
    for (ArrowArray batch = {};;) {
        if (verdicts.get_next(&verdicts, &batch) != 0 || batch.release == nullptr)
            break;
        count += static_cast<std::size_t>(batch.length);
        batch.release(&batch);
    }
    verdicts.release(&verdicts);
    gr_audit_free(audit);
    if (count != streamed_rows)
        std::exit(3);
    return peak_megabytes() - before;
}

double audited(const gr_book *book, const Table &table, std::size_t runs) {
    gr_audit *audit = audit_of(book, table);
    gr_error error;
    ArrowArray out = {};
    const double time = seconds(runs, [&] {
        if (out.release != nullptr)
            out.release(&out);
        must(gr_audit_batch(audit, &table.array, &out, nullptr, &error), error);
    });
    out.release(&out);
    gr_audit_free(audit);
    return time;
}

double checked(const gr_book *book, std::size_t runs) {
    gr_error error;
    gr_job *job = nullptr;
    std::uint32_t branch = 0;
    must(gr_job_new(book, &job, &error), error);
    must(gr_job_add(job, 0, "branches", 8, &branch, &error), error);
    const gr_slot work = slot(book, "job.work");
    for (const char *fact : {"branch.load", "branch.breaker", "branch.receptacle"})
        must(gr_job_set_number(job, slot(book, fact), branch, 30, &error), error);
    std::vector<unsigned char> verdicts(1u << 16);
    constexpr std::size_t times = 20;
    const double time = seconds(runs, [&] {
        for (std::size_t i = 0; i < times; ++i) {
            std::size_t told = 0;
            must(gr_job_set_text(job, work, 0, i % 2 == 0 ? "new" : "altered", i % 2 == 0 ? 3 : 7,
                                 &error),
                 error);
            must(gr_check_verdicts(job, nullptr, verdicts.data(), verdicts.size(), &told, &error),
                 error);
        }
    });
    gr_job_free(job);
    return time / times;
}

} // namespace

int main(int count, char **words) {
    if (count < 6) {
        std::fprintf(stderr, "usage: %s FACTS.rules RULES DEPTH ROWS RUNS [stream]\n", words[0]);
        return 2;
    }
    const auto number = [&](int k) { return std::strtoull(words[k], nullptr, 10); };
    const std::string facts = text_of(words[1]);
    const std::string rules = edition(number(2), number(3));
    const std::size_t rows = number(4);
    const std::size_t runs = number(5);
    const double opening = seconds(runs, [&] { gr_book_free(open_growth(facts, rules)); });
    gr_book *book = open_growth(facts, rules);
    const double one = checked(book, runs);
    Table table;
    fill(table, rows);
    const double stream = count > 6 ? streamed(book, table) : 0;
    const double before = peak_megabytes();
    const double all = audited(book, table, runs);
    std::printf(
        "{\"name\": \"growth\", \"rules\": %s, \"depth\": %s, \"rows\": %zu, "
        "\"open_ms\": %.3f, \"one_us\": %.3f, \"ns_per_row\": %.3f, "
        "\"verdict_mb\": %.1f, \"audit_mb\": %.1f, \"stream_rows\": %zu, \"stream_mb\": %.1f}\n",
        words[2], words[3], rows, opening * 1e3, one * 1e6, all * 1e9 / static_cast<double>(rows),
        static_cast<double>(rows) * static_cast<double>(number(2)) / 1e6, peak_megabytes() - before,
        streamed_rows, stream);
    gr_book_free(book);
}
