// A SAX reader: no document tree is built. Its place in the text is told by an iterator that it
// watches.
#include "facts/json_reader.h"

#include "facts/value_reader.h"
#include "text/limits.h"
#include "text/nearest.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <set>

namespace groundrule::facts {

namespace {

using book::Book;
using book::Field;
using book::Item;

// Lets the reader know how far the parser has come.
struct Watched {
    using iterator_category = std::input_iterator_tag;
    using value_type = char;
    using difference_type = std::ptrdiff_t;
    using pointer = const char *;
    using reference = const char &;

    const char *at = nullptr;
    const char **seen = nullptr;

    reference operator*() const { return *at; }
    Watched &operator++() {
        ++at;
        *seen = at;
        return *this;
    }
    Watched operator++(int) {
        Watched old = *this;
        ++*this;
        return old;
    }
    friend bool operator==(const Watched &a, const Watched &b) { return a.at == b.at; }
    friend bool operator!=(const Watched &a, const Watched &b) { return a.at != b.at; }
};

// Shared by both readers: the handler that nlohmann's parser calls, with places for faults.
class Reader {
  public:
    using number_integer_t = nlohmann::json::number_integer_t;
    using number_unsigned_t = nlohmann::json::number_unsigned_t;
    using number_float_t = nlohmann::json::number_float_t;
    using string_t = nlohmann::json::string_t;
    using binary_t = nlohmann::json::binary_t;

    Reader(const Book &book, std::string_view json, const std::string &name,
           Diagnostics &diagnostics)
        : book_(book), source_(name, std::string(json)), diagnostics_(diagnostics) {}
    virtual ~Reader() = default;
    Reader(const Reader &) = delete;
    Reader &operator=(const Reader &) = delete;

    void read() {
        const std::string_view text = source_.text();
        if (text.size() > limits::job_bytes) {
            fault("too-large", "this document has " + std::to_string(text.size()) +
                                   " bytes; at most " + std::to_string(limits::job_bytes) +
                                   " are read");
            return;
        }
        const char *first = text.data();
        seen_ = first;
        const Watched begin{first, &seen_};
        const Watched end{first + text.size(), &seen_};
        nlohmann::json::sax_parse(begin, end, this);
    }

    virtual bool null() = 0;
    virtual bool boolean(bool value) = 0;
    virtual bool number(double value) = 0;
    virtual bool string(string_t &value) = 0;
    virtual bool key(string_t &name) = 0;
    virtual bool start_object(std::size_t) = 0;
    virtual bool end_object() = 0;
    virtual bool start_array(std::size_t) = 0;
    virtual bool end_array() = 0;

    bool number_integer(number_integer_t value) { return number(static_cast<double>(value)); }
    bool number_unsigned(number_unsigned_t value) { return number(static_cast<double>(value)); }
    bool number_float(number_float_t value, const string_t &) { return number(value); }
    bool binary(binary_t &) { return false; }

    bool parse_error(std::size_t position, const std::string &,
                     const nlohmann::detail::exception &e) {
        // "[json.exception.parse_error.101] parse error at line 1, column 2: syntax error while
        // parsing value - unexpected …"
        std::string what = e.what();
        const std::size_t dash = what.find(" - ");
        what = dash == std::string::npos ? "this is not JSON"
                                         : "this is not JSON: " + what.substr(dash + 3);
        const std::size_t size = source_.text().size();
        const Place place =
            source_.place(static_cast<std::uint32_t>(position > 0 ? position - 1 : 0));
        Diagnostic d;
        d.code = "not-json";
        d.message = position > size ? "the document ends in the middle of a value" : what;
        d.where =
            source_.name() + ":" + std::to_string(place.line) + ":" + std::to_string(place.column);
        diagnostics_.add(std::move(d));
        return false;
    }

  protected:
    bool fault(const char *code, std::string message, std::string help = {},
               const std::string &path = {}) {
        // The parser has read the token at hand and at most one byte more.
        const auto offset = static_cast<std::uint32_t>(seen_ - source_.text().data());
        const Place place = source_.place(offset > 0 ? offset - 1 : 0);
        Diagnostic d;
        d.code = code;
        d.message = std::move(message);
        d.help = std::move(help);
        d.where = source_.name() + ":" + std::to_string(place.line) + ":" +
                  std::to_string(place.column) + (path.empty() ? "" : " (" + path + ")");
        diagnostics_.add(std::move(d));
        return diagnostics_.size() < limits::faults_per_file;
    }

    const Book &book_;
    SourceText source_;
    Diagnostics &diagnostics_;
    const char *seen_ = nullptr;
};

std::string in_quotes(const std::string &s) {
    return "\"" + s + "\"";
}
std::string did_you_mean(const std::string &near) {
    return near.empty() ? "" : "did you mean \"" + near + "\"?";
}

class JobReader final : public Reader {
  public:
    JobReader(const Book &book, std::string_view json, const std::string &name,
              Diagnostics &diagnostics)
        : Reader(book, json, name, diagnostics), job_(book) {}

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
        if (top.kind == Kind::item) {
            top.special = name == "id"         ? Special::id
                          : name == "note"     ? Special::note
                          : name == "complete" ? Special::complete
                          : name == "assumed"  ? Special::assumed
                                               : Special::none;
            if (top.special != Special::none)
                return true;
        }
        const Item &item = book_.items[static_cast<std::size_t>(top.item)];
        top.field = find_field(item, name);
        if (top.field >= 0)
            return top.seen.insert(name).second ||
                   fault("given-twice", in_quotes(name) + " stands twice in this item", {},
                         path(top));
        for (std::size_t i = 0; i < item.children.size() && top.kind == Kind::item; ++i) {
            if (book_.items[static_cast<std::size_t>(item.children[i])].list == name)
                top.child = item.children[i];
        }
        if (top.child >= 0)
            return top.seen.insert(name).second ||
                   fault("given-twice", in_quotes(name) + " stands twice in this item", {},
                         path(top));
        return unknown_key(name, item, top);
    }

    bool start_object(std::size_t) override {
        if (skipping_ > 0)
            return deepen();
        if (stack_.empty()) {
            stack_.push_back({Kind::item, 0, 0});
            return true;
        }
        Frame &top = stack_.back();
        if (top.kind == Kind::list) {
            if (job_.row_count() >= limits::job_items)
                return fault("too-large", "a job holds at most " +
                                              std::to_string(limits::job_items) + " items") &&
                       false;
            const std::int32_t row = job_.add(top.item, top.row);
            stack_.push_back({Kind::item, top.item, row});
            return true;
        }
        if (top.kind == Kind::item && top.special == Special::assumed) {
            stack_.push_back({Kind::assumed, top.item, top.row});
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
            stack_.push_back({Kind::marks, top.item, top.row});
            return true;
        }
        if (top.kind == Kind::item && top.child >= 0) {
            stack_.push_back({Kind::list, top.child, top.row});
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

    struct Frame {
        Kind kind;
        std::int32_t item; // of a list: of its elements
        std::int32_t row;  // of a list: of the item above
        std::int32_t field = -1;
        std::int32_t child = -1;
        Special special = Special::none;
        bool ignored = false; // the key is unknown and told; its value is passed over
        std::set<std::string> seen{};
    };

    bool not_a_job() { return fault("not-a-job", "a job is an object: {…}") && false; }

    bool deepen() {
        ++skipping_;
        return stack_.size() + skipping_ <= limits::job_nesting ||
               (fault("too-deep",
                      "the document nests deeper than " + std::to_string(limits::job_nesting)) &&
                false);
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
            return job_.rows(item.parent).path[static_cast<std::size_t>(frame.row)];
        return job_.rows(frame.item).path[static_cast<std::size_t>(frame.row)];
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
        const std::optional<double> read = convert(field, item.name + "." + field.name, why);
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
};

class AssumptionReader final : public Reader {
  public:
    using Reader::Reader;
    std::vector<Assumption> assumptions;

    bool null() override { return misplaced(); }
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
        if (depth_ == 1 && key_ == "note")
            return true;
        return value([&](const Field &f, const std::string &n, FactFault &w) {
            return value_from_text(book_, f, n, s, w);
        });
    }
    bool key(string_t &name) override {
        key_ = name;
        if (depth_ == 1)
            return name == "assume" || name == "note" ||
                   (fault("unknown-field", in_quotes(name) + " is unknown here",
                          "expected: \"assume\" and \"note\"") &&
                    false);
        const std::size_t point = name.find('.');
        item_ = book::find_item(book_, name.substr(0, point));
        field_ =
            item_ >= 0 && point != std::string::npos
                ? find_field(book_.items[static_cast<std::size_t>(item_)], name.substr(point + 1))
                : -1;
        if (field_ >= 0)
            return true;
        std::vector<std::string> known;
        for (const Item &item : book_.items) {
            for (const Field &f : item.fields)
                known.push_back(item.name + "." + f.name);
        }
        return fault("unknown-field", in_quotes(name) + " is no fact",
                     did_you_mean(nearest(name, known)));
    }
    bool start_object(std::size_t) override { return ++depth_ <= 2 || misplaced(); }
    bool end_object() override {
        --depth_;
        return true;
    }
    bool start_array(std::size_t) override { return misplaced(); }
    bool end_array() override { return true; }

  private:
    bool misplaced() {
        return fault("wrong-type", "this value does not belong here",
                     "expected: {\"assume\": {\"run.ambient_temperature\": \"30 °C\"}}") &&
               false;
    }

    template <typename Convert>
    bool value(Convert convert) {
        if (depth_ != 2)
            return misplaced();
        if (field_ < 0)
            return true;
        FactFault why;
        const Field &field =
            book_.items[static_cast<std::size_t>(item_)].fields[static_cast<std::size_t>(field_)];
        const auto read = convert(field, key_, why);
        if (!read)
            return fault(why.code.c_str(), why.message, why.help);
        assumptions.push_back({item_, field_, *read});
        return true;
    }

    std::size_t depth_ = 0;
    std::string key_;
    std::int32_t item_ = -1;
    std::int32_t field_ = -1;
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

std::vector<Assumption> assumptions_from_json(const Book &book, std::string_view json,
                                              const std::string &name, Diagnostics &diagnostics) {
    AssumptionReader reader(book, json, name, diagnostics);
    reader.read();
    return reader.assumptions;
}

} // namespace groundrule::facts
