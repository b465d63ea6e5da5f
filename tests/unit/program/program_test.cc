// Lowered books: shared subexpressions, the validator, and programs as text.

#include "program/program.h"

#include "text/limits.h"
#include "trial.h"

#include <algorithm>

#include "catch.h"

namespace {

using namespace groundrule;
using program::Op;

std::size_t count(const program::Program &p, Op op) {
    return static_cast<std::size_t>(std::count_if(
        p.code.begin(), p.code.end(), [&](const program::Instruction &in) { return in.op == op; }));
}

program::Program program_of(const std::string &rules) {
    return trial::compiled(rules).program;
}

std::string rule(const std::string &number, const std::string &condition) {
    return "rule 1." + number + " \"R\"\n  topic topic_" + number + "\n  for crate\n  shall " +
           condition + "\n  says \"x\"\n\n";
}

// Of the shipped vocabulary alone, with a rule that adds nothing.
std::size_t base(Op op) {
    return count(program_of(rule("1", "sealed")), op);
}

program::Register first(const program::Program &p, Op op) {
    for (program::Register r = 0; r < p.code.size(); ++r) {
        if (p.code[r].op == op)
            return r;
    }
    return program::no_register;
}

} // namespace

TEST_CASE("equal subexpressions of different rules and definitions become one instruction") {
    const std::string both = rule("1", "load * 125 % at most rating") +
                             rule("2", "rating at least load * 1.25") +
                             "define crate.needed : current\n  = load * 1.25\n\n" +
                             rule("3", "needed + 1 A at most rating");
    CHECK(count(program_of(both), Op::multiply) == base(Op::multiply) + 1);
    const std::string apart =
        rule("1", "load * 125 % at most rating") + rule("2", "load * 1.26 at most rating");
    CHECK(count(program_of(apart), Op::multiply) == base(Op::multiply) + 2);
}

TEST_CASE("equal operations of different items stay apart") {
    const std::string rules = rule(
        "1", "count(p in pieces where p.draw * 2 more than 1 A) = 1 and load * 2 more than 1 A");
    CHECK(count(program_of(rules), Op::multiply) == base(Op::multiply) + 2);
}

TEST_CASE("sharing keys on constants: equal numbers of different grids are told apart") {
    const std::string rules = rule("1", "load at least 3 A") + rule("2", "supply at least 3 V");
    CHECK(count(program_of(rules), Op::at_least) == base(Op::at_least) + 2);
}

TEST_CASE("what is known of logic stays open: nothing is simplified that Kleene logic keeps") {
    for (const char *condition :
         {"sealed or not sealed", "load at most load", "load * 0 = 0 A", "load - load = 0 A"})
        CHECK(trial::holds(condition, "") == "unknown");
}

TEST_CASE("the validator passes every program that is compiled") {
    CHECK(program::fault_in(program_of(rule("1", "count(p in pieces where p.loose) = 1"))).empty());
}

TEST_CASE("the validator finds broken programs") {
    const program::Program good = program_of(
        rule("1", "count(p in pieces where p.loose) = 1 and job.storeys + 1 more than share"));
    REQUIRE(program::fault_in(good).empty());
    const auto broken = [&](auto &&change) {
        program::Program p = good;
        change(p);
        return program::fault_in(p);
    };
    const program::Register sum = first(good, Op::add);
    REQUIRE(sum != program::no_register);
    CHECK_FALSE(broken([&](program::Program &p) { p.code[sum].count = 1; }).empty());
    CHECK_FALSE(broken([&](program::Program &p) { p.code[sum].space = 999; }).empty());
    CHECK_FALSE(broken([&](program::Program &p) { p.arguments[p.code[sum].first] = sum; }).empty());
    CHECK_FALSE(broken([&](program::Program &p) {
                    p.arguments[p.code[sum].first] =
                        static_cast<program::Register>(p.code.size() - 1);
                }).empty());
    const program::Register counted = first(good, Op::count_of);
    CHECK_FALSE(broken([&](program::Program &p) { p.code[counted].child = 0; }).empty());
    const program::Register gathered = first(good, Op::gather);
    REQUIRE(gathered != program::no_register);
    CHECK_FALSE(broken([&](program::Program &p) { p.code[gathered].op = Op::negation; }).empty());
    // The list that is counted hangs below another item than the one that it is counted for.
    const std::uint16_t piece = good.code[counted].child;
    CHECK(broken([&](program::Program &p) { p.spaces[piece].parent = 0; }) ==
          "instruction " + std::to_string(counted) + ": reads a register of another space");
}

TEST_CASE("a program is told as text, one instruction a line, with the names of operations") {
    const program::Program p = program_of(rule("1", "load * 1.25 at most rating"));
    const std::string text = program::disassemble(p);
    CHECK(static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n')) == p.code.size());
    CHECK(text.find(" = multiply r") != std::string::npos);
    CHECK(text.find(" = at_least r") != std::string::npos);
}

TEST_CASE("every register belongs to the space that its instruction names, once") {
    const program::Program p = trial::compiled(groundrule::book::open_book("nec-2020")).program;
    std::size_t placed = 0;
    for (std::size_t s = 0; s < p.spaces.size(); ++s) {
        for (std::size_t k = 0; k < p.spaces[s].registers.size(); ++k) {
            const program::Register r = p.spaces[s].registers[k];
            REQUIRE(p.code[r].space == s);
            REQUIRE(p.place[r] == k);
            ++placed;
        }
    }
    CHECK(placed == p.code.size());
}

TEST_CASE("no two instructions of a shipped book are equal") {
    const program::Program p = trial::compiled(groundrule::book::open_book("nec-2020")).program;
    std::vector<std::string> lines;
    for (const program::Instruction &in : p.code) {
        std::string line = std::string(program::op_name(in.op)) + " " + std::to_string(in.space) +
                           " " + std::to_string(in.child) + " " + std::to_string(in.index) + " " +
                           std::to_string(in.column) + " " + std::to_string(in.value) + " " +
                           std::to_string(in.scale);
        for (std::uint32_t k = 0; k < in.count; ++k)
            line += " r" + std::to_string(p.arguments[in.first + k]);
        lines.push_back(line);
    }
    std::sort(lines.begin(), lines.end());
    const auto twice = std::adjacent_find(lines.begin(), lines.end());
    INFO((twice == lines.end() ? "" : *twice));
    CHECK(twice == lines.end());
}

TEST_CASE("a fact that sources bound from both sides passes on its lower bound, whichever is known "
          "first") {
    const std::string words = trial::vocabulary +
                              "\nimply crate \"Least\"\n  rating = max(p in pieces : p.draw)\n"
                              "\nimply crate \"Most\"\n  rating = min(p in pieces : p.draw) + "
                              "load\n";
    const auto verdict = [&](const std::string &condition, const std::string &facts) {
        return trial::verdict(trial::compiled(trial::open(trial::rule_that(condition), {}, words)),
                              trial::crate(facts));
    };
    const std::string piece = R"("pieces":[{"draw":"10 A"}])";
    const std::string both = piece + R"(,"load":"5 A")";
    CHECK(verdict("rating at least 10 A", piece) == "complies");
    CHECK(verdict("rating at least 10 A", both) == "complies");
    CHECK(verdict("rating at most 15 A", both) == "undetermined"); // the upper bound is not told
    CHECK(verdict("rating at most 9 A", both) == "violates");
    CHECK(verdict("rating at most 15 A", both + R"(,"rating":"12 A")") == "complies");
    CHECK_THROWS(verdict("sealed", both + R"(,"rating":"16 A")")); // told to contradict itself
}

TEST_CASE("a fact with an upper bound alone passes it on") {
    const std::string words =
        trial::vocabulary + "\nimply crate \"Most\"\n  rating = min(p in pieces : p.draw)\n";
    const auto c = trial::compiled(trial::open(trial::rule_that("rating at most 15 A"), {}, words));
    CHECK(trial::verdict(c, trial::crate(R"("pieces":[{"draw":"10 A"}])")) == "complies");
}

TEST_CASE("a fact with a lower bound alone passes it on") {
    const std::string words =
        trial::vocabulary + "\nimply crate \"Least\"\n  rating = max(p in pieces : p.draw)\n";
    const auto c = trial::compiled(trial::open(trial::rule_that("rating at least 5 A"), {}, words));
    CHECK(trial::verdict(c, trial::crate(R"("pieces":[{"draw":"10 A"}])")) == "complies");
    CHECK(trial::verdict(c, trial::crate(R"("pieces":[{"draw":"4 A"}])")) == "undetermined");
}

TEST_CASE("what nests too deep ends the lowering of a book, with one fault, whatever follows") {
    std::string chain = "define f0(a : number) : number = a + 1\n";
    for (std::size_t i = 1; i < limits::definition_depth + 2; ++i)
        chain += "define f" + std::to_string(i) + "(a : number) : number = f" +
                 std::to_string(i - 1) + "(a + 1)\n";
    const std::string last = "f" + std::to_string(limits::definition_depth + 1);
    const book::Opened opened =
        trial::open(chain + rule("1", last + "(share) + " + last + "(share) at least 1") +
                    rule("2", last + "(share) at most 1") + rule("3", "sealed"));
    REQUIRE(opened.book);
    Diagnostics diagnostics;
    program::compile(*opened.book, diagnostics);
    CHECK(trial::codes(diagnostics) == "too-deep");
}
