// A book of the size of a whole code, opened and lowered within a tenth of a second.
#include "trial.h"

#include "catch.h"

#include <algorithm>
#include <ctime>

namespace {

using namespace groundrule;

// Sanitizers and unoptimised builds take many times as long; there the bound only catches a hang.
#if defined(NDEBUG) && !defined(_GLIBCXX_ASSERTIONS) && !defined(GROUNDRULE_SANITIZED)
constexpr double bound = 100; // ms
#else
constexpr double bound = 10000;
#endif

// A rule as a code has them, with conditions, listed parts, exceptions and a message; every fifth
// with a table and a definition of its own.
std::string clause(int n) {
    const std::string number = std::to_string(n);
    const std::string topic = "topic_" + number;
    std::string out;
    std::string needed = "load * 125 %";
    if (n % 5 == 0) {
        out +=
            "table \"T" + number +
            "\" \"A table\"\n  gives current\n"
            "  by size : conductor_size, column : temperature\n  column | 60 °C | 75 °C | 90 °C\n";
        const char *sizes[] = {"14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0"};
        int amps = n;
        for (const char *size : sizes) {
            out += "  " + std::string(size) + " AWG";
            for (int column = 0; column < 3; ++column)
                out += " | " + std::to_string(amps += 5) + " A";
            out += "\n";
        }
        needed = "needed_" + number;
        out += "define crate." + needed + " : current\n  = larger_of(load * 125 %, table \"T" +
               number + "\" [wire, if heat at most 60 °C then 60 °C otherwise 75 °C])\n";
    }
    return out + "rule 1." + number + " \"A clause\"\n  topic " + topic +
           "\n  stage design, acceptance\n  for crate\n  limit highest = " + number + " V\n" +
           "  where voltage : supply at most highest\n  where made at least 2020-01-01\n" +
           "  shall rating at least " + needed +
           " and (sealed or count(p in pieces where p.loose)" + " at most " + number + ")\n" +
           "  says \"The {rating} crate needs {load} and 125 percent.\"\n" +
           "  listed (1) \"Red\" where colour is red\n" +
           "  listed (2) \"Green or blue\" where colour is one of (green, blue)\n" +
           "  except 1 \"Approved\" where approved\n" +
           "  except 2 \"Small\" where load less than 1 A and width at most 6 in\n" +
           "  note \"A note.\"\n  source \"Nowhere.\"\n\n";
}

} // namespace

TEST_CASE(
    "500 rules with 100 tables are read, checked and lowered in under 100 ms (release build)") {
    std::string rules;
    for (int n = 1; n <= 500; ++n)
        rules += clause(n);
    double fastest = 1e9; // ms of processor time: others may be at work too
    for (int run = 0; run < 7; ++run) {
        const std::clock_t start = std::clock();
        const trial::Compiled c = trial::compiled(rules);
        const auto took = static_cast<double>(std::clock() - start);
        fastest = std::min(fastest, took * 1000 / static_cast<double>(CLOCKS_PER_SEC));
        REQUIRE(c.book->rules.size() == 500);
        REQUIRE(c.program.tables.size() >= 100);
    }
    WARN(rules.size() << " bytes of rules, " << fastest << " ms");
    CHECK(fastest < bound);
}
