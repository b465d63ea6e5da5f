// A JSON document that is read in one pass: what nlohmann's SAX parser calls, with the place of
// every fault. No tree is built; the place in the text is told by an iterator that the reader
// watches.
#pragma once

#include "book/model.h"
#include "text/diagnostics.h"
#include "text/limits.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <string>
#include <string_view>

namespace groundrule::facts {

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
    friend bool operator==(const Watched &a, const Watched &b) { return a.at == b.at; }
};

// Shared by both readers: the handler that nlohmann's parser calls, with places for faults.
class JsonDocument {
  public:
    using number_integer_t = nlohmann::json::number_integer_t;
    using number_unsigned_t = nlohmann::json::number_unsigned_t;
    using number_float_t = nlohmann::json::number_float_t;
    using string_t = nlohmann::json::string_t;
    using binary_t = nlohmann::json::binary_t;

    JsonDocument(const book::Book &book, std::string_view json, const std::string &name,
                 Diagnostics &diagnostics)
        : book_(book), source_(name, std::string(json)), diagnostics_(diagnostics),
          seen_(source_.text().data()) {}
    virtual ~JsonDocument() = default;
    JsonDocument(const JsonDocument &) = delete;
    JsonDocument &operator=(const JsonDocument &) = delete;

    void read() {
        const std::string_view text = source_.text();
        if (text.size() > limits::job_bytes) {
            fault("too-large", "this document has " + std::to_string(text.size()) +
                                   " bytes; at most " + std::to_string(limits::job_bytes) +
                                   " are read");
            return;
        }
        // The parser takes a zero byte for the end, and what stands behind it would be lost.
        const std::size_t zero = text.find('\0');
        if (zero != std::string_view::npos) {
            seen_ = text.data() + zero + 1;
            fault("not-json", "this is not JSON: a zero byte stands here");
            return;
        }
        const Watched begin{text.data(), &seen_};
        const Watched end{text.data() + text.size(), &seen_};
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
        // parsing value - unexpected …", or "[json.exception.out_of_range.406] number overflow
        // parsing '1e999'"
        std::string what = e.what();
        const std::size_t dash = what.find(" - ");
        const bool too_large = dash == std::string::npos;
        what = too_large ? "this number is too large to be read"
                         : "this is not JSON: " + what.substr(dash + 3);
        // The parser quotes what it read last, byte by byte.
        if (first_bad_utf8(what) != std::string_view::npos)
            what = "this byte is not UTF-8 text; save the file as UTF-8";
        const std::size_t size = source_.text().size();
        const Place place = before(position);
        Diagnostic d;
        d.code = too_large ? "too-large" : "not-json";
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
        const Place place = before(static_cast<std::size_t>(seen_ - source_.text().data()));
        Diagnostic d;
        d.code = code;
        d.message = std::move(message);
        d.help = std::move(help);
        d.where = source_.name() + ":" + std::to_string(place.line) + ":" +
                  std::to_string(place.column) + (path.empty() ? "" : " (" + path + ")");
        diagnostics_.add(std::move(d));
        return diagnostics_.size() < limits::faults_per_file;
    }

    const book::Book &book_;
    SourceText source_;
    Diagnostics &diagnostics_;

  private:
    // Of the last of so many bytes.
    Place before(std::size_t bytes) const {
        return source_.place(static_cast<std::uint32_t>(std::max<std::size_t>(bytes, 1) - 1));
    }

    const char *seen_;
};

inline std::string in_quotes(const std::string &s) {
    return "\"" + s + "\"";
}
inline std::string did_you_mean(const std::string &near) {
    return near.empty() ? "" : "did you mean \"" + near + "\"?";
}

} // namespace groundrule::facts
