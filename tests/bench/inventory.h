// The inventory that every program of the yardstick reads: columns of branch circuits, each with a
// bitmap of what is known; and how a program tells its result.
#pragma once

#include <algorithm>
#include <chrono>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <memory>
#include <string>
#include <sys/resource.h>
#include <vector>

namespace bench {

enum Column : std::uint8_t {
    voltage,
    voltage_to_ground,
    phases,
    breaker,    // A
    receptacle, // A; 0: none
    size, // 0 … 19: 14, 12, 10, 8, 6, 4, 3, 2, 1, 1/0 … 4/0 AWG, 250, 300, 350, 400, 500, 600, 750
          // kcmil
    material,   // 0 copper, 1 aluminum
    insulation, // °C: 60, 75, 90
    terminals,  // °C
    ambient,    // °C
    conductors,
    load, // A, quarters
    continuous,
    location,  // 0 … 11
    occupancy, // 0 … 4
    sink,      // ft, quarters
    gfci,
    individual,
    length, // ft, halves
    vehicle,
    column_count
};

enum class Kind : std::uint8_t { u8, i8, i16, f32 };

struct Described {
    const char *name;
    Kind kind;
};

inline constexpr Described described[column_count] = {
    {"voltage", Kind::i16},    {"voltage_to_ground", Kind::i16},
    {"phases", Kind::u8},      {"breaker", Kind::i16},
    {"receptacle", Kind::i16}, {"size", Kind::u8},
    {"material", Kind::u8},    {"insulation", Kind::u8},
    {"terminals", Kind::u8},   {"ambient", Kind::i8},
    {"conductors", Kind::u8},  {"load", Kind::f32},
    {"continuous", Kind::u8},  {"location", Kind::u8},
    {"occupancy", Kind::u8},   {"sink", Kind::f32},
    {"gfci", Kind::u8},        {"individual", Kind::u8},
    {"length", Kind::f32},     {"vehicle", Kind::u8}};

inline constexpr std::size_t rule_count = 20;

enum Verdict : std::uint8_t { complies = 0, violates = 1, not_applicable = 2, undetermined = 3 };

inline std::size_t width(Kind kind) {
    return kind == Kind::i16 ? 2 : kind == Kind::f32 ? 4 : 1;
}

// Columns are padded to whole blocks of 4096 rows, so that a kernel may read beyond the last row.
class Inventory {
  public:
    explicit Inventory(std::size_t rows) : rows_(rows) {
        const std::size_t padded = (rows + 4095) / 4096 * 4096;
        for (std::size_t c = 0; c < column_count; ++c) {
            data_[c] = zeroed(padded * width(described[c].kind));
            known_[c] = zeroed(padded / 8);
        }
    }

    std::size_t rows() const { return rows_; }

    template <typename T>
    T *as(Column c) const {
        return reinterpret_cast<T *>(data_[c].get());
    }
    std::uint8_t *bits(Column c) const { return known_[c].get(); }
    bool known(Column c, std::size_t row) const {
        return (known_[c][row / 8] >> (row % 8) & 1) != 0;
    }
    double value(Column c, std::size_t row) const {
        switch (described[c].kind) {
        case Kind::u8:
            return as<std::uint8_t>(c)[row];
        case Kind::i8:
            return as<std::int8_t>(c)[row];
        case Kind::i16:
            return as<std::int16_t>(c)[row];
        case Kind::f32:
            break;
        }
        return static_cast<double>(as<float>(c)[row]);
    }

  private:
    struct Free {
        void operator()(std::uint8_t *p) const { std::free(p); }
    };
    using Bytes = std::unique_ptr<std::uint8_t, Free>;
    struct Block {
        Bytes bytes;
        std::uint8_t *get() const { return bytes.get(); }
        std::uint8_t operator[](std::size_t i) const { return bytes.get()[i]; }
    };

    static Block zeroed(std::size_t bytes) {
        bytes = (bytes + 63) / 64 * 64;
        Block b{Bytes(static_cast<std::uint8_t *>(std::aligned_alloc(64, bytes)))};
        if (b.get() == nullptr)
            std::abort();
        std::fill_n(b.get(), bytes, std::uint8_t{0});
        return b;
    }

    std::size_t rows_;
    Block data_[column_count];
    Block known_[column_count];
};

inline void transfer(const std::string &path, void *bytes, std::size_t count, bool write) {
    std::FILE *file = std::fopen(path.c_str(), write ? "wb" : "rb");
    const std::size_t done = file == nullptr ? 0
                             : write         ? std::fwrite(bytes, 1, count, file)
                                             : std::fread(bytes, 1, count, file);
    if (file != nullptr)
        std::fclose(file);
    if (done != count) {
        std::fprintf(stderr, "%s: cannot be %s\n", path.c_str(), write ? "written" : "read");
        std::exit(2);
    }
}

// A directory holds COLUMN.bin and COLUMN.known. A file may hold more rows than are read.
inline void transfer(const Inventory &inventory, const std::string &directory, bool write) {
    for (std::size_t k = 0; k < column_count; ++k) {
        const auto c = static_cast<Column>(k);
        const std::string path = directory + "/" + described[k].name;
        transfer(path + ".bin", inventory.as<std::uint8_t>(c),
                 inventory.rows() * width(described[k].kind), write);
        transfer(path + ".known", inventory.bits(c), (inventory.rows() + 7) / 8, write);
    }
}

inline Inventory read(const std::string &directory, std::size_t rows) {
    Inventory inventory(rows);
    transfer(inventory, directory, false);
    return inventory;
}

// FNV-1a over a matrix of verdicts, all rows of rule 1 first. The offset basis is the yardstick's
// own: it lacks the last digit of the published one.
inline std::uint64_t checksum(const std::vector<std::uint8_t> &verdicts) {
    std::uint64_t hash = 1469598103934665603u;
    for (const std::uint8_t v : verdicts)
        hash = (hash ^ v) * 1099511628211u;
    return hash;
}

inline std::vector<std::uint8_t> by_rule(const std::vector<std::uint8_t> &by_row) {
    std::vector<std::uint8_t> out(by_row.size());
    const std::size_t rows = by_row.size() / rule_count;
    for (std::size_t row = 0; row < rows; ++row) {
        for (std::size_t rule = 0; rule < rule_count; ++rule)
            out[rule * rows + row] = by_row[row * rule_count + rule];
    }
    return out;
}

// Processor time of this thread: what others do on the machine at the same time is left out, as far
// as they do not cool our caches.
inline double thread_seconds() {
    timespec t = {};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_nsec) * 1e-9;
}

inline double process_seconds() {
    timespec t = {};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_nsec) * 1e-9;
}

inline double wall_seconds() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch())
        .count();
}

inline double median(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    return values[values.size() / 2];
}

// Median over `runs`, after one run that warms up.
template <typename Work>
double seconds(std::size_t runs, Work work) {
    std::vector<double> times;
    for (std::size_t run = 0; run <= runs; ++run) {
        const double begin = thread_seconds();
        work();
        if (run > 0)
            times.push_back(thread_seconds() - begin);
    }
    return median(times);
}

inline double peak_megabytes() {
    rusage usage = {};
    getrusage(RUSAGE_SELF, &usage);
    return static_cast<double>(usage.ru_maxrss) / 1024;
}

// One line of JSON a result.
inline void tell(const char *name, std::size_t rows, double seconds, std::uint64_t sum,
                 double processor = 0) {
    const double each = 1e9 / static_cast<double>(rows);
    std::printf("{\"name\": \"%s\", \"rows\": %zu, \"ns_per_row\": %.3f, "
                "\"processor_ns_per_row\": %.3f, \"checksum\": \"%016llx\", \"peak_mb\": %.1f}\n",
                name, rows, seconds * each, processor * each, static_cast<unsigned long long>(sum),
                peak_megabytes());
    std::fflush(stdout);
}

struct Call {
    std::string directory;
    std::size_t rows;
    std::size_t runs;
};

// PROGRAM DIRECTORY ROWS RUNS
inline Call call_of(int count, char **words) {
    if (count < 4) {
        std::fprintf(stderr, "usage: %s DIRECTORY ROWS RUNS\n", words[0]);
        std::exit(2);
    }
    return {words[1], std::strtoull(words[2], nullptr, 10), std::strtoull(words[3], nullptr, 10)};
}

} // namespace bench
