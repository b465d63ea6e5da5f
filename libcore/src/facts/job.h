// The facts of one job, typed and in columns: one table of rows for each item type, each row with
// its parent's row. A fact is a cell: unknown, or a value in the base unit of its dimension,
// rounded to the grid as it entered.
#pragma once

#include "book/model.h"
#include "quantity/cell.h"

#include <array>
#include <span>
#include <string>
#include <vector>

namespace groundrule::facts {

// A fact that was set: of which item, which row, which field.
struct Change {
    std::int32_t item = 0;
    std::int32_t row = 0;
    std::int32_t field = 0;
};

// One cell for every field of every row, a row after the other.
class FactTable {
  public:
    std::size_t place(std::size_t field, std::size_t row) const { return row * fields_ + field; }
    const Cell &at(std::size_t field, std::size_t row) const { return cells_[place(field, row)]; }
    Cell &at(std::size_t field, std::size_t row) { return cells_[place(field, row)]; }
    std::span<const Cell> cells() const { return cells_; }

    void set_fields(std::size_t count) { fields_ = count; }
    std::size_t fields() const { return fields_; }
    void reserve_row();
    void add_row() { cells_.resize(cells_.size() + fields_); }

  private:
    std::vector<Cell> cells_;
    std::size_t fields_ = 0;
};

struct Rows {
    std::vector<std::int32_t> parent;  // row of the item above; -1 for the job
    std::vector<std::string> id;       // as given; empty if none is
    std::vector<std::uint32_t> number; // among the items of its list, from 0
    FactTable given;
    FactTable assumed;
    std::vector<std::vector<std::uint8_t>>
        whole; // [child list, in the order of the item's children][row]: named complete
    std::vector<std::vector<std::uint32_t>> counts; // [child list][row]: items in it
    std::size_t size() const { return parent.size(); }
};

class Job {
  public:
    explicit Job(const book::Book &book);

    // A new row; its facts are unknown and its lists open. The parent row must exist.
    std::int32_t add(std::int32_t item, std::int32_t parent_row);
    void set(std::int32_t item, std::int32_t row, std::int32_t field, Cell cell) {
        set(facts_of(item, row), field, cell);
    }
    // For who sets many facts of one item: where they stand, until something is added.
    struct ItemFacts {
        std::int32_t item;
        std::int32_t row;
        Cell *cells;
    };
    ItemFacts facts_of(std::int32_t item, std::int32_t row) {
        return {item, row, &rows(item).given.at(0, static_cast<std::size_t>(row))};
    }
    void set(const ItemFacts &of, std::int32_t field, Cell cell) {
        Cell &there = of.cells[field];
        // Which facts of a next circuit differ from the last one's can't be foreseen: no jump on
        // it.
        const bool same = (there.value == cell.value) & (there.bound == cell.bound);
        there.value = cell.value;
        there.bound = cell.bound;
        changed({of.item, of.row, field}, same ? 0 : 1);
    }
    void assume(std::int32_t item, std::int32_t row, std::int32_t field, Cell cell);
    // Whether anything was.
    bool assumes() const { return assumes_; }
    void mark_complete(std::int32_t item, std::int32_t row, std::int32_t child, bool complete);

    const Rows &rows(std::int32_t item) const { return rows_[static_cast<std::size_t>(item)]; }
    Rows &rows(std::int32_t item) { return rows_[static_cast<std::size_t>(item)]; }
    std::size_t item_count() const { return rows_.size(); }
    std::size_t row_count() const { return row_count_; }
    bool is_complete(std::int32_t item, std::int32_t child_item, std::size_t row) const;

    // "panels[0].circuits[0]", for messages; empty for the job itself.
    std::string path(std::int32_t item, std::size_t row) const;

    // Gives every row without a `work` of its own that of the row above. Call once all facts are
    // in.
    void inherit_work();

    // What was given, taken back or assumed since settle(): the facts, as long as they are few and
    // no item or mark of completeness came in between.
    bool few_changes() const { return few_changes_; }
    std::span<const Change> changes() const { return {changes_.data(), change_count_}; }
    void settle();
    // Something else changed, on which facts depend.
    void unsettle() { few_changes_ = false; }

    std::string title;

  private:
    static constexpr std::size_t few = 64;

    std::size_t place_of_child(std::int32_t item, std::int32_t child_item) const;
    void changed(const Change &change, std::size_t times) {
        if (!few_changes_)
            return;
        changes_[change_count_] = change; // NOLINT(*-constant-array-index): at most few
        change_count_ += times;
        few_changes_ = change_count_ <= few;
    }

    const book::Book *book_;
    std::vector<Rows> rows_;
    std::size_t row_count_ = 0;
    std::array<Change, few + 1> changes_;
    std::size_t change_count_ = 0;
    bool few_changes_ = false;
    bool assumes_ = false;
};

// A value that somebody declares as assumed, for every item of a type that does not tell it.
struct Assumption {
    std::int32_t item = 0;
    std::int32_t field = 0;
    double value = 0;
};

void apply_assumptions(Job &job, const std::vector<Assumption> &assumptions);

} // namespace groundrule::facts
