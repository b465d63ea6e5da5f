// Assumption files: {"assume": {"run.ambient_temperature": "30 °C"}}.
#include "facts/json_document.h"
#include "facts/json_reader.h"
#include "facts/value_reader.h"
#include "text/nearest.h"

#include <algorithm>

namespace groundrule::facts {

namespace {

using book::Field;
using book::Item;

class AssumptionReader final : public JsonDocument {
  public:
    using JsonDocument::JsonDocument;
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
        if (depth_ == 1 && name != "assume" && name != "note")
            return stop("unknown-field", in_quotes(name) + " is unknown here",
                        "expected: \"assume\" and \"note\"");
        if (depth_ == 1)
            return true;
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
    bool start_object(std::size_t) override {
        ++depth_;
        const bool belongs = depth_ == 1 || (depth_ == 2 && key_ == "assume");
        return belongs || misplaced();
    }
    bool end_object() override {
        --depth_;
        return true;
    }
    bool start_array(std::size_t) override { return misplaced(); }
    bool end_array() override { return true; }

  private:
    // What stands behind such a fault can't be read.
    bool stop(const char *code, std::string message, std::string help) {
        fault(code, std::move(message), std::move(help));
        return false;
    }

    bool misplaced() {
        return stop("wrong-type", "this value does not belong here",
                    "expected: {\"assume\": {\"run.ambient_temperature\": \"30 °C\"}}");
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
        if (std::any_of(assumptions.begin(), assumptions.end(),
                        [&](const Assumption &a) { return a.item == item_ && a.field == field_; }))
            return fault("given-twice", in_quotes(key_) + " stands twice in this file");
        assumptions.push_back({item_, field_, *read});
        return true;
    }

    std::size_t depth_ = 0;
    std::string key_;
    std::int32_t item_ = -1;
    std::int32_t field_ = -1;
};

} // namespace

std::vector<Assumption> assumptions_from_json(const book::Book &book, std::string_view json,
                                              const std::string &name, Diagnostics &diagnostics) {
    AssumptionReader reader(book, json, name, diagnostics);
    reader.read();
    return reader.assumptions;
}

} // namespace groundrule::facts
