// What a message shows as an example of a value is a value that the field takes.

#include "facts/value_reader.h"

#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;

// A field of every type that the language has.
const std::string words = R"(vocabulary

item sample in job as samples "A sample"
  current     : current                 measure "?"
  voltage     : voltage                 measure "?"
  power       : power                   measure "?"
  length      : length                  measure "?"
  area        : area                    measure "?"
  volume      : volume                  measure "?"
  cross       : conductor_area          measure "?"
  resistance  : resistance              measure "?"
  torque      : torque                  measure "?"
  temperature : temperature             measure "?"
  difference  : temperature_difference  measure "?"
  size        : conductor_size          measure "?"
  day         : date                    measure "?"
)";

// The text in quotes behind "such as".
std::string example_in(const std::string &help) {
    const std::size_t begin = help.find("such as \"");
    if (begin == std::string::npos)
        return {};
    const std::size_t end = help.find('"', begin + 9);
    return help.substr(begin + 9, end - begin - 9);
}

} // namespace

TEST_CASE("the example that a fault gives of a field's values is one of them") {
    const book::Opened opened = trial::open("", {}, words);
    INFO(trial::faults(opened));
    REQUIRE(opened.book);
    const book::Item &item =
        opened.book->items[static_cast<std::size_t>(book::find_item(*opened.book, "sample"))];
    std::vector<std::string> examples;
    for (const book::Field &field : item.fields) {
        if (field.name == "work")
            continue;
        INFO(field.name);
        facts::FactFault fault;
        CHECK_FALSE(facts::value_from_truth(*opened.book, field, field.name, true, fault));
        CHECK(fault.code == "wrong-type");
        examples.push_back(example_in(fault.help));
        INFO(fault.help);
        facts::FactFault none;
        CHECK(facts::value_from_text(*opened.book, field, field.name, examples.back(), none));
    }
    CHECK(examples == std::vector<std::string>{"40 A", "40 V", "40 VA", "2 ft", "0.5 in²",
                                               "20.5 in³", "16510 cmil", "40 ohm", "40 lbf-in",
                                               "40 °C", "40 °C rise", "8 AWG", "2024-03-31"});
}

TEST_CASE("a number for a field that takes numbers is what a fault asks for, and no text") {
    const book::Opened opened = trial::open("");
    REQUIRE(opened.book);
    const book::Item &crate =
        opened.book->items[static_cast<std::size_t>(book::find_item(*opened.book, "crate"))];
    const auto &share = crate.fields[static_cast<std::size_t>(book::find_field(crate, "share"))];
    facts::FactFault fault;
    CHECK_FALSE(facts::value_from_truth(*opened.book, share, "crate.share", true, fault));
    CHECK(fault.help == "expected: a number");
}
