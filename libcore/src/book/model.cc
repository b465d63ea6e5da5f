// Look-ups and texts over a book's parts.
#include "book/model.h"

#include "quantity/conductor_size.h"
#include "quantity/date.h"

#include <algorithm>
#include <string_view>

namespace groundrule::book {

namespace {

bool digit(char c) {
    return c >= '0' && c <= '9';
}

// Of two runs of digits without leading zeros, the longer is the larger number.
int number_order(std::string_view a, std::string_view b) {
    a.remove_prefix(std::min(a.find_first_not_of('0'), a.size()));
    b.remove_prefix(std::min(b.find_first_not_of('0'), b.size()));
    if (a.size() != b.size())
        return a.size() < b.size() ? -1 : 1;
    return a.compare(b);
}

// Compares runs of digits as numbers and the rest byte by byte.
int natural_order(const std::string &a, const std::string &b) {
    std::size_t i = 0;
    std::size_t j = 0;
    while (i < a.size() && j < b.size()) {
        if (digit(a[i]) && digit(b[j])) {
            std::size_t p = i;
            std::size_t q = j;
            while (p < a.size() && digit(a[p]))
                ++p;
            while (q < b.size() && digit(b[q]))
                ++q;
            const std::string_view x(a.data() + i, p - i);
            const std::string_view y(b.data() + j, q - j);
            if (const int order = number_order(x, y); order != 0)
                return order;
            i = p;
            j = q;
        } else {
            if (a[i] != b[j])
                return a[i] < b[j] ? -1 : 1;
            ++i;
            ++j;
        }
    }
    const bool a_ends = i == a.size();
    const bool b_ends = j == b.size();
    return a_ends == b_ends ? 0 : (a_ends ? -1 : 1);
}

} // namespace

bool citation_less(const std::string &a, const std::string &b) {
    const bool a_clause = !a.empty() && digit(a[0]);
    const bool b_clause = !b.empty() && digit(b[0]);
    if (a_clause != b_clause)
        return a_clause;
    return natural_order(a, b) < 0;
}

std::string value_text(const Book &book, const Type &type, double value) {
    switch (type.kind) {
    case ValueKind::truth:
        return value != 0 ? "yes" : "no";
    case ValueKind::quantity:
        return format_quantity(value, type.dimension);
    case ValueKind::conductor_size:
        return std::string(conductor_size_name(static_cast<int>(value)));
    case ValueKind::date:
        return date_text(static_cast<int>(value));
    case ValueKind::choice:
        return book.choice_types[static_cast<std::size_t>(type.choices)]
            .choices[static_cast<std::size_t>(value)];
    }
    return {};
}

std::string type_name(const std::vector<ChoiceType> &choices, const Type &type) {
    switch (type.kind) {
    case ValueKind::truth:
        return "yes_no";
    case ValueKind::quantity:
        return dimension::name_of(type.dimension);
    case ValueKind::conductor_size:
        return "conductor_size";
    case ValueKind::date:
        return "date";
    case ValueKind::choice:
        return choices[static_cast<std::size_t>(type.choices)].name;
    }
    return {};
}

std::int32_t find_item(const Book &book, const std::string &name) {
    for (std::size_t i = 0; i < book.items.size(); ++i) {
        if (book.items[i].name == name)
            return static_cast<std::int32_t>(i);
    }
    return -1;
}

std::int32_t find_field(const Item &item, const std::string &name) {
    for (std::size_t i = 0; i < item.fields.size(); ++i) {
        if (item.fields[i].name == name)
            return static_cast<std::int32_t>(i);
    }
    return -1;
}

bool is_above_or_same(const Book &book, std::int32_t above, std::int32_t item) {
    while (item >= 0 && item != above)
        item = book.items[static_cast<std::size_t>(item)].parent;
    return item == above && above >= 0;
}

} // namespace groundrule::book
