// What a call of the C++ owners gives: a value or the reason why there is none. groundrule.hpp,
// whose conventions hold here, includes it.
#ifndef GROUNDRULE_RESULT_HPP
#define GROUNDRULE_RESULT_HPP

#include <groundrule/groundrule.h>

#include <cassert>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace groundrule {
inline namespace client {

// The first fault; `message` tells all of them. line and column are 0 if the fault is in no file.
struct Error {
    gr_status status = GR_OK;
    std::uint32_t line = 0;
    std::uint32_t column = 0;
    std::string code;
    std::string file;
    std::string message;
};

// A value or the reason why there is none. Ask before use: `value` of a failed call is a bug.
template <typename T>
class [[nodiscard]] Result {
  public:
    Result(T value) : outcome_(std::in_place_index<0>, std::move(value)) {}
    Result(Error error) : outcome_(std::in_place_index<1>, std::move(error)) {}

    explicit operator bool() const noexcept { return outcome_.index() == 0; }
    bool has_value() const noexcept { return outcome_.index() == 0; }

    T &value() &noexcept { return checked(std::get_if<0>(&outcome_)); }
    const T &value() const &noexcept { return checked(std::get_if<0>(&outcome_)); }
    T &&value() &&noexcept { return std::move(checked(std::get_if<0>(&outcome_))); }
    T &operator*() &noexcept { return value(); }
    const T &operator*() const &noexcept { return value(); }
    T &&operator*() &&noexcept { return std::move(*this).value(); }
    T *operator->() noexcept { return &value(); }
    const T *operator->() const noexcept { return &value(); }

    const Error &error() const noexcept { return checked(std::get_if<1>(&outcome_)); }

  private:
    template <typename U>
    static U &checked(U *held) noexcept {
        assert(held != nullptr);
        return *held;
    }

    std::variant<T, Error> outcome_;
};

// Success, or the reason for the failure.
template <>
class [[nodiscard]] Result<void> {
  public:
    Result() = default;
    Result(Error error) : error_(std::move(error)) {}

    explicit operator bool() const noexcept { return !error_.has_value(); }
    bool has_value() const noexcept { return !error_.has_value(); }
    const Error &error() const noexcept {
        assert(error_.has_value());
        return *error_;
    }

  private:
    std::optional<Error> error_;
};

// Called by long work after each step, in its own units: how much is done of how much there is at
// most. False ends it with GR_CANCELLED. May not throw.
using Progress = std::function<bool(std::uint64_t done, std::uint64_t of)>;

namespace detail {

inline std::string_view view(gr_text text) noexcept {
    return text.data == nullptr ? std::string_view() : std::string_view(text.data, text.size);
}

// The C API takes a null pointer for a fault of the caller; an empty view may have one.
inline const char *data(std::string_view view) noexcept {
    return view.data() == nullptr ? "" : view.data();
}

inline gr_text text(std::string_view view) noexcept {
    return {data(view), view.size()};
}

// gr_error is large and only of use after a failure, so it does not travel in a Result.
inline Error taken(gr_status status, const gr_error &error) {
    return {status, error.line, error.column, error.code, error.file, error.message};
}

inline std::vector<std::string_view> lines(const char *text) {
    std::vector<std::string_view> out;
    std::string_view rest = text == nullptr ? "" : text;
    while (!rest.empty()) {
        const std::size_t end = rest.find('\n');
        if (const std::string_view line = rest.substr(0, end); !line.empty())
            out.push_back(line);
        rest.remove_prefix(end == std::string_view::npos ? rest.size() : end + 1);
    }
    return out;
}

inline int ask(const gr_progress *told, void *user) noexcept {
    return (*static_cast<const Progress *>(user))(told->done, told->of) ? 0 : 1;
}
inline gr_progress_function asking(const Progress &progress) noexcept {
    return progress ? ask : nullptr;
}
inline void *user(const Progress &progress) noexcept {
    return const_cast<Progress *>(&progress);
}

} // namespace detail

} // namespace client
} // namespace groundrule

#endif // GROUNDRULE_RESULT_HPP
