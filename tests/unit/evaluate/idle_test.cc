// Text that can never have a say: what is told, and what is too deep or too much to be looked at.

#include "evaluate/idle.h"
#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;

std::string told(const book::Opened &opened) {
    if (!opened.book)
        return trial::faults(opened);
    Diagnostics diagnostics;
    const program::Program program = program::compile(*opened.book, diagnostics);
    evaluate::find_idle(*opened.book, program, diagnostics);
    diagnostics.sort();
    std::string out;
    for (const Diagnostic &d : diagnostics.list())
        out += (out.empty() ? "" : "\n") + d.code + ": " + d.message;
    return out;
}

std::string rule(const std::vector<std::string> &conditions, const std::string &more = {}) {
    std::string out = "rule 1.1 \"A probe\"\n  topic probe\n  for crate\n";
    for (const std::string &c : conditions)
        out += "  where " + c + "\n";
    return out + "  shall sealed\n  says \"Not so.\"\n" + more + "\n";
}

std::string told(const std::vector<std::string> &conditions) {
    return told(trial::open(rule(conditions)));
}

const std::string never =
    "never: the rule 1.1 (probe) can never apply: its conditions exclude each other";

// Two alternatives in two alternatives and so on; none of them goes with 10 A.
std::string nested(int levels) {
    if (levels == 0)
        return "(load less than 5 A or load less than 4 A)";
    return "((approved and " + nested(levels - 1) + ") or (share at most 1 and " +
           nested(levels - 1) + "))";
}

} // namespace

TEST_CASE("never: conditions that exclude each other, in whichever order they stand") {
    const std::vector<std::vector<std::string>> excluded = {
        {"load less than 20 A", "load at least 20 A"},
        {"load at most 20 A", "load more than 20 A"},
        {"load at most 20 A", "load less than 20 A", "load at least 20 A"},
        {"load less than 20 A", "load at most 20 A", "load at least 20 A"},
        {"load at least 20 A", "load more than 20 A", "load at most 20 A"},
        {"load more than 20 A", "load at least 20 A", "load at most 20 A"},
        {"load less than 30 A", "load less than 10 A", "load at least 20 A"},
        {"load more than 10 A", "load more than 30 A", "load at most 30 A"},
        {"load at most 10 A", "load = 20 A"},
        {"load at least 30 A", "load = 20 A"},
        {"load = 20 A", "load = 20.000001 A"},
        {"not (load at most 20 A)", "not (load more than 20 A)"},
        {"colour is red", "colour is blue"},
        {"colour is one of (red, blue)", "colour is not red", "colour is not blue"},
        {"sealed", "not sealed"},
        {"not (sealed or approved)", "approved"},
        {"load at least 10 A", "sealed or load at most 5 A", "not sealed"},
    };
    for (const auto &conditions : excluded) {
        for (std::size_t turn = 0; turn < 2; ++turn) {
            std::vector<std::string> order = conditions;
            if (turn == 1)
                std::reverse(order.begin(), order.end());
            INFO(rule(order));
            CHECK(told(order) == never);
        }
    }
    // Alternatives are looked at where they are met.
    CHECK(told({"colour is green", "colour is red or colour is blue"}) == never);
    CHECK(told({"colour is red or colour is blue", "colour is green"}).empty());
}

TEST_CASE("never: conditions that leave something, or of which it is not certain, are let be") {
    const std::vector<std::vector<std::string>> possible = {
        {"load at most 20 A", "load at least 20 A"},
        {"load = 20 A", "load at most 20 A", "load at least 20 A"},
        {"load less than 20 A", "load less than 20 A", "load at least 10 A"},
        {"load more than 20 A", "load more than 20 A", "load at most 30 A"},
        {"load at most 10 A", "load less than 30 A", "load at least 10 A"},
        {"load at least 30 A", "load more than 10 A", "load at most 30 A"},
        {"load at least rating", "load less than rating"},
        {"load = 20 A", "not (load = 20 A)"},
        {"colour is one of (red, blue)", "colour is not blue"},
        {"sealed or not sealed"},
        {"not (sealed and approved)", "approved"},
    };
    for (const auto &conditions : possible) {
        INFO(rule(conditions));
        CHECK(told(conditions).empty());
    }
}

TEST_CASE("never: alternatives within alternatives are looked at to a depth, and no deeper") {
    for (const int levels : {0, 1, 2})
        CHECK(told({"load at least 10 A", nested(levels)}) == never);
    CHECK(told({"load at least 10 A", nested(3)}).empty());
    // Of a chain in which but one alternative is left, that one is followed.
    CHECK(
        told({"load at least 10 A",
              "load less than 5 A or (approved and (load less than 5 A or (approved and (load "
              "less than 5 A or (approved and (load less than 5 A or load less than 4 A))))))"}) ==
        never);
}

TEST_CASE("never: beside very many conditions alternatives are not tried one by one") {
    const auto conditions = [](int count) {
        std::vector<std::string> out = {"load at least 10 A"};
        for (int i = 1; i <= count; ++i)
            out.push_back("load * " + std::to_string(i) + " at most 9000 A");
        out.emplace_back(nested(0));
        return out;
    };
    CHECK(told(conditions(20)) == never);
    CHECK(told(conditions(260)).empty());
}

TEST_CASE("never: an exception that holds wherever its rule would") {
    CHECK(told(trial::open(rule({"load at least 10 A"}, "  except 1 where load at least 5 A\n"))) ==
          "never: the rule 1.1 (probe) can never apply: the exception 1 holds wherever it would");
    CHECK(told(trial::open(rule({"load at least 10 A"}, "  except 1 where load at least 15 A\n")))
              .empty());
}

TEST_CASE("never: one text that is idle in each of the rules that have it is told once") {
    const std::string rules =
        "rule 1.1 \"A\"\n  topic probe\n  for crate\n  where supply at most 250 V\n  shall sealed\n"
        "  says \"No.\"\n\nrule 1.2 \"B\"\n  topic other\n  for crate\n  where supply at most 200 "
        "V\n"
        "  shall approved\n  says \"No.\"\n\n";
    CHECK(told(trial::open(rules, {"add to article 1\n  except 9 \"High\" where supply more than "
                                   "300 V\n"})) ==
          "never: the exception 9 of rule 1.1 (probe) can never hold");
}

TEST_CASE("shadowed: an exception that holds only where one before it does") {
    CHECK(
        told(trial::open(rule({"sealed or approved"}, "  except 1 where load at least 10 A\n"
                                                      "  except 2 where load at least 20 A\n"))) ==
        "shadowed: the exception 2 of rule 1.1 (probe) never decides: the exception 1 holds "
        "wherever it does");
    CHECK(told(trial::open(rule({"sealed or approved"}, "  except 1 where load at least 20 A\n"
                                                        "  except 2 where load at least 10 A\n")))
              .empty());
}
