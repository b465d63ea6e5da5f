// Calls a function of the API wrongly in every way that its types allow: each pointer null, each
// handle of another kind or freed, each struct of a wrong size. Whatever it is given, a call has to
// fail, and to leave everything as it was.
#pragma once

#include "handles.h"

#include <array>
#include <cstdio>
#include <initializer_list>
#include <set>
#include <string>
#include <tuple>

namespace misuse {

class Misuse {
  public:
    explicit Misuse(Handles &good) : good_(good) {}

    // A call that is right with these arguments. `optional`: places of pointers that may be null.
    template <typename... Parameters, typename... Arguments>
    void status(const char *name, gr_status (*function)(Parameters...),
                std::initializer_list<std::size_t> optional, Arguments... arguments) {
        std::tuple<Parameters...> right{arguments...};
        seen_.insert(name);
        expect(name, "with right arguments", call(function, right) == GR_OK);
        each(name, function, optional, right, std::index_sequence_for<Parameters...>());
    }

    // A call that can't fail: it gives nothing for a handle that is none.
    template <typename Given, typename Handle, typename... Rest>
    void quiet(const char *name, Given (*function)(Handle *, Rest...), Rest... rest) {
        seen_.insert(name);
        for (Handle *wrong : {static_cast<Handle *>(nullptr), other_kind<Handle>()}) {
            if constexpr (std::is_same_v<Given, gr_text>)
                expect(name, "text of no handle", function(wrong, rest...).size == 0);
            else if constexpr (std::is_same_v<Given, std::size_t>)
                expect(name, "number of no handle", function(wrong, rest...) == 0);
            else
                static_cast<void>(function(wrong, rest...));
        }
    }

    void seen(const char *name) { seen_.insert(name); }
    const std::set<std::string> &names() const { return seen_; }
    int wrong() const { return wrong_; }

    void expect(const char *name, const std::string &what, bool so) {
        if (so)
            return;
        std::fprintf(stderr, "%s: %s\n", name, what.c_str());
        ++wrong_;
    }

  private:
    // What a call made is given back, so that the next may make it again.
    template <typename T>
    static void give_back(T) {}
    template <typename T>
    requires Handle<T>
    static void give_back(T **out) {
        if (out == nullptr || *out == nullptr)
            return;
        free_handle(*out);
        *out = nullptr;
    }
    static void give_back(ArrowSchema *out) { give_back_arrow(out); }
    static void give_back(ArrowArray *out) { give_back_arrow(out); }
    template <typename T>
    static void give_back_arrow(T *out) {
        if (out != nullptr && out->release != nullptr)
            out->release(out);
    }

    template <typename Function, typename Tuple>
    gr_status call(Function function, Tuple &arguments) {
        const gr_status status = std::apply(function, arguments);
        std::apply([](auto... a) { (give_back(a), ...); }, arguments);
        return status;
    }

    template <typename Function, typename Tuple, std::size_t... I>
    void each(const char *name, Function function, const std::set<std::size_t> &optional,
              const Tuple &right, std::index_sequence<I...>) {
        (at<I>(name, function, optional, right), ...);
    }

    template <std::size_t I, typename Function, typename Tuple>
    void at(const char *name, Function function, const std::set<std::size_t> &optional,
            const Tuple &right) {
        using Parameter = std::tuple_element_t<I, Tuple>;
        const std::string where = "argument " + std::to_string(I);
        if constexpr (std::is_pointer_v<Parameter>) {
            Tuple wrong = right;
            std::get<I>(wrong) = nullptr;
            const bool may_be_null = optional.contains(I) || std::is_same_v<Parameter, gr_error *>;
            expect(name, where + " is null", (call(function, wrong) == GR_OK) == may_be_null);
        }
        if constexpr (is_handle_pointer<Parameter>) {
            Tuple wrong = right;
            std::get<I>(wrong) = other_kind<std::remove_pointer_t<Parameter>>();
            expect(name, where + " is a handle of another kind",
                   call(function, wrong) == GR_BAD_ARGUMENT);
        }
        if constexpr (is_sized_struct<Parameter>) {
            auto given = *std::get<I>(right);
            Tuple wrong = right;
            std::get<I>(wrong) = &given;
            for (const std::size_t size : {std::size_t{0}, sizeof(std::size_t), ~std::size_t{0}}) {
                given.size = size;
                expect(name, where + " has a wrong size", call(function, wrong) == GR_BAD_ARGUMENT);
            }
            newer<I>(name, where, function, right);
        }
    }

    // A struct of a caller that knows more than the library: in options more may stand only as
    // zero, which is "as before"; of what is filled in the rest is zero.
    template <std::size_t I, typename Function, typename Tuple>
    void newer(const char *name, const std::string &where, Function function, const Tuple &right) {
        using Struct = std::remove_pointer_t<std::tuple_element_t<I, Tuple>>;
        struct {
            std::remove_const_t<Struct> known;
            std::array<unsigned char, 16> more;
        } given{*std::get<I>(right), {}};
        given.known.size = sizeof given;
        Tuple grown = right;
        std::get<I>(grown) = &given.known;
        expect(name, where + " is larger", call(function, grown) == GR_OK);
        given.more[3] = 1;
        const bool refused = call(function, grown) == GR_BAD_ARGUMENT;
        if constexpr (std::is_const_v<Struct>)
            expect(name, where + " asks for what is not known", refused);
        else
            expect(name, where + " is filled in to its end", !refused && given.more[3] == 0);
    }

    template <typename T>
    T *other_kind() {
        if constexpr (std::is_same_v<std::remove_const_t<T>, gr_document>)
            return reinterpret_cast<T *>(good_.book);
        else
            return reinterpret_cast<T *>(good_.document);
    }

    Handles &good_;
    std::set<std::string> seen_;
    int wrong_ = 0;
};

} // namespace misuse
