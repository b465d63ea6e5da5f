// Figures by name, from a book and from the second readings in tests/reference/tables.

#pragma once

#include "book/model.h"

#include <map>
#include <string>
#include <vector>

namespace reference {

using namespace groundrule;

// "310.16[8 AWG, copper, 60 °C]" → a value in its base unit. Cells of tables with several columns
// end in the column's name, limits are named "topic.limit".
using Figures = std::map<std::string, double>;

// Where the figures of a book stand; copied so that a test can change them.
struct Written {
    std::vector<book::Table> tables;
    std::vector<book::List> lists;
    std::vector<book::Rule> rules;

    explicit Written(const book::Book &book)
        : tables(book.tables), lists(book.lists), rules(book.rules) {}
};

// Rows of a CSV file below tests/reference; lines that begin with # tell its sources.
std::vector<std::map<std::string, std::string>> rows_of(const std::string &file);

// All tables and lists, and the limits of rules that the readings speak of.
Figures encoded(const book::Book &book, const Written &written);
// Throws where two rows of the readings contradict each other.
Figures published(const std::string &year);

struct Difference {
    std::string figure;
    enum class Side { book, reading, both } side;
};
std::vector<Difference> differences(const Figures &book, const Figures &reading);

} // namespace reference
