// Rows of items.
#include "facts/job.h"

#include <algorithm>

namespace groundrule::facts {

Job::Job(const book::Book &book) : book_(&book), rows_(book.items.size()) {
    for (std::size_t i = 0; i < rows_.size(); ++i) {
        rows_[i].given.resize(book.items[i].fields.size());
        rows_[i].assumed.resize(book.items[i].fields.size());
        rows_[i].whole.resize(book.items[i].children.size());
        rows_[i].counts.resize(book.items[i].children.size());
    }
    add(0, -1);
}

std::int32_t Job::add(std::int32_t item, std::int32_t parent_row) {
    Rows &rows = this->rows(item);
    const auto row = static_cast<std::int32_t>(rows.size());
    const book::Item &type = book_->items[static_cast<std::size_t>(item)];
    std::string path;
    if (type.parent >= 0) {
        Rows &above = this->rows(type.parent);
        std::uint32_t &siblings =
            above.counts[place_of_child(type.parent, item)][static_cast<std::size_t>(parent_row)];
        const std::string &up = above.path[static_cast<std::size_t>(parent_row)];
        path = (up.empty() ? "" : up + ".") + type.list + "[" + std::to_string(siblings) + "]";
        ++siblings;
    }
    rows.parent.push_back(parent_row);
    rows.path.push_back(path);
    rows.id.emplace_back();
    for (auto &column : rows.given)
        column.emplace_back();
    for (auto &column : rows.assumed)
        column.emplace_back();
    for (auto &column : rows.whole)
        column.push_back(0);
    for (auto &column : rows.counts)
        column.push_back(0);
    ++row_count_;
    return row;
}

void Job::set(std::int32_t item, std::int32_t row, std::int32_t field, Cell cell) {
    rows(item).given[static_cast<std::size_t>(field)][static_cast<std::size_t>(row)] = cell;
}

void Job::assume(std::int32_t item, std::int32_t row, std::int32_t field, Cell cell) {
    rows(item).assumed[static_cast<std::size_t>(field)][static_cast<std::size_t>(row)] = cell;
}

void Job::mark_complete(std::int32_t item, std::int32_t row, std::int32_t child, bool complete) {
    rows(item).whole[static_cast<std::size_t>(child)][static_cast<std::size_t>(row)] =
        complete ? 1 : 0;
}

std::size_t Job::place_of_child(std::int32_t item, std::int32_t child_item) const {
    const std::vector<std::int32_t> &children =
        book_->items[static_cast<std::size_t>(item)].children;
    return static_cast<std::size_t>(std::find(children.begin(), children.end(), child_item) -
                                    children.begin());
}

bool Job::is_complete(std::int32_t item, std::int32_t child_item, std::size_t row) const {
    return rows(item).whole[place_of_child(item, child_item)][row] != 0;
}

void Job::inherit_work() {
    // Items stand parents first, so one pass carries a word down the whole tree.
    for (std::size_t i = 1; i < rows_.size(); ++i) {
        const auto above = static_cast<std::size_t>(book_->items[i].parent);
        for (std::size_t row = 0; row < rows_[i].size(); ++row) {
            Cell &own = rows_[i].given[0][row];
            if (!own.known())
                own = rows_[above].given[0][static_cast<std::size_t>(rows_[i].parent[row])];
        }
    }
}

void apply_assumptions(Job &job, const std::vector<Assumption> &assumptions) {
    for (const Assumption &a : assumptions) {
        for (std::size_t row = 0; row < job.rows(a.item).size(); ++row) {
            Cell &cell = job.rows(a.item).assumed[static_cast<std::size_t>(a.field)][row];
            if (!cell.known())
                cell = exactly(a.value);
        }
    }
}

} // namespace groundrule::facts
