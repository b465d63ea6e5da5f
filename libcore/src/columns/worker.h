// Runs a plan over ranges of a table's rows. One worker a thread; its buffers stay in cache and are
// used again for every range.
#pragma once

#include "columns/lack_counts.h"
#include "columns/plan.h"
#include "columns/table.h"

#include <memory>
#include <unordered_map>

namespace groundrule::columns {

inline constexpr std::uint8_t apart_mark = 1; // two sources of a fact differ
inline constexpr std::uint8_t alone_mark = 2; // a value fits no narrow form

// Where verdicts go: for each rule of the plan a column of bytes, one a row of its tier.
struct Verdicts {
    std::vector<std::uint8_t *> columns;
    std::vector<std::size_t> first; // of each tier: the row that stands first in the columns
    bool past_cache = false;        // so many that nobody finds them in cache
};

class Worker {
  public:
    Worker(const book::Book &book, const program::Program &program, const Plan &plan,
           const Kernels &kernels);

    // Forgets what the dictionaries of an earlier table meant.
    void start_table();

    // Rows [first, first + count) of the table. Rows to be checked on their own are appended to
    // `alone`: their verdicts mean nothing yet.
    void run(const Table &table, std::size_t first, std::size_t count, const Verdicts &out,
             std::vector<std::size_t> &alone);

    // Adds what the open verdicts lack, but for the rows to be checked on their own; begins again.
    void take_lacks(LackCounts &out) { lack_counter_.take(out); }

  private:
    struct Free {
        void operator()(std::uint8_t *p) const;
    };
    struct Range {
        std::size_t first = 0;
        std::size_t count = 0;
    };
    // Texts seen in a column, and what they mean; NaN where they can't be.
    struct Texts {
        const ArrowArray *dictionary = nullptr;
        std::vector<std::uint8_t> codes; // of a dictionary's entries
        std::vector<double> values;      // likewise
        std::unordered_map<std::string, double> known;
    };

    void lay_out();
    Entry entry_of(const Step &step) const;
    void step(std::size_t index, const Table &table, const Verdicts &out);
    void load(std::size_t index, const Table &table);
    Kernel entering(const Step &step, Storage storage) const;
    void load_texts(const Step &step, const Column &column, std::size_t first, std::size_t rows);
    void read_dictionary(const Step &step, const Column &column, Texts &texts);
    const std::uint8_t *told(const Column &column, std::size_t first, std::size_t rows);
    void mark_misfits(const Step &step, const Column &column, std::size_t first, std::size_t rows);
    void load_whole(const Step &step, const Table &table);
    void gather(const Step &step, const Table &table);
    void reduce(const Step &step, const Table &table);
    void open(const Step &step);
    void any_below(const Step &step, const Table &table);
    void cells(const Step &step);
    void join_cells(const Step &step);
    Cell cell_at(const Value &v, std::size_t row) const;
    void put(const Step &step, std::size_t row, const Cell &cell);
    void collect_marks(const Table &table, std::vector<std::size_t> &alone);
    void count_lacks(const Table &table, const Verdicts &out);

    template <typename T>
    T *at(std::uint32_t buffer) const {
        return reinterpret_cast<T *>(memory_.get() + offsets_[buffer]);
    }

    const book::Book &book_;
    const program::Program &program_;
    const Plan &plan_;
    const Kernels &kernels_;
    // What a range needs of a step, close together.
    struct Work {
        Call call; // of a kernel
        Act act = Act::kernel;
        std::uint16_t tier = 0;
    };

    std::vector<Work> work_;     // of each step
    std::vector<Entry> entries_; // of each step that is a load
    std::unique_ptr<std::uint8_t[], Free> memory_;
    bool laid_out_ = false;
    std::vector<std::size_t> offsets_; // of each buffer
    std::vector<std::size_t> marks_;   // of each tier
    std::size_t told_ = 0;
    std::size_t bits_ = 0;
    std::size_t all_told_ = 0;
    std::vector<std::size_t> room_; // rows of each tier
    std::vector<Range> ranges_;
    std::vector<Texts> texts_; // of each source
    std::vector<Cell> arguments_;
    LackCounter lack_counter_;
};

} // namespace groundrule::columns
