// A JSON value to be written: built from braces and keys, printed once.
//
// Our own, because the library that reads JSON allocates in the destructors of its values: where
// memory runs out, giving memory back would end the host's program. Here only making a value can
// fail.
#pragma once

#include <concepts>
#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace groundrule {

class JsonValue {
  public:
    class Part;
    using Array = std::vector<JsonValue>;
    using Object = std::vector<std::pair<std::string, JsonValue>>; // keys keep their order

    JsonValue() = default; // null
    // What a value holds is copied before there is a value: where copying a std::variant fails
    // halfway, GCC 12's library destroys what is not there.
    JsonValue(const JsonValue &other)
        : JsonValue(
              std::visit([](const auto &held) { return JsonValue(copied(held)); }, other.value_)) {}
    JsonValue(JsonValue &&) noexcept = default;
    JsonValue &operator=(JsonValue &&) noexcept = default;
    ~JsonValue() = default;
    JsonValue(std::nullptr_t) {}
    template <typename T>
    requires std::same_as<T, bool> JsonValue(T value) : value_(value) {}
    template <std::signed_integral T>
    JsonValue(T value) : value_(static_cast<std::int64_t>(value)) {}
    template <std::unsigned_integral T>
    requires(!std::same_as<T, bool>) JsonValue(T value)
        : value_(static_cast<std::uint64_t>(value)) {}
    JsonValue(double value) : value_(value) {}
    JsonValue(std::string value) : value_(std::move(value)) {}
    JsonValue(const char *value) : value_(std::string(value)) {}
    JsonValue(Array value) : value_(std::move(value)) {}
    template <typename T>
    requires(!std::same_as<T, JsonValue>) JsonValue(const std::vector<T> &values)
        : value_(Array(values.begin(), values.end())) {}
    // An object if all parts are pairs that begin with a text, else an array.
    JsonValue(std::initializer_list<Part> parts);

    static JsonValue array() { return JsonValue(Array()); }
    static JsonValue array(std::initializer_list<Part> parts);
    static JsonValue object();

    // Of an object, which a null becomes; a key that is new is put last.
    JsonValue &operator[](std::string_view key);
    bool contains(std::string_view key) const;
    void update(JsonValue object); // takes over its keys
    const Object &items() const { return std::get<Object>(value_); }

    // Of an array, which a null becomes.
    JsonValue &operator[](std::size_t index) { return std::get<Array>(value_)[index]; }
    void push_back(JsonValue element);

    bool empty() const;
    bool is_object() const { return std::holds_alternative<Object>(value_); }

    // Each level indented by so many blanks; 0: in one line.
    std::string dump(std::size_t indent = 0) const;

  private:
    explicit JsonValue(Object value) : value_(std::move(value)) {}
    template <typename T>
    static T copied(const T &held) {
        return held;
    }

    using Value = std::variant<std::nullptr_t, bool, std::int64_t, std::uint64_t, double,
                               std::string, Array, Object>;

    Value value_ = nullptr;

    friend class JsonPrinter;
};

// What stands in braces, moved into place: the elements of an initializer_list are constant.
class JsonValue::Part {
  public:
    Part(std::initializer_list<Part> parts) : value_(parts) {}
    template <typename T>
    // NOLINTNEXTLINE(bugprone-forwarding-reference-overload): a Part is no value to make one of
    requires std::constructible_from<JsonValue, T &&> Part(T &&value)
        : value_(std::forward<T>(value)) {}

    JsonValue take() const { return std::move(value_); }
    bool is_pair() const;

  private:
    mutable JsonValue value_;
};

} // namespace groundrule
