// The facts of one job, typed and in columns: one table of rows for each item type, each row with
// its parent's row. A fact is a cell: unknown, or a value in the base unit of its dimension,
// rounded to the grid as it entered.
#pragma once

#include "book/model.h"
#include "quantity/cell.h"

#include <string>
#include <vector>

namespace groundrule::facts {

// A fact that was set: of which item, which row, which field.
struct Change {
    std::int32_t item = 0;
    std::int32_t row = 0;
    std::int32_t field = 0;
};

struct Rows {
    std::vector<std::int32_t> parent;       // row of the item above; -1 for the job
    std::vector<std::string> id;            // as given; empty if none is
    std::vector<std::uint32_t> number;      // among the items of its list, from 0
    std::vector<std::vector<Cell>> given;   // [field][row]
    std::vector<std::vector<Cell>> assumed; // [field][row]
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
    void set(std::int32_t item, std::int32_t row, std::int32_t field, Cell cell);
    void assume(std::int32_t item, std::int32_t row, std::int32_t field, Cell cell);
    void mark_complete(std::int32_t item, std::int32_t row, std::int32_t child, bool complete);

    const Rows &rows(std::int32_t item) const { return rows_[static_cast<std::size_t>(item)]; }
    Rows &rows(std::int32_t item) { return rows_[static_cast<std::size_t>(item)]; }
    std::size_t item_count() const { return rows_.size(); }
    std::size_t row_count() const { return row_count_; }
    bool is_complete(std::int32_t item, std::int32_t child_item, std::size_t row) const;

    // "panels[0].circuits[0]", for messages; empty for the job itself.
    std::string path(std::int32_t item, std::size_t row) const;

    // Forgets all items and facts, but keeps the storage.
    void clear();

    // Gives every row without a `work` of its own that of the row above. Call once all facts are
    // in.
    void inherit_work();

    // What was given, taken back or assumed since settle(): the facts, as long as they are few and
    // no item or mark of completeness came in between.
    bool few_changes() const { return few_changes_; }
    const std::vector<Change> &changes() const { return changes_; }
    void settle();
    // Something else changed, on which facts depend.
    void unsettle() { few_changes_ = false; }

    std::string title;

  private:
    static constexpr std::size_t few = 64;

    std::size_t place_of_child(std::int32_t item, std::int32_t child_item) const;
    void changed(std::int32_t item, std::int32_t row, std::int32_t field) {
        if (!few_changes_)
            return;
        if (changes_.size() < few)
            changes_.push_back({item, row, field});
        else
            few_changes_ = false;
    }

    const book::Book *book_;
    std::vector<Rows> rows_;
    std::size_t row_count_ = 0;
    std::vector<Change> changes_;
    bool few_changes_ = false;
};

// A value that somebody declares as assumed, for every item of a type that does not tell it.
struct Assumption {
    std::int32_t item = 0;
    std::int32_t field = 0;
    double value = 0;
};

void apply_assumptions(Job &job, const std::vector<Assumption> &assumptions);

} // namespace groundrule::facts
