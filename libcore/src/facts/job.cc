// Rows of items.
#include "facts/job.h"

#include <algorithm>

namespace groundrule::facts {

namespace {

// Room for one more, so that adding it can't fail.
template <typename T>
void make_room(std::vector<T> &list) {
    if (list.size() == list.capacity())
        list.reserve(std::max<std::size_t>(2 * list.size(), 4));
}

template <typename T>
void make_room(std::vector<std::vector<T>> &columns) {
    for (std::vector<T> &column : columns)
        make_room(column);
}

} // namespace

void FactTable::reserve_row() {
    if (cells_.capacity() - cells_.size() < fields_)
        cells_.reserve(std::max(2 * cells_.size(), fields_));
}

namespace {

// All of an item's columns grow, or none.
void make_room(Rows &rows) {
    make_room(rows.parent);
    make_room(rows.number);
    make_room(rows.id);
    rows.given.reserve_row();
    rows.assumed.reserve_row();
    make_room(rows.whole);
    make_room(rows.counts);
}

} // namespace

Job::Job(const book::Book &book) : book_(&book), rows_(book.items.size()) {
    for (std::size_t i = 0; i < rows_.size(); ++i) {
        rows_[i].given.set_fields(book.items[i].fields.size());
        rows_[i].assumed.set_fields(book.items[i].fields.size());
        rows_[i].whole.resize(book.items[i].children.size());
        rows_[i].counts.resize(book.items[i].children.size());
    }
    add(0, -1);
}

void Job::settle() {
    change_count_ = 0;
    few_changes_ = true;
}

std::string Job::path(std::int32_t item, std::size_t row) const { // NOLINT(misc-no-recursion)
    const book::Item &type = book_->items[static_cast<std::size_t>(item)];
    if (type.parent < 0)
        return {};
    const Rows &here = rows(item);
    const std::string above = path(type.parent, static_cast<std::size_t>(here.parent[row]));
    return (above.empty() ? "" : above + ".") + type.list + "[" + std::to_string(here.number[row]) +
           "]";
}

std::int32_t Job::add(std::int32_t item, std::int32_t parent_row) {
    Rows &rows = this->rows(item);
    const auto row = static_cast<std::int32_t>(rows.size());
    const book::Item &type = book_->items[static_cast<std::size_t>(item)];
    make_room(rows);
    std::uint32_t number = 0;
    if (type.parent >= 0)
        number =
            this->rows(type.parent)
                .counts[place_of_child(type.parent, item)][static_cast<std::size_t>(parent_row)]++;
    rows.parent.push_back(parent_row);
    rows.number.push_back(number);
    rows.id.emplace_back();
    rows.given.add_row();
    rows.assumed.add_row();
    for (auto &column : rows.whole)
        column.push_back(0);
    for (auto &column : rows.counts)
        column.push_back(0);
    ++row_count_;
    few_changes_ = false;
    return row;
}

void Job::assume(std::int32_t item, std::int32_t row, std::int32_t field, Cell cell) {
    rows(item).assumed.at(static_cast<std::size_t>(field), static_cast<std::size_t>(row)) = cell;
    assumes_ = true;
    changed({item, row, field}, 1);
}

void Job::mark_complete(std::int32_t item, std::int32_t row, std::int32_t child, bool complete) {
    rows(item).whole[static_cast<std::size_t>(child)][static_cast<std::size_t>(row)] =
        complete ? 1 : 0;
    few_changes_ = false;
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
            Cell &own = rows_[i].given.at(0, row);
            if (!own.known())
                own = rows_[above].given.at(0, static_cast<std::size_t>(rows_[i].parent[row]));
        }
    }
}

void apply_assumptions(Job &job, const std::vector<Assumption> &assumptions) {
    for (const Assumption &a : assumptions) {
        for (std::size_t row = 0; row < job.rows(a.item).size(); ++row) {
            if (!job.rows(a.item).assumed.at(static_cast<std::size_t>(a.field), row).known())
                job.assume(a.item, static_cast<std::int32_t>(row), a.field, exactly(a.value));
        }
    }
}

} // namespace groundrule::facts
