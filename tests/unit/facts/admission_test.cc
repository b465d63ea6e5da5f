// Numbers that a host sets: what a field takes is what the reader of facts takes, told without
// words.

#include "facts/admission.h"

#include "facts/value_reader.h"

#include "trial.h"

#include "catch.h"

#include <cmath>
#include <limits>
#include <random>

namespace {

using namespace groundrule;

const book::Book &a_book() {
    static const trial::Compiled c = trial::compiled(trial::rule_that("sealed"));
    return *c.book;
}

constexpr double infinity = std::numeric_limits<double>::infinity();

std::vector<double> numbers() {
    std::vector<double> out = {0,         -0.0,         1,         -1,    0.25,   2.5,
                               -2.5,      1e-12,        1e12,      1e300, -1e300, infinity,
                               -infinity, std::nan(""), 0.1 + 0.2, 273.15};
    std::mt19937_64 random(7);
    std::uniform_real_distribution<double> size(-30, 60);
    for (int i = 0; i < 2000; ++i) {
        const double sign = i % 2 == 0 ? 1 : -1;
        out.push_back(sign * std::exp2(size(random)));
        out.push_back(sign * std::round(std::exp2(size(random))) / 1000);
    }
    return out;
}

} // namespace

TEST_CASE("a quantity is admitted as the number that the reader of facts moves to the grid") {
    const book::Book &book = a_book();
    const facts::Admissions admissions(book);
    std::size_t quantities = 0;
    for (std::size_t i = 0; i < book.items.size(); ++i) {
        REQUIRE(admissions.of(i).size() == book.items[i].fields.size());
        for (std::size_t f = 0; f < book.items[i].fields.size(); ++f) {
            const book::Field &field = book.items[i].fields[f];
            if (!field.type.is_quantity())
                continue;
            ++quantities;
            for (const double given : numbers()) {
                CAPTURE(field.name, given);
                facts::FactFault fault;
                const auto read = facts::admitted(field, field.name, given, fault);
                double value = 0;
                REQUIRE(facts::admits(admissions.of(i)[f], given, value) == read.has_value());
                if (read) {
                    CHECK(value == *read);
                    CHECK(!std::signbit(value - *read));
                    CHECK((value != 0 || !std::signbit(value)));
                }
            }
        }
    }
    CHECK(quantities > 3);
}

TEST_CASE("a code is admitted from zero up to the last one, and only if it is whole") {
    const book::Book &book = a_book();
    const facts::Admissions admissions(book);
    std::size_t coded = 0;
    for (std::size_t i = 0; i < book.items.size(); ++i) {
        for (std::size_t f = 0; f < book.items[i].fields.size(); ++f) {
            const book::Field &field = book.items[i].fields[f];
            if (field.type.is_quantity())
                continue;
            CAPTURE(field.name);
            const auto takes = [&](double given) {
                double value = 0;
                return facts::admits(admissions.of(i)[f], given, value);
            };
            const auto count = static_cast<double>(facts::code_count(book, field));
            coded += count > 0 ? 1 : 0;
            CHECK(takes(0) == (count > 0));
            CHECK(takes(count - 1) == (count > 0));
            CHECK(!takes(count));
            CHECK(!takes(-1));
            CHECK(!takes(0.5));
            CHECK(!takes(1e-9));
            CHECK(!takes(infinity));
            CHECK(!takes(std::nan("")));
        }
    }
    CHECK(coded > 2);
}

TEST_CASE("what is no item has nothing to admit") {
    const facts::Admissions admissions(a_book());
    CHECK(admissions.of(a_book().items.size()).empty());
    CHECK(admissions.of(0xffffffff).empty());
}

TEST_CASE("what is counted or measured has no codes") {
    const book::Book &book = a_book();
    const book::Item &crate = book.items[static_cast<std::size_t>(book::find_item(book, "crate"))];
    for (const char *name : {"load", "share", "made"})
        CHECK(facts::code_count(
                  book, crate.fields[static_cast<std::size_t>(book::find_field(crate, name))]) ==
              0);
}
