// Names of columns to facts and lists.
#include "columns/layout.h"

#include "quantity/literal.h"
#include "text/nearest.h"

#include <algorithm>
#include <string_view>

namespace groundrule::columns {

namespace {

using book::Book;
using book::Field;
using book::Item;

std::optional<Storage> storage_of(std::string_view format) {
    static constexpr std::string_view letters = "nbcCsSiIlLfg";
    if (format.size() == 1 && letters.find(format[0]) != std::string_view::npos)
        return static_cast<Storage>(letters.find(format[0]));
    if (format == "u")
        return Storage::text32;
    if (format == "U")
        return Storage::text64;
    if (format == "vu")
        return Storage::text_view;
    if (format == "tdD")
        return Storage::int32;
    return std::nullopt;
}

bool is_text(Storage s) {
    return s == Storage::text32 || s == Storage::text64 || s == Storage::text_view;
}

class Maker {
  public:
    Maker(const Book &book, const LayoutOptions &options, Diagnostics &diagnostics)
        : book_(book), options_(options), diagnostics_(diagnostics) {}

    std::optional<Layout> make(const ArrowSchema &schema) {
        out_.tier_of.assign(book_.items.size(), -1);
        out_.source_of.assign(book_.slot_count, -1);
        out_.whole_children.assign(book_.items.size(), 0);
        used_.assign(options_.columns.size(), 0);
        const std::int32_t item = book::find_item(book_, options_.item);
        if (item < 0) {
            fault("unknown-item", "table", "there is no item \"" + options_.item + "\"");
            return std::nullopt;
        }
        if (std::string_view(schema.format) != "+s") {
            fault("wrong-type", "table", "a table is a struct of columns");
            return std::nullopt;
        }
        out_.item = static_cast<std::uint16_t>(item);
        out_.tiers.emplace_back();
        for (std::int32_t i = item; i >= 0; i = at(i).parent)
            out_.tier_of[static_cast<std::size_t>(i)] = 0;
        children(schema, 0, item, {}, "");
        complete_lists();
        for (std::size_t i = 0; i < used_.size(); ++i) {
            if (used_[i] == 0)
                fault("unknown-column", options_.columns[i].column, "the table has no such column");
        }
        if (diagnostics_.has_errors())
            return std::nullopt;
        return std::move(out_);
    }

  private:
    const Item &at(std::int32_t item) const { return book_.items[static_cast<std::size_t>(item)]; }

    void fault(const char *code, const std::string &column, std::string message,
               std::string help = {}) {
        Diagnostic d;
        d.code = code;
        d.where = "column " + column;
        d.message = std::move(message);
        d.help = std::move(help);
        diagnostics_.add(std::move(d));
    }

    const Mapping *mapping(const std::string &column) {
        for (std::size_t i = 0; i < options_.columns.size(); ++i) {
            if (options_.columns[i].column == column) {
                used_[i] = 1;
                return &options_.columns[i];
            }
        }
        return nullptr;
    }

    void children(const ArrowSchema &schema, std::uint16_t tier, std::int32_t item,
                  const std::vector<std::size_t> &path,
                  const std::string &prefix) { // NOLINT(misc-no-recursion)
        for (std::int64_t i = 0; i < schema.n_children; ++i) {
            const ArrowSchema &child = *schema.children[i];
            std::vector<std::size_t> here = path;
            here.push_back(static_cast<std::size_t>(i));
            column(child, tier, item, here, prefix + (child.name == nullptr ? "" : child.name));
        }
    }

    // Fields and lists are named bare where they belong to the item of the rows, else behind the
    // name of their item.
    void column(const ArrowSchema &schema, std::uint16_t tier, std::int32_t item,
                const std::vector<std::size_t> &path,
                const std::string &name) { // NOLINT(misc-no-recursion)
        const Mapping *told = mapping(name);
        const std::string_view format = schema.format;
        std::string fact = told != nullptr ? told->fact : name.substr(name.rfind('.') + 1);
        if (told == nullptr && tier == 0)
            fact = name;
        std::int32_t owner = item;
        const std::size_t point = fact.find('.');
        if (point != std::string::npos) {
            owner = book::find_item(book_, fact.substr(0, point));
            fact = fact.substr(point + 1);
        }
        if (owner < 0)
            return unknown(name, item);
        if (format == "+s")
            return one_to_one(schema, tier, item, path, name, fact);
        if (format == "+l" || format == "+L")
            return list(schema, tier, owner, path, name, fact);
        const std::int32_t field = book::find_field(at(owner), fact);
        if (field < 0)
            return unknown(name, owner);
        if (!reach(owner, item, tier, name))
            return;
        source(schema, tier, owner, field, path, name, told);
    }

    void unknown(const std::string &name, std::int32_t item) {
        if (options_.ignore_unknown)
            return;
        std::vector<std::string> known;
        for (const Item &i : book_.items) {
            for (const Field &f : i.fields)
                known.push_back(&i == &at(item) ? f.name : i.name + "." + f.name);
        }
        const std::string near = nearest(name, known);
        fault("unknown-column", name, "no fact is called that",
              near.empty() ? "map the column to a fact, or leave it out"
                           : "did you mean \"" + near + "\"?");
    }

    // Gives an item rows of its own, one to each row of the tier.
    bool reach(std::int32_t owner, std::int32_t item, std::uint16_t tier, const std::string &name) {
        std::int32_t &there = out_.tier_of[static_cast<std::size_t>(owner)];
        if (there == tier)
            return true;
        if (there >= 0 || !book::is_above_or_same(book_, item, owner)) {
            fault("wrong-item", name,
                  "a row of " + at(item).name + " has no single " + at(owner).name);
            return false;
        }
        for (std::int32_t i = owner; i != item; i = at(i).parent) {
            if (out_.tier_of[static_cast<std::size_t>(i)] < 0)
                out_.tier_of[static_cast<std::size_t>(i)] = tier;
        }
        return true;
    }

    void one_to_one(const ArrowSchema &schema, std::uint16_t tier, std::int32_t item,
                    const std::vector<std::size_t> &path, const std::string &name,
                    const std::string &called) { // NOLINT(misc-no-recursion)
        const std::int32_t owner = book::find_item(book_, called);
        if (owner < 0)
            return unknown(name, item);
        if (reach(owner, item, tier, name))
            children(schema, tier, owner, path, name + ".");
    }

    void list(const ArrowSchema &schema, std::uint16_t tier, std::int32_t owner,
              const std::vector<std::size_t> &path, const std::string &name,
              const std::string &called) { // NOLINT(misc-no-recursion)
        const std::vector<std::int32_t> &lists = at(owner).children;
        const auto found = std::find_if(lists.begin(), lists.end(),
                                        [&](std::int32_t c) { return at(c).list == called; });
        if (found == lists.end())
            return unknown(name, owner);
        std::int32_t &there = out_.tier_of[static_cast<std::size_t>(*found)];
        if (there >= 0 || out_.tier_of[static_cast<std::size_t>(owner)] != tier)
            return fault("wrong-item", name, "the items of this list are told elsewhere too");
        if (schema.n_children != 1 || std::string_view(schema.children[0]->format) != "+s")
            return fault("wrong-type", name, "a list of items is a list of structs");
        const auto inner = static_cast<std::uint16_t>(out_.tiers.size());
        there = inner;
        Tier made;
        made.parent = tier;
        made.column = name;
        made.path = path;
        made.large = std::string_view(schema.format) == "+L";
        out_.tiers.push_back(std::move(made));
        children(*schema.children[0], inner, *found, {}, name + ".");
    }

    void source(const ArrowSchema &schema, std::uint16_t tier, std::int32_t owner,
                std::int32_t field, const std::vector<std::size_t> &path, const std::string &name,
                const Mapping *told) {
        const Field &f = at(owner).fields[static_cast<std::size_t>(field)];
        Source s;
        s.column = name;
        s.path = path;
        s.item = static_cast<std::uint16_t>(owner);
        s.field = static_cast<std::uint16_t>(field);
        s.tier = tier;
        auto storage = storage_of(schema.format);
        if (schema.dictionary != nullptr) {
            s.index = storage;
            storage = storage_of(schema.dictionary->format);
        }
        if (!storage || (s.index && !is_text(*storage)))
            return fault("wrong-type", name,
                         std::string("columns of Arrow format \"") + schema.format +
                             "\" are not read");
        s.storage = *storage;
        if (!fits(f, s, name))
            return;
        if (f.type.is_quantity() && !is_text(s.storage) && s.storage != Storage::null &&
            !unit(f, told == nullptr ? "" : told->unit, s))
            return;
        std::int32_t &there = out_.source_of[f.slot];
        if (there >= 0)
            return fault("twice", name,
                         "column " + out_.sources[static_cast<std::size_t>(there)].column +
                             " tells the same fact");
        there = static_cast<std::int32_t>(out_.sources.size());
        out_.sources.push_back(std::move(s));
    }

    bool fits(const Field &f, const Source &s, const std::string &name) {
        const bool text = is_text(s.storage);
        const bool real = s.storage == Storage::float32 || s.storage == Storage::float64;
        if (text || s.storage == Storage::null)
            return true;
        switch (f.type.kind) {
        case ValueKind::truth:
            if (!real)
                return true;
            fault("wrong-type", name, "a yes_no is a column of booleans, 0 and 1, or texts");
            return false;
        case ValueKind::quantity:
            if (s.storage != Storage::boolean)
                return true;
            fault("wrong-type", name, "a quantity is a column of numbers or texts");
            return false;
        case ValueKind::date:
            if (s.storage == Storage::int32)
                return true;
            fault("wrong-type", name, "a date is a column of dates (days) or texts");
            return false;
        default:
            fault("wrong-type", name,
                  "its fact is one of several names: a column of texts, or a dictionary of them");
            return false;
        }
    }

    bool unit(const Field &f, const std::string &told, Source &s) {
        const bool bare = f.type.dimension.is_number();
        if (told.empty()) {
            if (!bare)
                fault("no-unit", s.column, "which unit do its numbers have?",
                      "expected: one of " + units_of(f.type.dimension));
            return bare;
        }
        const LiteralResult zero = read_literal("0 " + told);
        const LiteralResult one = read_literal("1 " + told);
        const bool fits = one.fault == LiteralFault::none && zero.fault == LiteralFault::none &&
                          one.literal.size == told.size() + 2 &&
                          one.literal.kind == ValueKind::quantity &&
                          one.literal.dimension == f.type.dimension;
        if (!fits) {
            fault("wrong-unit", s.column, "\"" + told + "\" is no unit of its fact",
                  "expected: one of " + units_of(f.type.dimension));
            return false;
        }
        s.offset = zero.literal.value;
        s.factor = one.literal.value - zero.literal.value;
        return true;
    }

    void complete_lists() {
        for (const std::string &name : options_.complete) {
            const std::size_t point = name.find('.');
            const std::int32_t owner = point == std::string::npos
                                           ? static_cast<std::int32_t>(out_.item)
                                           : book::find_item(book_, name.substr(0, point));
            const std::string list = point == std::string::npos ? name : name.substr(point + 1);
            bool found = false;
            for (std::size_t i = 1; i < book_.items.size() && owner >= 0; ++i) {
                if (book_.items[i].parent != owner || book_.items[i].list != list)
                    continue;
                found = true;
                out_.whole_children[i] = 1;
                const std::int32_t tier = out_.tier_of[i];
                if (tier > 0 && tier != out_.tier_of[static_cast<std::size_t>(owner)])
                    out_.tiers[static_cast<std::size_t>(tier)].whole = true;
            }
            if (!found)
                fault("unknown-list", name, "no list is called that");
        }
    }

    const Book &book_;
    const LayoutOptions &options_;
    Diagnostics &diagnostics_;
    Layout out_;
    std::vector<std::uint8_t> used_;
};

} // namespace

std::optional<Layout> layout_of(const Book &book, const ArrowSchema &schema,
                                const LayoutOptions &options, Diagnostics &diagnostics) {
    return Maker(book, options, diagnostics).make(schema);
}

} // namespace groundrule::columns
