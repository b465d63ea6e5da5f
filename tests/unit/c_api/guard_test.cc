// How failures inside become statuses and texts of the C API.

#include "c_api/guard.h"

#include "catch.h"

#include <array>

namespace {

using namespace groundrule;
using c_api::copy_cut;
using c_api::fail_with;
using c_api::guard;

template <typename Thrown>
gr_error thrown(const Thrown &what) {
    gr_error error = {};
    CHECK(guard(&error, [&]() -> gr_status { throw what; }) == error.status);
    return error;
}

std::string cut(const std::string &text) {
    std::array<char, 8> room{};
    room.fill('x');
    copy_cut(room.data(), room.size(), text);
    return room.data();
}

gr_error told_at(const std::string &where) {
    Diagnostics diagnostics;
    Diagnostic fault;
    fault.code = "some-code";
    fault.message = "Not so.";
    fault.where = where;
    diagnostics.add(std::move(fault));
    gr_error error = {};
    CHECK(fail_with(&error, GR_BAD_FACTS, diagnostics, {}) == GR_BAD_FACTS);
    CHECK(std::string(error.code) == "some-code");
    return error;
}

} // namespace

TEST_CASE("what is thrown ends as a status: memory, sizes, threads, and what nobody foresaw") {
    CHECK(guard(nullptr, [] { return GR_OK; }) == GR_OK);
    CHECK(thrown(std::bad_alloc()).status == GR_NO_MEMORY);
    CHECK(std::string(thrown(std::bad_alloc()).code) == "no-memory");
    CHECK(thrown(std::length_error("vector")).status == GR_BAD_ARGUMENT);
    CHECK(std::string(thrown(std::length_error("vector")).code) == "too-large");
    const std::system_error none(std::make_error_code(std::errc::resource_unavailable_try_again));
    CHECK(thrown(none).status == GR_NO_MEMORY);
    CHECK(std::string(thrown(none).code) == "no-threads");
    CHECK(thrown(std::runtime_error("why")).status == GR_INTERNAL);
    CHECK(std::string(thrown(std::runtime_error("why")).message) == "why");
    CHECK(thrown(7).status == GR_INTERNAL);
    CHECK(std::string(thrown(7).code) == "internal");
    // Nobody has to look at the error.
    CHECK(guard(nullptr, []() -> gr_status { throw 7; }) == GR_INTERNAL);
}

TEST_CASE("a text that is too long for its room is cut between two characters") {
    CHECK(cut("").empty());
    CHECK(cut("1234567") == "1234567");
    CHECK(cut("12345678") == "1234567");
    CHECK(cut("°°°°") == "°°°");   // of two bytes each
    CHECK(cut("1°°°°") == "1°°°"); // the seventh byte is the last of one
    CHECK(cut("€€€") == "€€");     // of three
    CHECK(cut("😀😀") == "😀");       // of four
    CHECK(cut("1234567°") == "1234567");
    CHECK(cut(std::string(20, '\x80')).empty()); // no text at all
}

TEST_CASE("a fault's place is read from the words of the reader that told it") {
    const gr_error in_a_file = told_at("a job.json:12:34");
    CHECK(std::string(in_a_file.file) == "a job.json");
    CHECK(in_a_file.line == 12);
    CHECK(in_a_file.column == 34);
    const gr_error with_more = told_at("c:\\job.json:12:34 (panels[0].circuits[1])");
    CHECK(std::string(with_more.file) == "c:\\job.json");
    CHECK(with_more.line == 12);
    CHECK(with_more.column == 34);
    for (const std::string where : {"panels[0].circuits[0]", "", "job:7", ":7"}) {
        const gr_error nowhere = told_at(where);
        CHECK(nowhere.file == where);
        CHECK(nowhere.line == 0);
        CHECK(nowhere.column == 0);
    }
}

TEST_CASE(
    "a failure without diagnostics tells its status alone, and one that nobody takes nothing") {
    gr_error error = {};
    CHECK(fail_with(&error, GR_BAD_RULES, {}, {}) == GR_BAD_RULES);
    CHECK(error.status == GR_BAD_RULES);
    CHECK(error.message[0] == '\0');
    CHECK(fail_with(nullptr, GR_BAD_RULES, {}, {}) == GR_BAD_RULES);
}
