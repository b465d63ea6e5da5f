#include "facts/json_tree.h"

#include <nlohmann/json.hpp>

namespace groundrule::facts {

namespace {

// What the parser calls. Levels above the one at hand wait on a stack.
class Builder {
  public:
    bool null() { return put(nullptr); }
    bool boolean(bool value) { return put(value); }
    bool number_integer(std::int64_t value) { return put(value); }
    bool number_unsigned(std::uint64_t value) { return put(value); }
    bool number_float(double value, const std::string &) { return put(value); }
    bool string(std::string &value) { return put(std::move(value)); }
    bool binary(nlohmann::json::binary_t &) { return false; }

    bool start_object(std::size_t) { return begin(JsonValue::object()); }
    bool start_array(std::size_t) { return begin(JsonValue::array()); }
    bool key(std::string &name) {
        open_.back().key = std::move(name);
        return true;
    }
    bool end_object() { return end(); }
    bool end_array() { return end(); }

    bool parse_error(std::size_t, const std::string &, const nlohmann::detail::exception &) {
        whole_ = nullptr;
        return false;
    }

    JsonValue whole() { return std::move(whole_); }

  private:
    struct Level {
        JsonValue value;
        bool object = false;
        std::string key;
    };

    bool begin(JsonValue value) {
        const bool object = value.is_object();
        open_.push_back({std::move(value), object, {}});
        return true;
    }
    bool end() {
        JsonValue done = std::move(open_.back().value);
        open_.pop_back();
        return put(std::move(done));
    }
    bool put(JsonValue value) {
        if (open_.empty())
            whole_ = std::move(value);
        else if (open_.back().object)
            open_.back().value[open_.back().key] = std::move(value);
        else
            open_.back().value.push_back(std::move(value));
        return true;
    }

    std::vector<Level> open_;
    JsonValue whole_;
};

} // namespace

JsonValue json_tree(std::string_view json) {
    Builder builder;
    nlohmann::json::sax_parse(json.begin(), json.end(), &builder);
    return builder.whole();
}

} // namespace groundrule::facts
