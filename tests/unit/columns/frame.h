// Tables of random facts as Arrow arrays: every storage that a column may have, with nulls, offsets
// and lists. The values are those at which rules turn: the book's own constants, and their
// neighbours.
#pragma once

#include "trial.h"

#include "columns/audit.h"
#include "quantity/conductor_size.h"
#include "quantity/date.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <deque>
#include <map>
#include <random>

namespace frame {

using namespace groundrule;
using columns::Storage;

// Arrow structs and what they point to; nothing is released before the arena is.
class Arena {
  public:
    ArrowSchema &schema(const std::string &format, const std::string &name) {
        ArrowSchema &s = schemas_.emplace_back();
        s.format = texts_.emplace_back(format).c_str();
        s.name = texts_.emplace_back(name).c_str();
        return s;
    }
    ArrowArray &array(std::size_t length, std::size_t offset) {
        ArrowArray &a = arrays_.emplace_back();
        a.length = static_cast<std::int64_t>(length);
        a.offset = static_cast<std::int64_t>(offset);
        a.null_count = -1;
        return a;
    }
    template <typename T>
    const void *keep(const std::vector<T> &values) {
        std::vector<std::max_align_t> &bytes = buffers_.emplace_back();
        bytes.resize((values.size() * sizeof(T)) / sizeof(std::max_align_t) + 1);
        if (!values.empty())
            std::memcpy(bytes.data(), values.data(), values.size() * sizeof(T));
        return bytes.data();
    }
    void buffers(ArrowArray &a, std::vector<const void *> list) {
        auto &kept = lists_.emplace_back(std::move(list));
        a.buffers = kept.data();
        a.n_buffers = static_cast<std::int64_t>(kept.size());
    }
    void children(ArrowSchema &s, std::vector<ArrowSchema *> list) {
        auto &kept = schema_lists_.emplace_back(std::move(list));
        s.children = kept.data();
        s.n_children = static_cast<std::int64_t>(kept.size());
    }
    void children(ArrowArray &a, std::vector<ArrowArray *> list) {
        auto &kept = array_lists_.emplace_back(std::move(list));
        a.children = kept.data();
        a.n_children = static_cast<std::int64_t>(kept.size());
    }

  private:
    std::deque<ArrowSchema> schemas_;
    std::deque<ArrowArray> arrays_;
    std::deque<std::string> texts_;
    std::deque<std::vector<std::max_align_t>> buffers_;
    std::deque<std::vector<const void *>> lists_;
    std::deque<std::vector<ArrowSchema *>> schema_lists_;
    std::deque<std::vector<ArrowArray *>> array_lists_;
};

struct Grown {
    ArrowSchema *schema = nullptr;
    ArrowArray *array = nullptr;
};

class Grower {
  public:
    Grower(const book::Book &book, const program::Program &program, std::uint32_t seed,
           double share)
        : book_(book), random_(seed), share_(share) {
        for (const program::Instruction &in : program.code) {
            if (in.op == program::Op::constant)
                note(in.value);
        }
        for (const program::Table &t : program.tables) {
            for (const program::TableKey &k : t.keys) {
                for (const double s : k.steps)
                    note(s / k.scale);
            }
        }
    }

    Arena arena;
    columns::LayoutOptions options;

    std::size_t below(std::size_t n) {
        return std::uniform_int_distribution<std::size_t>(0, n - 1)(random_);
    }
    bool chance(double p) { return std::bernoulli_distribution(p)(random_); }

    // A table whose rows are an item, with columns for it, for those above, and lists below.
    Grown table(std::int32_t item, std::size_t rows) {
        options.item = at(item).name;
        std::vector<std::pair<std::string, Grown>> made;
        const std::size_t slack = below(3) * 5;
        for (std::int32_t i = item; i >= 0; i = at(i).parent)
            fields(i, i == item ? "" : at(i).name + ".", rows + slack, made);
        below_item(item, "", rows + slack, made);
        return structure(made, "", rows, slack);
    }

  private:
    const book::Item &at(std::int32_t i) const { return book_.items[static_cast<std::size_t>(i)]; }

    void note(double value) {
        if (std::isfinite(value) && std::fabs(value) < 1e6)
            values_.push_back(value);
    }

    void fields(std::int32_t item, const std::string &prefix, std::size_t rows,
                std::vector<std::pair<std::string, Grown>> &made) {
        for (const book::Field &f : at(item).fields) {
            if (chance(share_))
                made.emplace_back(prefix + f.name, column(at(item), f, prefix + f.name, rows));
        }
    }

    // Items below either one to one or as lists.
    void below_item(std::int32_t item, const std::string &path, std::size_t rows,
                    std::vector<std::pair<std::string, Grown>> &made) {
        for (const std::int32_t child : at(item).children) {
            if (chance(0.5))
                options.complete.push_back(at(item).name + "." + at(child).list);
            if (path.empty() && chance(0.3)) {
                // Its own lists would have to be named by its columns.
                one_to_one(child, rows, made);
                continue;
            }
            if (chance(0.8))
                made.emplace_back(at(child).list, list(child, path, rows));
        }
    }

    // Columns whose names begin with the item's, or a struct of them, of which rows may be null.
    void one_to_one(std::int32_t item, std::size_t rows,
                    std::vector<std::pair<std::string, Grown>> &made) {
        const std::string name = at(item).name;
        if (chance(0.5))
            return fields(item, name + ".", rows, made);
        std::vector<std::pair<std::string, Grown>> inner;
        prefix_.push_back(name + ".");
        fields(item, "", rows, inner);
        prefix_.pop_back();
        if (inner.empty())
            return;
        std::vector<std::uint8_t> bits(rows / 8 + 1, 0);
        for (std::size_t r = 0; r < rows; ++r)
            bits[r / 8] = static_cast<std::uint8_t>(bits[r / 8] | (chance(0.9) ? 1u : 0u) << r % 8);
        const Grown all = structure(inner, name, rows, 0);
        arena.buffers(*all.array, {arena.keep(bits)});
        all.array->null_count = -1;
        made.emplace_back(name, all);
    }

    Grown list(std::int32_t item, const std::string &path, std::size_t rows) {
        std::vector<std::int64_t> offsets(rows + 1, 0);
        std::vector<std::uint8_t> bits(rows / 8 + 1, 0);
        const bool nulls = chance(0.5);
        std::size_t all = below(3);
        offsets[0] = static_cast<std::int64_t>(all);
        for (std::size_t r = 0; r < rows; ++r) {
            const bool told = !nulls || chance(0.9);
            if (told)
                bits[r / 8] = static_cast<std::uint8_t>(bits[r / 8] | 1u << r % 8);
            all += told ? below(4) : 0;
            offsets[r + 1] = static_cast<std::int64_t>(all);
        }
        std::vector<std::pair<std::string, Grown>> made;
        const std::string name = at(item).list;
        const std::string here = path + name + ".";
        prefix_.push_back(here);
        fields(item, "", all, made);
        below_item(item, here, all, made);
        prefix_.pop_back();
        const Grown inner = structure(made, "item", all, 0);
        const bool large = chance(0.5);
        ArrowSchema &s = arena.schema(large ? "+L" : "+l", name);
        arena.children(s, {inner.schema});
        ArrowArray &a = arena.array(rows, 0);
        const void *places = nullptr;
        if (large) {
            places = arena.keep(offsets);
        } else {
            std::vector<std::int32_t> narrow(offsets.begin(), offsets.end());
            places = arena.keep(narrow);
        }
        arena.buffers(a, {nulls ? arena.keep(bits) : nullptr, places});
        if (!nulls)
            a.null_count = 0;
        arena.children(a, {inner.array});
        return {&s, &a};
    }

    Grown structure(const std::vector<std::pair<std::string, Grown>> &made, const std::string &name,
                    std::size_t rows, std::size_t offset) {
        ArrowSchema &s = arena.schema("+s", name);
        ArrowArray &a = arena.array(rows, offset);
        std::vector<ArrowSchema *> schemas;
        std::vector<ArrowArray *> arrays;
        for (const auto &[n, grown] : made) {
            schemas.push_back(grown.schema);
            arrays.push_back(grown.array);
        }
        arena.children(s, schemas);
        arena.children(a, arrays);
        arena.buffers(a, {nullptr});
        a.null_count = 0;
        return {&s, &a};
    }

    // --- columns

    double value(const book::Field &f) {
        switch (f.type.kind) {
        case ValueKind::truth:
            return static_cast<double>(below(2));
        case ValueKind::choice:
            return static_cast<double>(
                below(book_.choice_types[static_cast<std::size_t>(f.type.choices)].choices.size()));
        case ValueKind::conductor_size:
            return static_cast<double>(below(static_cast<std::size_t>(conductor_size_count())));
        case ValueKind::date:
            return static_cast<double>(16000 + below(6000));
        case ValueKind::quantity:
            break;
        }
        double x = values_.empty() ? 1 : values_[below(values_.size())];
        if (chance(0.3))
            x += (chance(0.5) ? 1 : -1) * (chance(0.5) ? 1 : 1e-6);
        if (chance(0.1))
            x *= 1.25;
        return f.type.dimension.kelvin != 0 ? x : std::fabs(x);
    }

    Grown column(const book::Item &item, const book::Field &f, const std::string &name,
                 std::size_t rows) {
        const std::size_t offset = below(2) * below(11);
        std::vector<double> values;
        std::vector<std::uint8_t> bits((rows + offset) / 8 + 1, 0);
        const bool nulls = chance(0.8);
        for (std::size_t r = 0; r < rows + offset; ++r) {
            values.push_back(value(f));
            if (!nulls || chance(0.85))
                bits[r / 8] = static_cast<std::uint8_t>(bits[r / 8] | 1u << r % 8);
        }
        const std::string short_name = name.substr(name.rfind('.') + 1);
        const std::string column = prefix_.empty() ? name : short_name;
        Grown out =
            typed(item, f, column, values, rows, offset, nulls ? arena.keep(bits) : nullptr);
        if (!nulls)
            out.array->null_count = 0;
        return out;
    }

    Grown typed(const book::Item &item, const book::Field &f, const std::string &name,
                const std::vector<double> &values, std::size_t rows, std::size_t offset,
                const void *bits) {
        const bool quantity = f.type.is_quantity();
        if (f.type.is_truth() && chance(0.6)) {
            if (chance(0.5)) {
                std::vector<std::uint8_t> packed(values.size() / 8 + 1, 0);
                for (std::size_t i = 0; i < values.size(); ++i)
                    packed[i / 8] = static_cast<std::uint8_t>(packed[i / 8] |
                                                              (values[i] != 0 ? 1u : 0u) << i % 8);
                return plain("b", name, packed, rows, offset, bits);
            }
            return numbers(name, values, 1 + below(8), rows, offset, bits);
        }
        if (f.type.kind == ValueKind::date && chance(0.6))
            return numbers(name, values, 10, rows, offset, bits);
        if (quantity && chance(0.85)) {
            const std::string full = (prefix_.empty() ? "" : prefix_.back()) + name;
            const std::string fact = item.name + "." + f.name;
            options.columns.push_back({full, fact, any_unit_of(f.type.dimension)});
            return numbers(name, values, 1 + below(10), rows, offset, bits);
        }
        std::vector<std::string> texts;
        for (const double v : values)
            texts.push_back(quantity ? exact_text(v, f.type.dimension)
                                     : (f.type.is_truth() ? (v != 0 ? "yes" : "no")
                                                          : book::value_text(book_, f.type, v)));
        return chance(0.6) ? dictionary(name, texts, rows, offset, bits)
                           : text_column(name, texts, rows, offset, bits);
    }

    static std::string unit_of(const Dimension &d) {
        const std::string all = units_of(d);
        return d.is_number() ? "" : all.substr(0, all.find(','));
    }

    // Mostly the base unit, so that the values are those at which rules turn.
    std::string any_unit_of(const Dimension &d) {
        if (d.is_number() || chance(0.75))
            return unit_of(d);
        const std::string all = units_of(d);
        const std::size_t last = all.rfind(", ");
        return last == std::string::npos ? all : all.substr(last + 2);
    }

    static std::string exact_text(double v, const Dimension &d) {
        char out[64];
        std::snprintf(out, sizeof out, "%.6f", v);
        const std::string unit = d == dimension::length   ? "mm"
                                 : d == dimension::volume ? "in³"
                                 : d == dimension::area   ? "in²"
                                                          : unit_of(d);
        return unit.empty() ? out : std::string(out) + " " + unit;
    }

    template <typename T>
    Grown plain(const char *format, const std::string &name, const std::vector<T> &values,
                std::size_t rows, std::size_t offset, const void *bits) {
        ArrowSchema &s = arena.schema(format, name);
        ArrowArray &a = arena.array(rows, offset);
        arena.buffers(a, {bits, arena.keep(values)});
        return {&s, &a};
    }

    template <typename T>
    Grown cast(const char *format, const std::string &name, const std::vector<double> &values,
               std::size_t rows, std::size_t offset, const void *bits) {
        std::vector<T> out;
        for (const double v : values) {
            const double low = std::is_unsigned_v<T> ? 0 : -100;
            const double high = sizeof(T) == 1 ? 100 : (sizeof(T) == 2 ? 30000 : 1e6);
            out.push_back(static_cast<T>(
                std::is_floating_point_v<T> ? v : std::clamp(std::floor(v), low, high)));
        }
        return plain(format, name, out, rows, offset, bits);
    }

    Grown numbers(const std::string &name, const std::vector<double> &v, std::size_t kind,
                  std::size_t rows, std::size_t offset, const void *bits) {
        switch (kind) {
        case 1:
            return cast<std::int8_t>("c", name, v, rows, offset, bits);
        case 2:
            return cast<std::uint8_t>("C", name, v, rows, offset, bits);
        case 3:
            return cast<std::int16_t>("s", name, v, rows, offset, bits);
        case 4:
            return cast<std::uint16_t>("S", name, v, rows, offset, bits);
        case 5:
            return cast<std::int32_t>("i", name, v, rows, offset, bits);
        case 6:
            return cast<std::uint32_t>("I", name, v, rows, offset, bits);
        case 7:
            return cast<std::int64_t>("l", name, v, rows, offset, bits);
        case 8:
            return cast<std::uint64_t>("L", name, v, rows, offset, bits);
        case 9:
            return cast<float>("f", name, v, rows, offset, bits);
        case 10:
            if (!v.empty() && v[0] >= 16000)
                return cast<std::int32_t>("tdD", name, v, rows, offset, bits);
            break;
        default:
            break;
        }
        return cast<double>("g", name, v, rows, offset, bits);
    }

    Grown text_column(const std::string &name, const std::vector<std::string> &texts,
                      std::size_t rows, std::size_t offset, const void *bits) {
        const std::size_t kind = below(3);
        std::string all;
        std::vector<std::int64_t> offsets = {0};
        for (const std::string &t : texts) {
            all += t;
            offsets.push_back(static_cast<std::int64_t>(all.size()));
        }
        const void *data = arena.keep(std::vector<char>(all.begin(), all.end()));
        ArrowSchema &s = arena.schema(kind == 0 ? "u" : (kind == 1 ? "U" : "vu"), name);
        ArrowArray &a = arena.array(rows, offset);
        if (kind == 0) {
            arena.buffers(a, {bits,
                              arena.keep(std::vector<std::int32_t>(offsets.begin(), offsets.end())),
                              data});
        } else if (kind == 1) {
            arena.buffers(a, {bits, arena.keep(offsets), data});
        } else {
            std::vector<char> views(texts.size() * 16, 0);
            for (std::size_t i = 0; i < texts.size(); ++i) {
                const auto size = static_cast<std::int32_t>(texts[i].size());
                std::memcpy(&views[i * 16], &size, 4);
                if (size <= 12) {
                    std::memcpy(&views[i * 16 + 4], texts[i].data(), texts[i].size());
                } else {
                    const auto from = static_cast<std::int32_t>(offsets[i]);
                    std::memcpy(&views[i * 16 + 4], texts[i].data(), 4);
                    std::memcpy(&views[i * 16 + 12], &from, 4);
                }
            }
            const std::vector<std::int64_t> sizes = {static_cast<std::int64_t>(all.size())};
            arena.buffers(a, {bits, arena.keep(views), data, arena.keep(sizes)});
        }
        return {&s, &a};
    }

    Grown dictionary(const std::string &name, const std::vector<std::string> &texts,
                     std::size_t rows, std::size_t offset, const void *bits) {
        std::vector<std::string> entries = texts;
        std::sort(entries.begin(), entries.end());
        entries.erase(std::unique(entries.begin(), entries.end()), entries.end());
        std::vector<double> places;
        for (const std::string &t : texts)
            places.push_back(static_cast<double>(
                std::lower_bound(entries.begin(), entries.end(), t) - entries.begin()));
        const Grown inner = text_column("", entries, entries.size(), 0, nullptr);
        inner.array->null_count = 0;
        Grown out = numbers(name, places, entries.size() < 100 ? 1 + below(8) : 5 + below(4), rows,
                            offset, bits);
        out.schema->dictionary = inner.schema;
        out.array->dictionary = inner.array;
        return out;
    }

    const book::Book &book_;
    std::mt19937 random_;
    double share_ =
        0; // of the facts that a table tells: the more, the likelier it contradicts itself
    std::vector<double> values_;
    std::vector<std::string> prefix_; // of the list at hand
};

} // namespace frame
