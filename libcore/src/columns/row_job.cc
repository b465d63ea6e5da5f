// Adds items tier by tier, so that a job's rows stand in the order of the table's.
#include "columns/row_job.h"

#include <algorithm>

namespace groundrule::columns {

namespace {

class Maker {
  public:
    Maker(const book::Book &book, const Table &table, const Layout &layout,
          std::vector<std::string> &faults)
        : book_(book), table_(table), layout_(layout), faults_(faults), job_(book),
          row_of_(book.items.size(), 0) {}

    facts::Job make(std::size_t row) {
        fill(0, row);
        return std::move(job_);
    }

  private:
    // The items of one row of a tier, then the lists in it.
    void fill(std::size_t tier, std::size_t row) { // NOLINT(misc-no-recursion)
        for (std::size_t i = 0; i < book_.items.size(); ++i) {
            if (layout_.tier_of[i] != static_cast<std::int32_t>(tier))
                continue;
            const std::int32_t parent = book_.items[i].parent;
            row_of_[i] = parent < 0 ? 0
                                    : job_.add(static_cast<std::int32_t>(i),
                                               row_of_[static_cast<std::size_t>(parent)]);
            complete(i, tier, row);
        }
        for (const Column &c : table_.columns) {
            if (c.source->tier == tier)
                set(c, row);
        }
        for (std::size_t t = tier + 1; t < layout_.tiers.size(); ++t) {
            if (layout_.tiers[t].parent != static_cast<std::int32_t>(tier))
                continue;
            for (std::size_t r = table_.lists[t].begin(row); r < table_.lists[t].end(row); ++r)
                fill(t, r);
        }
    }

    void complete(std::size_t item, std::size_t tier, std::size_t row) {
        const std::vector<std::int32_t> &children = book_.items[item].children;
        for (std::size_t k = 0; k < children.size(); ++k) {
            const auto child = static_cast<std::size_t>(children[k]);
            if (layout_.whole_children[child] == 0)
                continue;
            const std::int32_t there = layout_.tier_of[child];
            bool told = true;
            if (there >= 0 && there != static_cast<std::int32_t>(tier)) {
                const auto &validity = table_.lists[static_cast<std::size_t>(there)].validity;
                told = std::all_of(validity.begin(), validity.end(),
                                   [&](const Validity &v) { return v.at(row); });
            }
            job_.mark_complete(static_cast<std::int32_t>(item), row_of_[item],
                               static_cast<std::int32_t>(k), told);
        }
    }

    void set(const Column &c, std::size_t row) {
        facts::FactFault fault;
        const Cell cell = fact_in(book_, c, row, fault);
        if (!fault.message.empty())
            faults_.push_back("column " + c.source->column + ": " + fault.message);
        job_.set(c.source->item, row_of_[c.source->item], c.source->field, cell);
    }

    const book::Book &book_;
    const Table &table_;
    const Layout &layout_;
    std::vector<std::string> &faults_;
    facts::Job job_;
    std::vector<std::int32_t> row_of_;
};

} // namespace

facts::Job job_of(const book::Book &book, const Table &table, const Layout &layout, std::size_t row,
                  std::vector<std::string> &faults) {
    return Maker(book, table, layout, faults).make(row);
}

} // namespace groundrule::columns
