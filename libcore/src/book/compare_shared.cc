// What rules share: the words for facts, groups, tables, lists, definitions.
#include "book/compare_steps.h"
#include "book/expression_text.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <map>
#include <set>

namespace groundrule::book {

namespace {

using Kind = SharedChange::Kind;

std::string joined(const std::vector<std::string> &words) {
    std::string out;
    for (const std::string &w : words)
        out += (out.empty() ? "" : ", ") + w;
    return out;
}

class SharedComparer {
  public:
    SharedComparer(const Book &before, const Book &after) : before_(before), after_(after) {}

    std::vector<SharedChange> changes() {
        each(
            before_.items, after_.items, [](const Item &i) { return i.name; },
            [&](const Item *o, const Item *n) { item(o, n); });
        each(
            before_.groups, after_.groups, [](const Group &g) { return g.name; },
            [&](const Group *o, const Group *n) { group(o, n); });
        each(
            before_.tables, after_.tables, [](const Table &t) { return t.declared; },
            [&](const Table *o, const Table *n) { table(o, n); });
        each(
            before_.lists, after_.lists, [](const List &l) { return l.declared; },
            [&](const List *o, const List *n) { list(o, n); });
        each(
            before_.defines, after_.defines,
            [&](const Define &d) { return d.item < 0 ? d.name : qualified(before_, d); },
            [&](const Define &d) { return d.item < 0 ? d.name : qualified(after_, d); },
            [&](const Define *o, const Define *n) { definition(o, n); });
        return std::move(out_);
    }

  private:
    static std::string qualified(const Book &book, const Define &d) {
        return book.items[static_cast<std::size_t>(d.item)].name + "." + d.name;
    }

    // Pairs by name, in the order of the older book; then what only the newer one has.
    template <typename Thing, typename OldName, typename NewName, typename Visit>
    static void each(const std::vector<Thing> &older, const std::vector<Thing> &newer,
                     OldName old_name, NewName new_name, Visit visit) {
        std::map<std::string, const Thing *> by_name;
        for (const Thing &n : newer)
            by_name.emplace(new_name(n), &n);
        std::set<std::string> seen;
        for (const Thing &o : older) {
            const std::string name = old_name(o);
            seen.insert(name);
            const auto there = by_name.find(name);
            visit(&o, there == by_name.end() ? nullptr : there->second);
        }
        for (const Thing &n : newer) {
            if (!seen.contains(new_name(n)))
                visit(static_cast<const Thing *>(nullptr), &n);
        }
    }
    template <typename Thing, typename Name, typename Visit>
    static void each(const std::vector<Thing> &older, const std::vector<Thing> &newer, Name name,
                     Visit visit) {
        each(older, newer, name, name, visit);
    }

    SharedChange &start(Kind kind, std::string key, std::string before, std::string after) {
        out_.push_back({kind, std::move(key), std::move(before), std::move(after), {}, {}});
        return out_.back();
    }
    // A thing that turned out to be the same is taken back; one that only one book has is kept.
    void finish() {
        const SharedChange &last = out_.back();
        if (last.before == last.after && last.changes.empty())
            out_.pop_back();
    }
    void differing(Aspect aspect, std::string name, std::string from, std::string to,
                   const std::string &layer = {}) {
        if (from == to)
            return;
        const std::string from_layer = to.empty() ? "" : layer;
        out_.back().changes.push_back(
            {aspect, std::move(name), std::move(from), std::move(to), Effect::open, from_layer});
    }
    std::string layer(std::int32_t index) const {
        return after_.layers[static_cast<std::size_t>(index)].name;
    }
    std::string old_type(const Type &t) const { return type_name(before_.choice_types, t); }
    std::string new_type(const Type &t) const { return type_name(after_.choice_types, t); }

    // --- words for facts

    void item(const Item *o, const Item *n) {
        if (o == nullptr || n == nullptr) {
            start(Kind::item, "item " + (o != nullptr ? o : n)->name, o == nullptr ? "" : o->name,
                  n == nullptr ? "" : n->name);
            return;
        }
        each(
            o->fields, n->fields, [](const Field &f) { return f.name; },
            [&](const Field *older, const Field *newer) { field(*o, older, *n, newer); });
    }

    static std::string choices(const Book &book, const Type &t) {
        return t.kind == ValueKind::choice
                   ? joined(book.choice_types[static_cast<std::size_t>(t.choices)].choices)
                   : type_name(book.choice_types, t);
    }

    void field(const Item &of_older, const Field *o, const Item &of_newer, const Field *n) {
        const auto name = [](const Item &item, const Field *f) {
            return f == nullptr ? "" : item.name + "." + f->name;
        };
        const std::string before = name(of_older, o);
        const std::string after = name(of_newer, n);
        start(Kind::field, "field " + (before.empty() ? after : before), before, after);
        if (o != nullptr && n != nullptr) {
            differing(Aspect::type, "", choices(before_, o->type), choices(after_, n->type));
            differing(Aspect::value, "", implied(before_, of_older, *o),
                      implied(after_, of_newer, *n));
        }
        finish();
    }

    static std::string implied(const Book &book, const Item &item, const Field &field) {
        std::string out;
        for (const NodeId value : field.implied)
            out += (out.empty() ? "" : "; ") +
                   expression_text(book, value, {find_item(book, item.name), nullptr, nullptr},
                                   Called::by_declaration);
        return out;
    }

    void group(const Group *o, const Group *n) {
        start(Kind::group, "group " + (o != nullptr ? o : n)->name, o == nullptr ? "" : o->name,
              n == nullptr ? "" : n->name);
        if (o != nullptr && n != nullptr) {
            const std::vector<std::string> older = members(before_, *o);
            const std::vector<std::string> newer = members(after_, *n);
            one_sided(older, newer, Aspect::choice, layer(n->layer));
        }
        finish();
    }

    static std::vector<std::string> members(const Book &book, const Group &group) {
        std::vector<std::string> out;
        const std::vector<std::string> &all =
            book.choice_types[static_cast<std::size_t>(group.choices)].choices;
        for (std::size_t i = 0; i < all.size(); ++i) {
            if (group.set[i] != 0)
                out.push_back(all[i]);
        }
        return out;
    }

    void one_sided(const std::vector<std::string> &older, const std::vector<std::string> &newer,
                   Aspect aspect, const std::string &layer) {
        for (const std::string &o : older) {
            if (std::find(newer.begin(), newer.end(), o) == newer.end())
                differing(aspect, "", o, "");
        }
        for (const std::string &n : newer) {
            if (std::find(older.begin(), older.end(), n) == older.end())
                differing(aspect, "", "", n, layer);
        }
    }

    // --- tables and lists

    static std::string called(const std::string &name) {
        const bool number = std::isdigit(static_cast<unsigned char>(name[0])) != 0;
        return number ? name : "\"" + name + "\"";
    }

    static std::string key_text(const Book &book, const Key &key) {
        static constexpr const char *matches[] = {"", " at most", " at least"};
        return key.name + " : " + type_name(book.choice_types, key.type) +
               matches[static_cast<std::size_t>(key.match)];
    }

    // Cells by the words of their keys, and of their column if there are several.
    struct Cell {
        std::string text;
        std::int32_t layer = 0;
    };
    using Keys = std::vector<std::string>;
    static std::map<Keys, Cell> cells(const Book &book, const Table &t, std::vector<Keys> &order) {
        std::map<Keys, Cell> out;
        for (std::size_t i = 0; i < t.cells.size(); ++i) {
            const std::size_t column = i % t.columns.size();
            std::size_t rest = i / t.columns.size();
            Keys keys;
            for (std::size_t k = t.keys.size(); k-- > 0;) {
                const std::vector<double> &values = t.keys[k].values;
                keys.insert(keys.begin(),
                            value_text(book, t.keys[k].type, values[rest % values.size()]));
                rest /= values.size();
            }
            if (t.columns.size() > 1)
                keys.push_back(t.columns[column]);
            if (!std::isnan(t.cells[i]))
                out[keys] = {value_text(book, t.types[column], t.cells[i]), t.layers[i]};
            order.push_back(std::move(keys));
        }
        return out;
    }

    static std::string cell_name(const Keys &keys, bool with_column) {
        const std::size_t count = keys.size() - (with_column ? 1 : 0);
        std::string out;
        for (std::size_t i = 0; i < count; ++i)
            out += (i == 0 ? "[" : ", ") + keys[i];
        return out + "]" + (with_column ? "." + keys.back() : "");
    }

    void table(const Table *o, const Table *n) {
        start(Kind::table, "table " + (o != nullptr ? o : n)->declared,
              o == nullptr ? "" : "Table " + called(o->name),
              n == nullptr ? "" : "Table " + called(n->name));
        if (o != nullptr && n != nullptr) {
            for (std::size_t k = 0; k < std::max(o->keys.size(), n->keys.size()); ++k)
                differing(Aspect::key, "", k < o->keys.size() ? key_text(before_, o->keys[k]) : "",
                          k < n->keys.size() ? key_text(after_, n->keys[k]) : "");
            all_cells(*o, *n);
        }
        finish();
    }

    void all_cells(const Table &o, const Table &n) {
        std::vector<Keys> order;
        const std::map<Keys, Cell> older = cells(before_, o, order);
        const std::map<Keys, Cell> newer = cells(after_, n, order);
        std::set<Keys> seen;
        for (const Keys &keys : order) {
            if (!seen.insert(keys).second)
                continue;
            const auto from = older.find(keys);
            const auto to = newer.find(keys);
            const std::string before = from == older.end() ? "" : from->second.text;
            const std::string after = to == newer.end() ? "" : to->second.text;
            if (before != after)
                out_.back().changes.push_back({Aspect::cell, cell_name(keys, n.columns.size() > 1),
                                               before, after, Effect::open,
                                               after.empty() ? "" : layer(to->second.layer), keys});
        }
    }

    void list(const List *o, const List *n) {
        start(Kind::list, "list " + (o != nullptr ? o : n)->declared,
              o == nullptr ? "" : "List " + called(o->name),
              n == nullptr ? "" : "List " + called(n->name));
        if (o != nullptr && n != nullptr) {
            const auto entries = [](const Book &book, const List &l) {
                std::vector<std::string> out;
                for (const double v : l.values)
                    out.push_back(value_text(book, l.type, v));
                return out;
            };
            differing(Aspect::type, "", old_type(o->type), new_type(n->type));
            one_sided(entries(before_, *o), entries(after_, *n), Aspect::entry, {});
        }
        finish();
    }

    // --- definitions

    void definition(const Define *o, const Define *n) {
        const auto name = [](const Book &book, const Define &d) {
            return d.item < 0 ? d.name : qualified(book, d);
        };
        const std::string before = o == nullptr ? "" : name(before_, *o);
        const std::string after = n == nullptr ? "" : name(after_, *n);
        start(Kind::definition, "definition " + (before.empty() ? after : before), before, after);
        if (o != nullptr && n != nullptr) {
            differing(Aspect::type, "", old_type(o->type), new_type(n->type), layer(n->layer));
            if (value(before_, *o, Called::by_declaration) !=
                value(after_, *n, Called::by_declaration))
                differing(Aspect::value, "", value(before_, *o, Called::by_edition),
                          value(after_, *n, Called::by_edition), layer(n->layer));
        }
        finish();
    }
    static std::string value(const Book &book, const Define &d, Called called) {
        return expression_text(book, d.value, {d.item, nullptr, &d}, called);
    }

    const Book &before_;
    const Book &after_;
    std::vector<SharedChange> out_;
};

} // namespace

std::vector<SharedChange> shared_changes(const Book &before, const Book &after) {
    return SharedComparer(before, after).changes();
}

} // namespace groundrule::book
