#include "text/json_value.h"

#include "text/source_text.h"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace groundrule {

namespace {

// Decimal while that is short, so that readers see "100000.0" and not "1e+05".
void print_number(double value, std::string &out) {
    if (!std::isfinite(value)) {
        out += "null";
        return;
    }
    const double size = std::abs(value);
    const bool decimal = value == 0 || (size >= 1e-4 && size < 1e15);
    char digits[64];
    const auto [end, fault] =
        std::to_chars(digits, digits + sizeof digits, value,
                      decimal ? std::chars_format::fixed : std::chars_format::scientific);
    const std::string_view text(digits, static_cast<std::size_t>(end - digits));
    out += text;
    if (decimal && text.find('.') == std::string_view::npos)
        out += ".0";
}

void print_escaped(char c, std::string &out) {
    static constexpr std::string_view plain = "\"\\\b\f\n\r\t";
    static constexpr std::string_view letter = "\"\\bfnrt";
    const std::size_t at = plain.find(c);
    if (at != std::string_view::npos) {
        out += '\\';
        out += letter[at];
        return;
    }
    static constexpr char digits[] = "0123456789abcdef";
    out += "\\u00";
    out += digits[static_cast<unsigned char>(c) >> 4];
    out += digits[static_cast<unsigned char>(c) & 0xF];
}

// A byte that is no UTF-8, in a name that a host gave, is shown as the mark for such.
void print_text(std::string_view text, std::string &out) {
    out += '"';
    while (!text.empty()) {
        const std::size_t good = std::min(first_bad_utf8(text), text.size());
        for (const char c : text.substr(0, good)) {
            if (static_cast<unsigned char>(c) < 0x20 || c == '"' || c == '\\')
                print_escaped(c, out);
            else
                out += c;
        }
        text.remove_prefix(good);
        if (!text.empty()) {
            out += "\xEF\xBF\xBD";
            text.remove_prefix(1);
        }
    }
    out += '"';
}

} // namespace

class JsonPrinter {
  public:
    JsonPrinter(std::size_t indent, std::string &out) : indent_(indent), out_(out) {}

    void print(const JsonValue &json, std::size_t depth) { // NOLINT(misc-no-recursion)
        std::visit([&](const auto &value) { print_value(value, depth); }, json.value_);
    }

  private:
    void print_value(std::nullptr_t, std::size_t) { out_ += "null"; }
    void print_value(bool value, std::size_t) { out_ += value ? "true" : "false"; }
    void print_value(std::int64_t value, std::size_t) { out_ += std::to_string(value); }
    void print_value(std::uint64_t value, std::size_t) { out_ += std::to_string(value); }
    void print_value(double value, std::size_t) { print_number(value, out_); }
    void print_value(const std::string &value, std::size_t) { print_text(value, out_); }

    void print_value(const JsonValue::Array &array,
                     std::size_t depth) { // NOLINT(misc-no-recursion)
        between('[', ']', array, depth,
                [&](const JsonValue &element) { print(element, depth + 1); });
    }
    void print_value(const JsonValue::Object &object,
                     std::size_t depth) { // NOLINT(misc-no-recursion)
        between('{', '}', object, depth, [&](const std::pair<std::string, JsonValue> &member) {
            print_text(member.first, out_);
            out_ += indent_ == 0 ? ":" : ": ";
            print(member.second, depth + 1);
        });
    }

    template <typename List, typename Print>
    void between(char open, char close, const List &list, std::size_t depth, Print print_one) {
        out_ += open;
        bool first = true;
        for (const auto &element : list) {
            if (!first)
                out_ += ',';
            first = false;
            line(depth + 1);
            print_one(element);
        }
        if (!first)
            line(depth);
        out_ += close;
    }

    void line(std::size_t depth) {
        if (indent_ == 0)
            return;
        out_ += '\n';
        out_.append(depth * indent_, ' ');
    }

    std::size_t indent_;
    std::string &out_;
};

bool JsonValue::Part::is_pair() const {
    const auto *list = std::get_if<Array>(&value_.value_);
    return list != nullptr && list->size() == 2 &&
           std::holds_alternative<std::string>(list->front().value_);
}

JsonValue::JsonValue(std::initializer_list<Part> parts) {
    const bool pairs =
        std::all_of(parts.begin(), parts.end(), [](const Part &part) { return part.is_pair(); });
    if (!pairs) {
        *this = array(parts);
        return;
    }
    Object object;
    object.reserve(parts.size());
    for (const Part &part : parts) {
        JsonValue pair = part.take();
        auto &both = std::get<Array>(pair.value_);
        object.emplace_back(std::move(std::get<std::string>(both[0].value_)), std::move(both[1]));
    }
    value_ = std::move(object);
}

JsonValue JsonValue::array(std::initializer_list<Part> parts) {
    Array list;
    list.reserve(parts.size());
    for (const Part &part : parts)
        list.push_back(part.take());
    return JsonValue(std::move(list));
}

JsonValue JsonValue::object() {
    JsonValue out;
    out.value_ = Object();
    return out;
}

JsonValue &JsonValue::operator[](std::string_view key) {
    if (std::holds_alternative<std::nullptr_t>(value_))
        value_ = Object();
    auto &object = std::get<Object>(value_);
    const auto there = std::find_if(object.begin(), object.end(),
                                    [&](const auto &member) { return member.first == key; });
    if (there != object.end())
        return there->second;
    return object.emplace_back(std::string(key), JsonValue()).second;
}

bool JsonValue::contains(std::string_view key) const {
    const auto *object = std::get_if<Object>(&value_);
    return object != nullptr &&
           std::any_of(object->begin(), object->end(),
                       [&](const auto &member) { return member.first == key; });
}

void JsonValue::update(JsonValue object) {
    for (auto &[key, value] : std::get<Object>(object.value_))
        (*this)[key] = std::move(value);
}

void JsonValue::push_back(JsonValue element) {
    if (std::holds_alternative<std::nullptr_t>(value_))
        value_ = Array();
    std::get<Array>(value_).push_back(std::move(element));
}

bool JsonValue::empty() const {
    if (const auto *list = std::get_if<Array>(&value_))
        return list->empty();
    if (const auto *object = std::get_if<Object>(&value_))
        return object->empty();
    return std::holds_alternative<std::nullptr_t>(value_);
}

std::string JsonValue::dump(std::size_t indent) const {
    std::string out;
    JsonPrinter(indent, out).print(*this, 0);
    return out;
}

} // namespace groundrule
