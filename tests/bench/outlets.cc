// A whole shipped book by columns: outlets BOOK ROWS RUNS THREADS. The table is invented: outlets
// of many kinds as an inventory might hold them, in no order, one cell in twenty empty. Tells the
// time for each row and all rules that the columns reach.
#include "arrow_table.h"
#include "book.h"

#include <random>

using namespace bench;

namespace {

struct Words {
    const char *fact;
    std::vector<std::string> words;
    std::vector<double> shares;
};

// Shares are set by hand to look plausible.
const std::vector<Words> described_words = {
    {"job.occupancy",
     {"one_family_dwelling", "two_family_dwelling", "multifamily_dwelling_unit",
      "other_than_dwelling"},
     {62, 10, 20, 8}},
    {"receptacle.work", {"new", "replaced", "altered", "existing"}, {60, 20, 12, 8}},
    {"receptacle.location",
     {"garage", "bathroom", "kitchen", "outdoors", "laundry_area", "basement_unfinished", "bedroom",
      "living_room", "hallway"},
     {6, 10, 18, 8, 4, 6, 26, 18, 4}},
    {"receptacle.configuration",
     {"5-15R", "5-20R", "14-50R", "14-30R", "6-20R"},
     {50, 40, 4, 4, 2}},
    {"receptacle.serves",
     {"general", "countertop", "vehicle_charging", "range", "dryer"},
     {80, 10, 3, 4, 3}},
    {"receptacle.gfci", {"none", "class_a"}, {60, 40}},
    {"receptacle.tamper_resistant", {"no", "yes"}, {20, 80}},
    {"receptacle.weather_resistant", {"no", "yes"}, {90, 10}},
    {"receptacle.moisture", {"dry", "damp", "wet"}, {90, 4, 6}},
    {"circuit.system",
     {"120 V, 1-phase, 2-wire", "240 V, 1-phase, 2-wire", "120/240 V, 1-phase, 3-wire"},
     {88, 2, 10}},
    {"circuit.afci", {"no", "yes"}, {30, 70}},
    {"circuit.individual", {"no", "yes"}, {85, 15}},
};

struct Numbers {
    const char *fact;
    const char *unit;
    std::vector<float> values; // each as likely as the others
};

const std::vector<Numbers> described_numbers = {
    {"receptacle.sink_distance", "ft", {0.5, 2, 3.5, 5.5, 6, 6.5, 9, 12, 20, 40}},
    {"receptacle.height", "in", {12, 15, 16, 18, 42, 44, 45, 48, 66, 68}},
    {"circuit.breaker", "A", {15, 15, 15, 20, 20, 20, 20, 30, 40, 50}},
};

gr_text word(const char *s) {
    return {s, std::char_traits<char>::length(s)};
}

// What stands behind the pointers of an Arrow table.
struct Outlets {
    Outlets(std::size_t rows) : random(42) {
        for (const Words &w : described_words) {
            std::discrete_distribution<int> pick(w.shares.begin(), w.shares.end());
            std::vector<std::uint8_t> &codes = all_codes.emplace_back();
            for (std::size_t row = 0; row < rows; ++row)
                codes.push_back(static_cast<std::uint8_t>(pick(random)));
            table.words(w.fact, w.words, codes.data(), told(rows), rows);
            mapped.push_back({word(w.fact), word(w.fact), {}});
        }
        for (const Numbers &n : described_numbers) {
            std::vector<float> &values = all_values.emplace_back();
            for (std::size_t row = 0; row < rows; ++row)
                values.push_back(n.values[random() % n.values.size()]);
            table.numbers(n.fact, "f", values.data(), told(rows), rows);
            mapped.push_back({word(n.fact), word(n.fact), word(n.unit)});
        }
        table.close(rows);
    }

    const std::uint8_t *told(std::size_t rows) {
        std::vector<std::uint8_t> &bits = all_told.emplace_back(rows / 8 + 1);
        for (std::size_t row = 0; row < rows; ++row)
            bits[row / 8] = static_cast<std::uint8_t>(bits[row / 8] | (random() % 20 != 0 ? 1u : 0u)
                                                                          << row % 8);
        return bits.data();
    }

    std::mt19937 random;
    std::deque<std::vector<std::uint8_t>> all_codes;
    std::deque<std::vector<std::uint8_t>> all_told;
    std::deque<std::vector<float>> all_values;
    std::vector<gr_column> mapped;
    ArrowTable table;
};

} // namespace

int main(int count, char **words) {
    if (count < 5) {
        std::fprintf(stderr, "usage: %s BOOK ROWS RUNS THREADS\n", words[0]);
        return 2;
    }
    const std::size_t rows = std::strtoull(words[2], nullptr, 10);
    const std::size_t runs = std::strtoull(words[3], nullptr, 10);
    const auto threads = static_cast<std::uint32_t>(std::atoi(words[4]));
    Outlets outlets(rows);
    gr_book *book = open(words[1], {});
    gr_audit_options options = GR_AUDIT_OPTIONS_INIT;
    options.item = word("receptacle");
    options.columns = outlets.mapped.data();
    options.column_count = outlets.mapped.size();
    options.assumptions =
        word(R"({"assume": {"panel.work": "existing", "circuit.work": "existing"}})");
    options.threads = threads;
    gr_audit *audit = nullptr;
    gr_error error;
    must(gr_audit_open(book, &outlets.table.schema, &options, &audit, &error), error);
    std::vector<double> times;
    ArrowArray out = {};
    std::size_t faulty = 0;
    for (std::size_t run = 0; run <= runs; ++run) {
        if (out.release != nullptr)
            out.release(&out);
        const double begin = threads > 1 ? wall_seconds() : thread_seconds();
        must(gr_audit_batch(audit, &outlets.table.array, &out, &faulty, &error), error);
        if (run > 0)
            times.push_back((threads > 1 ? wall_seconds() : thread_seconds()) - begin);
    }
    std::size_t told[5] = {};
    std::size_t rules = 0;
    std::vector<std::uint8_t> verdicts;
    for (std::int64_t k = 0; k < out.n_children; ++k) {
        const ArrowArray &column = *out.children[k];
        if (column.n_buffers != 2 || column.length != out.length)
            continue;
        ++rules;
        const auto *bytes = static_cast<const std::uint8_t *>(column.buffers[1]);
        verdicts.insert(verdicts.end(), bytes, bytes + rows);
        for (std::size_t row = 0; row < rows; ++row)
            ++told[bytes[row] < 4 ? bytes[row] : 4];
    }
    std::printf("{\"name\": \"outlets\", \"book\": \"%s\", \"rows\": %zu, \"rules\": %zu, "
                "\"ns_per_row\": %.3f, \"complies\": %zu, \"violates\": %zu, \"not_applicable\": "
                "%zu, \"undetermined\": %zu, \"faulty_rows\": %zu, \"checksum\": \"%016llx\", "
                "\"peak_mb\": %.1f}\n",
                words[1], rows, rules, median(times) * 1e9 / static_cast<double>(rows), told[0],
                told[1], told[2], told[3], faulty,
                static_cast<unsigned long long>(checksum(verdicts)), peak_megabytes());
    out.release(&out);
    gr_audit_free(audit);
    gr_book_free(book);
}
