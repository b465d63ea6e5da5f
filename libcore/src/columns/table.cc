// Reads Arrow arrays row by row, and checks that they have the shape that the schema promised.
#include "columns/table.h"

#include <algorithm>
#include <cstring>

namespace groundrule::columns {

namespace {

// The node that a path leads to, with the offsets and validities on the way.
struct Node {
    const ArrowArray *array = nullptr;
    std::size_t first = 0;
    std::vector<Validity> validity;
};

bool has_bits(const ArrowArray &a) {
    return a.n_buffers > 0 && a.buffers != nullptr && a.buffers[0] != nullptr && a.null_count != 0;
}

void descend(Node &node, const ArrowArray *array) {
    node.array = array;
    node.first += static_cast<std::size_t>(array->offset);
    if (has_bits(*array))
        node.validity.push_back({static_cast<const std::uint8_t *>(array->buffers[0]), node.first});
}

bool follow(Node &node, const std::vector<std::size_t> &path) {
    for (const std::size_t child : path) {
        if (child >= static_cast<std::size_t>(node.array->n_children))
            return false;
        descend(node, node.array->children[child]);
    }
    return true;
}

std::size_t alignment_of(Storage storage) {
    static constexpr std::size_t sizes[] = {1, 1, 1, 1, 2, 2, 4, 4, 8, 8, 4, 8, 4, 8, 4};
    return sizes[static_cast<std::size_t>(storage)];
}

// The standard lets a consumer refuse buffers that are not aligned for their type.
bool is_aligned(const void *p, std::size_t to) {
    return reinterpret_cast<std::uintptr_t>(p) % to == 0;
}

bool has_buffers(const ArrowArray &a, Storage storage) {
    if (storage == Storage::null || a.length == 0)
        return true;
    return a.n_buffers >= (is_text(storage) ? 3 : 2) && a.buffers != nullptr &&
           a.buffers[1] != nullptr && is_aligned(a.buffers[1], alignment_of(storage));
}

// Offsets never go back nor beyond the items, and a list that is null holds none.
bool lawful(const Lists &lists, std::size_t rows, std::size_t items) {
    for (std::size_t row = 0; row < rows; ++row) {
        const bool told = std::all_of(lists.validity.begin(), lists.validity.end(),
                                      [&](const Validity &v) { return v.at(row); });
        if (lists.end(row) < lists.begin(row) || lists.end(row) > items ||
            (!told && lists.end(row) != lists.begin(row)))
            return false;
    }
    return true;
}

template <typename T>
T at(const ArrowArray &array, std::size_t row) {
    T value;
    std::memcpy(&value, static_cast<const char *>(array.buffers[1]) + row * sizeof(T), sizeof(T));
    return value;
}

double number_in(const ArrowArray &array, Storage storage, std::size_t row) {
    if (storage == Storage::float32)
        return at<float>(array, row);
    if (storage == Storage::float64)
        return at<double>(array, row);
    if (storage == Storage::uint64)
        return static_cast<double>(at<std::uint64_t>(array, row));
    return static_cast<double>(index_in(array, storage, row));
}

} // namespace

bool is_text(Storage s) {
    return s == Storage::text32 || s == Storage::text64 || s == Storage::text_view;
}

std::int64_t index_in(const ArrowArray &array, Storage storage, std::size_t row) {
    switch (storage) {
    case Storage::boolean:
        return at<std::uint8_t>(array, row / 8) >> (row % 8) & 1;
    case Storage::int8:
        return at<std::int8_t>(array, row);
    case Storage::uint8:
        return at<std::uint8_t>(array, row);
    case Storage::int16:
        return at<std::int16_t>(array, row);
    case Storage::uint16:
        return at<std::uint16_t>(array, row);
    case Storage::int32:
        return at<std::int32_t>(array, row);
    case Storage::uint32:
        return at<std::uint32_t>(array, row);
    case Storage::int64:
        return at<std::int64_t>(array, row);
    case Storage::uint64:
        return static_cast<std::int64_t>(at<std::uint64_t>(array, row));
    default:
        return 0;
    }
}

std::string_view text_in(const ArrowArray &array, Storage storage, std::size_t row) {
    if (storage == Storage::text_view) {
        // Up to 12 bytes stand in the view itself; longer texts in one of the data buffers.
        struct View {
            std::int32_t size;
            char begin[4];
            std::int32_t buffer;
            std::int32_t offset;
        };
        const char *here = static_cast<const char *>(array.buffers[1]) + row * sizeof(View);
        View view;
        std::memcpy(&view, here, sizeof view);
        const auto size = static_cast<std::size_t>(view.size);
        if (size <= 12)
            return {here + 4, size};
        return {static_cast<const char *>(array.buffers[2 + view.buffer]) + view.offset, size};
    }
    const char *data = static_cast<const char *>(array.buffers[2]);
    const bool large = storage == Storage::text64;
    const auto offset = [&](std::size_t i) {
        return static_cast<std::size_t>(large ? at<std::int64_t>(array, i)
                                              : at<std::int32_t>(array, i));
    };
    return {data + offset(row), offset(row + 1) - offset(row)};
}

std::optional<double> value_of_text(const book::Book &book, const Source &source,
                                    std::string_view text, facts::FactFault &fault) {
    const book::Item &item = book.items[source.item];
    const book::Field &field = item.fields[source.field];
    if (field.type.is_truth() &&
        (text == "yes" || text == "true" || text == "no" || text == "false"))
        return text == "yes" || text == "true" ? 1 : 0;
    return value_from_text(book, field, item.name + "." + field.name, text, fault);
}

Cell fact_in(const book::Book &book, const Column &column, std::size_t row,
             facts::FactFault &fault) {
    const Source &s = *column.source;
    if (s.storage == Storage::null || !column.told(row))
        return {};
    const book::Item &item = book.items[s.item];
    const book::Field &field = item.fields[s.field];
    const std::string name = item.name + "." + field.name;
    const ArrowArray *array = column.array;
    std::size_t at = column.first + row;
    if (s.index) {
        const std::int64_t entry = index_in(*array, *s.index, at);
        array = array->dictionary;
        if (entry < 0 || entry >= array->length) {
            fault = {"no-such-entry",
                     name + ": its dictionary has no entry " + std::to_string(entry), ""};
            return {};
        }
        at = static_cast<std::size_t>(entry + array->offset);
        if (has_bits(*array) &&
            !Validity{static_cast<const std::uint8_t *>(array->buffers[0]), 0}.at(at))
            return {};
    }
    if (is_text(s.storage)) {
        const auto value = value_of_text(book, s, text_in(*array, s.storage, at), fault);
        return value ? exactly(*value) : Cell{};
    }
    const double number = number_in(*array, s.storage, at);
    if (field.type.is_truth() && number != 0 && number != 1) {
        fault = {"wrong-type", name + " is a yes_no: 0 or 1", ""};
        return {};
    }
    const auto value = facts::admitted(
        field, name, field.type.is_quantity() ? number * s.factor + s.offset : number, fault);
    return value ? exactly(*value) : Cell{};
}

std::optional<Table> table_of(const Layout &layout, const ArrowArray &array, std::string &fault) {
    Table out;
    out.rows = static_cast<std::size_t>(array.length);
    std::vector<Node> roots(layout.tiers.size());
    descend(roots[0], &array);
    std::vector<std::size_t> rows(layout.tiers.size(), out.rows);
    out.lists.resize(layout.tiers.size());
    for (std::size_t t = 1; t < layout.tiers.size(); ++t) {
        const Tier &tier = layout.tiers[t];
        Node list = roots[static_cast<std::size_t>(tier.parent)];
        const std::size_t above = rows[static_cast<std::size_t>(tier.parent)];
        const auto refuse = [&](const char *what) {
            fault = "column " + tier.column + what;
            return std::nullopt;
        };
        if (!follow(list, tier.path) || list.array->n_children != 1 || list.array->n_buffers < 2 ||
            !is_aligned(list.array->buffers[1], tier.large ? 8 : 4))
            return refuse(" is not as its schema says");
        Lists &lists = out.lists[t];
        lists.validity = list.validity;
        static constexpr std::int64_t none[2] = {0, 0};
        if (list.array->length == 0)
            lists.large = none;
        else if (tier.large)
            lists.large = static_cast<const std::int64_t *>(list.array->buffers[1]) + list.first;
        else
            lists.offsets = static_cast<const std::int32_t *>(list.array->buffers[1]) + list.first;
        descend(roots[t], list.array->children[0]);
        rows[t] = static_cast<std::size_t>(list.array->children[0]->length);
        if (list.array->length != 0 && !lawful(lists, above, rows[t]))
            return refuse(": its offsets are not those of lists, or a null list holds items");
    }
    for (const Source &s : layout.sources) {
        Node node = roots[s.tier];
        const bool there = follow(node, s.path);
        if (!there || static_cast<std::size_t>(node.array->length) < rows[s.tier] ||
            (s.index.has_value() != (node.array->dictionary != nullptr)) ||
            !has_buffers(*node.array, s.index ? *s.index : s.storage) ||
            (s.index && !has_buffers(*node.array->dictionary, s.storage))) {
            fault = "column " + s.column + " is not as its schema says";
            return std::nullopt;
        }
        out.columns.push_back({&s, node.array, node.first, node.validity});
    }
    return out;
}

} // namespace groundrule::columns
