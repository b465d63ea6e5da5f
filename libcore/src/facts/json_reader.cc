// Jobs as JSON: a stack of the items and lists that are open, facts going straight into the job's
// columns.
#include "facts/json_reader.h"

#include "facts/json_document.h"
#include "facts/value_reader.h"
#include "text/nearest.h"

#include <algorithm>

namespace groundrule::facts {

namespace {

using book::Book;
using book::Field;
using book::Item;

class JobReader final : public JsonDocument {
  public:
    JobReader(const Book &book, std::string_view json, const std::string &name,
              Diagnostics &diagnostics)
        : JsonDocument(book, json, name, diagnostics), job_(book), fields_(book.slot_count),
          told_(2 * fields_ + (1 + specials) * book.items.size(), 0) {}

    Job take() { return std::move(job_); }

    bool null() override {
        return value(
            [](const Field &, const std::string &, FactFault &) { return std::optional<double>(); },
            true);
    }

    bool boolean(bool truth) override {
        return value([&](const Field &f, const std::string &n, FactFault &w) {
            return value_from_truth(book_, f, n, truth, w);
        });
    }

    bool number(double x) override {
        return value([&](const Field &f, const std::string &n, FactFault &w) {
            return value_from_number(book_, f, n, x, w);
        });
    }

    bool string(string_t &s) override {
        if (stack_.empty())
            return not_a_job();
        if (skipping_ > 0)
            return true;
        Frame &top = stack_.back();
        if (top.kind == Kind::marks)
            return mark(s);
        if (top.kind == Kind::item && top.special == Special::id) {
            job_.rows(top.item).id[static_cast<std::size_t>(top.row)] = s;
            return true;
        }
        if (top.kind == Kind::item && top.special == Special::note) {
            if (top.item == 0)
                job_.title = s;
            return true;
        }
        return value([&](const Field &f, const std::string &n, FactFault &w) {
            return value_from_text(book_, f, n, s, w);
        });
    }

    bool key(string_t &name) override {
        if (skipping_ > 0)
            return true;
        Frame &top = stack_.back();
        top.special = Special::none;
        top.field = -1;
        top.child = -1;
        top.ignored = false;
        if (top.kind == Kind::item) {
            top.special = name == "id"         ? Special::id
                          : name == "note"     ? Special::note
                          : name == "complete" ? Special::complete
                          : name == "assumed"  ? Special::assumed
                                               : Special::none;
            if (top.special != Special::none)
                return once(name,
                            2 * fields_ + book_.items.size() +
                                specials * static_cast<std::size_t>(top.item) +
                                static_cast<std::size_t>(top.special) - 1,
                            top);
        }
        const Item &item = book_.items[static_cast<std::size_t>(top.item)];
        top.field = find_field(item, name);
        if (top.field >= 0) {
            const auto slot = item.fields[static_cast<std::size_t>(top.field)].slot;
            return once(name, top.kind == Kind::assumed ? fields_ + slot : slot, top);
        }
        for (std::size_t i = 0; i < item.children.size() && top.kind == Kind::item; ++i) {
            if (book_.items[static_cast<std::size_t>(item.children[i])].list == name)
                top.child = item.children[i];
        }
        if (top.child >= 0)
            return once(name, 2 * fields_ + static_cast<std::size_t>(top.child), top);
        return unknown_key(name, item, top);
    }

    bool start_object(std::size_t) override {
        if (skipping_ > 0)
            return deepen();
        if (stack_.empty()) {
            open(Kind::item, 0, 0);
            return true;
        }
        const Frame top = stack_.back();
        if (top.kind == Kind::list) {
            if (job_.row_count() >= limits::job_items)
                return stop("too-large",
                            "a job holds at most " + std::to_string(limits::job_items) + " items");
            const std::int32_t row = job_.add(top.item, top.row);
            open(Kind::item, top.item, row);
            return true;
        }
        if (top.kind == Kind::item && top.special == Special::assumed) {
            open(Kind::assumed, top.item, top.row);
            return true;
        }
        const bool told = top.ignored ||
                          fault("wrong-type", "an object stands where none belongs", {}, path(top));
        return deepen() && told;
    }

    bool end_object() override { return close(); }

    bool start_array(std::size_t) override {
        if (skipping_ > 0)
            return deepen();
        if (stack_.empty())
            return not_a_job();
        Frame &top = stack_.back();
        if (top.kind == Kind::item && top.special == Special::complete) {
            open(Kind::marks, top.item, top.row);
            return true;
        }
        if (top.kind == Kind::item && top.child >= 0) {
            open(Kind::list, top.child, top.row);
            return true;
        }
        const bool told =
            top.ignored || fault("wrong-type", "a list stands where none belongs", {}, path(top));
        return deepen() && told;
    }

    bool end_array() override { return close(); }

  private:
    enum class Kind : std::uint8_t { item, list, marks, assumed };
    enum class Special : std::uint8_t { none, id, note, complete, assumed };
    static constexpr std::size_t specials = 4;

    struct Frame {
        Kind kind;
        std::int32_t item; // of a list: of its elements
        std::int32_t row;  // of a list: of the item above
        std::int32_t field = -1;
        std::int32_t child = -1;
        Special special = Special::none;
        bool ignored = false;     // the key is unknown and told; its value is passed over
        std::uint32_t number = 0; // of all that were opened
    };

    void open(Kind kind, std::int32_t item, std::int32_t row) {
        stack_.push_back({kind, item, row});
        stack_.back().number = ++opened_;
    }

    // `place` of the key in told_. Items of one type are never open within each other.
    bool once(const std::string &name, std::size_t place, const Frame &top) {
        const bool first = told_[place] != top.number;
        told_[place] = top.number;
        return first ||
               fault("given-twice", in_quotes(name) + " stands twice in this item", {}, path(top));
    }

    // What stands behind such a fault can't be read.
    bool stop(const char *code, std::string message) {
        fault(code, std::move(message));
        return false;
    }

    bool not_a_job() { return stop("not-a-job", "a job is an object: {…}"); }

    bool deepen() {
        ++skipping_;
        if (stack_.size() + skipping_ <= limits::job_nesting)
            return true;
        return stop("too-deep",
                    "the document nests deeper than " + std::to_string(limits::job_nesting));
    }

    bool close() {
        if (skipping_ > 0) {
            --skipping_;
            return true;
        }
        stack_.pop_back();
        return true;
    }

    std::string path(const Frame &frame) const {
        const Item &item = book_.items[static_cast<std::size_t>(frame.item)];
        if (frame.kind == Kind::list)
            return job_.path(item.parent, static_cast<std::size_t>(frame.row));
        return job_.path(frame.item, static_cast<std::size_t>(frame.row));
    }

    bool unknown_key(const std::string &name, const Item &item, Frame &top) {
        std::vector<std::string> known;
        for (const Field &f : item.fields)
            known.push_back(f.name);
        if (top.kind == Kind::item) {
            for (const std::int32_t child : item.children)
                known.push_back(book_.items[static_cast<std::size_t>(child)].list);
            known.insert(known.end(), {"id", "note", "complete", "assumed"});
        }
        top.ignored = true;
        return fault("unknown-field", in_quotes(name) + " is no field of " + item.name,
                     did_you_mean(nearest(name, known)), path(top));
    }

    bool mark(const std::string &list) {
        const Frame &top = stack_.back();
        const Item &item = book_.items[static_cast<std::size_t>(top.item)];
        std::vector<std::string> known;
        for (std::size_t i = 0; i < item.children.size(); ++i) {
            known.push_back(book_.items[static_cast<std::size_t>(item.children[i])].list);
            if (known.back() == list) {
                job_.mark_complete(top.item, top.row, static_cast<std::int32_t>(i), true);
                return true;
            }
        }
        return fault("unknown-list", in_quotes(list) + " is no list of " + item.name,
                     did_you_mean(nearest(list, known)), path(top));
    }

    template <typename Convert>
    bool value(Convert convert, bool is_null = false) {
        if (skipping_ > 0)
            return true;
        if (stack_.empty())
            return not_a_job();
        Frame &top = stack_.back();
        if (top.ignored) {
            top.ignored = false;
            return true;
        }
        if (top.kind == Kind::list || top.kind == Kind::marks || top.field < 0)
            return fault("wrong-type",
                         top.kind == Kind::list ? "a list holds objects, one an item"
                                                : "this value does not belong here",
                         {}, path(top));
        if (is_null)
            return true; // written out as unknown
        const Item &item = book_.items[static_cast<std::size_t>(top.item)];
        const Field &field = item.fields[static_cast<std::size_t>(top.field)];
        FactFault why;
        name_.assign(item.name).append(1, '.').append(field.name);
        const std::optional<double> read = convert(field, name_, why);
        if (!read)
            return fault(why.code.c_str(), why.message, why.help, path(top));
        if (top.kind == Kind::assumed)
            job_.assume(top.item, top.row, top.field, exactly(*read));
        else
            job_.set(top.item, top.row, top.field, exactly(*read));
        return true;
    }

    Job job_;
    std::vector<Frame> stack_;
    std::size_t skipping_ = 0;
    std::uint32_t opened_ = 0;
    std::size_t fields_;
    // Which frame told a key last: the fields, the fields as assumed, the lists, and of each item
    // its other words.
    std::vector<std::uint32_t> told_;
    std::string name_; // of the fact at hand
};

} // namespace

std::optional<Job> job_from_json(const Book &book, std::string_view json, const std::string &name,
                                 Diagnostics &diagnostics) {
    const std::size_t before = diagnostics.size();
    JobReader reader(book, json, name, diagnostics);
    reader.read();
    if (diagnostics.size() != before)
        return std::nullopt;
    Job job = reader.take();
    job.inherit_work();
    return job;
}

} // namespace groundrule::facts
