// Tables written down value by value.
#pragma once

#include "frame.h"

namespace handmade {

using namespace groundrule;
using frame::Arena;
using frame::Grown;

// The bits of truths, the first one lowest.
inline std::vector<std::uint8_t> bits(const std::vector<int> &truths) {
    std::vector<std::uint8_t> out(truths.size() / 8 + 1, 0);
    for (std::size_t i = 0; i < truths.size(); ++i)
        out[i / 8] = static_cast<std::uint8_t>(out[i / 8] | (truths[i] != 0 ? 1u : 0u) << i % 8);
    return out;
}

class Table {
  public:
    Arena arena;
    std::vector<Grown> columns;

    template <typename T>
    Grown numbers(const std::string &format, const std::string &name,
                  const std::vector<T> &values) {
        Grown g{&arena.schema(format, name), &arena.array(values.size(), 0)};
        arena.buffers(*g.array, {nullptr, arena.keep(values)});
        g.array->null_count = 0;
        return g;
    }
    Grown truths(const std::string &name, const std::vector<int> &values) {
        Grown g = numbers("b", name, bits(values));
        g.array->length = static_cast<std::int64_t>(values.size());
        return g;
    }
    Grown texts(const std::string &name, const std::vector<std::string> &values) {
        std::string all;
        std::vector<std::int32_t> offsets = {0};
        for (const std::string &v : values) {
            all += v;
            offsets.push_back(static_cast<std::int32_t>(all.size()));
        }
        Grown g{&arena.schema("u", name), &arena.array(values.size(), 0)};
        arena.buffers(*g.array, {nullptr, arena.keep(offsets),
                                 arena.keep(std::vector<char>(all.begin(), all.end()))});
        g.array->null_count = 0;
        return g;
    }
    Grown dictionary(const std::string &name, const std::vector<std::string> &entries,
                     const std::vector<std::int32_t> &indices) {
        Grown g = numbers("i", name, indices);
        const Grown inner = texts("", entries);
        g.schema->dictionary = inner.schema;
        g.array->dictionary = inner.array;
        return g;
    }
    Grown structure(const std::string &name, const std::vector<Grown> &made, std::size_t rows) {
        Grown g{&arena.schema("+s", name), &arena.array(rows, 0)};
        std::vector<ArrowSchema *> schemas;
        std::vector<ArrowArray *> arrays;
        for (const Grown &column : made) {
            schemas.push_back(column.schema);
            arrays.push_back(column.array);
        }
        arena.children(*g.schema, schemas);
        arena.children(*g.array, arrays);
        arena.buffers(*g.array, {nullptr});
        g.array->null_count = 0;
        return g;
    }
    // Offset: one more than there are rows.
    Grown list(const std::string &name, const std::vector<std::int32_t> &offsets,
               const std::vector<Grown> &made, std::size_t items) {
        Grown g{&arena.schema("+l", name), &arena.array(offsets.size() - 1, 0)};
        const Grown inner = structure("item", made, items);
        arena.children(*g.schema, {inner.schema});
        arena.children(*g.array, {inner.array});
        arena.buffers(*g.array, {nullptr, arena.keep(offsets)});
        g.array->null_count = 0;
        return g;
    }
    void null_where_not(const Grown &column, const std::vector<int> &told) {
        column.array->buffers[0] = arena.keep(bits(told));
        column.array->null_count = -1;
    }
    Grown whole(std::size_t rows) { return structure("", columns, rows); }
};

} // namespace handmade
