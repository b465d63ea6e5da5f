// Expressions as a rule writes them, run over one job.

#include "trial.h"

#include "catch.h"

using trial::holds;

TEST_CASE("a rule compares on the grid: 50 A × 1.16 is at most 58 A") {
    CHECK(holds("load * 1.16 at most 58 A", R"("load":"50 A")") == "yes");
    CHECK(holds("load * 125 % = 50 A", R"("load":"40 A")") == "yes");
    CHECK(holds("load * 1.16 at most 57.999999 A", R"("load":"50 A")") == "no");
}

TEST_CASE("units are worked out: amperes times volts are compared with volt-amperes") {
    CHECK(holds("load * supply at most 9.6 kVA", R"("load":"40 A","supply":"240 V")") == "yes");
    CHECK(holds("supply / load = 6 ohm", R"("load":"40 A","supply":"240 V")") == "yes");
}

TEST_CASE("a point less a point is a difference, and a point with a difference a point") {
    CHECK(holds("heat - 30 °C at most 10 °C rise", R"("heat":"40 °C")") == "yes");
    CHECK(holds("heat + 10 °C rise at most 49 °C", R"("heat":"40 °C")") == "no");
    CHECK(holds("heat = 30 °C", R"("heat":"86 °F")") == "yes");
}

TEST_CASE("an unknown operand leaves a comparison open unless the rest decides") {
    CHECK(holds("load at most 50 A", "") == "unknown");
    CHECK(holds("load at most 50 A or sealed", R"("sealed":true)") == "yes");
    CHECK(holds("load at most 50 A and sealed", R"("sealed":false)") == "no");
    CHECK(holds("larger_of(load, 60 A) at most 50 A", "") == "no");
    CHECK(holds("smaller_of(load, 40 A) at most 50 A", "") == "yes");
    CHECK(holds("load at most load", "") == "unknown");
    CHECK(holds("sealed or not sealed", "") == "unknown");
}

TEST_CASE("both ends of a range belong to it") {
    for (const char *inside : {"10 A", "15 A", "20 A"})
        CHECK(holds("load from 10 A to 20 A", std::string(R"("load":")") + inside + "\"") == "yes");
    CHECK(holds("load from 10 A to 20 A", R"("load":"9.999999 A")") == "no");
    CHECK(holds("load from 10 A to 20 A", R"("load":"20.000001 A")") == "no");
}

TEST_CASE("choices are told apart by is and is not, alone and in sets") {
    CHECK(holds("colour is red", R"("colour":"red")") == "yes");
    CHECK(holds("colour is not red", R"("colour":"red")") == "no");
    CHECK(holds("colour is one of (red, blue)", R"("colour":"blue")") == "yes");
    CHECK(holds("colour is not one of (red, blue)", R"("colour":"green")") == "yes");
    CHECK(holds("colour is not red", "") == "unknown");
}

TEST_CASE("a conditional quantity is unknown with its condition, a truth where branches differ") {
    CHECK(holds("(if sealed then 10 A otherwise 10 A) at most 50 A", "") == "unknown");
    CHECK(holds("if sealed then load at most 50 A otherwise load at most 60 A",
                R"("load":"40 A")") == "yes");
    CHECK(holds("if sealed then load at most 50 A otherwise load at most 60 A",
                R"("load":"55 A")") == "unknown");
    CHECK(holds("(if sealed then 10 A otherwise 60 A) at most 50 A", R"("sealed":true)") == "yes");
}

TEST_CASE("conductor sizes and dates are ordered") {
    CHECK(holds("wire at least 8 AWG", R"("wire":"6 AWG")") == "yes");
    CHECK(holds("wire at least 8 AWG", R"("wire":"10 AWG")") == "no");
    CHECK(holds("wire at least 4/0 AWG", R"("wire":"250 kcmil")") == "yes");
    CHECK(holds("made less than 2021-07-01", R"("made":"2021-06-30")") == "yes");
    CHECK(holds("made less than 2021-07-01", R"("made":"2021-07-01")") == "no");
}

TEST_CASE("rounding goes down, up, or to the nearest with halves up") {
    CHECK(holds("round_down(load to 5 A) = 50 A", R"("load":"54.9 A")") == "yes");
    CHECK(holds("round_up(load to 5 A) = 55 A", R"("load":"50.1 A")") == "yes");
    CHECK(holds("round_nearest(load to 5 A) = 55 A", R"("load":"52.5 A")") == "yes");
    CHECK(holds("round_nearest(load to 0 A) = 55 A", R"("load":"52.5 A")") == "unknown");
}

TEST_CASE("division by zero is unknown, never a guess") {
    CHECK(holds("supply / load at most 6 ohm", R"("load":"0 A","supply":"240 V")") == "unknown");
}

TEST_CASE("completeness of a list is yes or unknown, never no") {
    CHECK(holds("complete(pieces)", R"("complete":["pieces"])") == "yes");
    CHECK(holds("complete(pieces)", R"("pieces":[{}])") == "unknown");
}

TEST_CASE("a search takes the first element that fits, and stops at the first unknown") {
    const std::string list = "list \"steps\" \"Steps\" of current\n  = 15 A, 20 A, 30 A\n\n";
    const auto verdict = [&](const std::string &condition, const std::string &facts) {
        return trial::verdict(trial::compiled(list + trial::rule_that(condition)),
                              trial::crate(facts));
    };
    const std::string smallest = "smallest(s in list \"steps\" where s at least load) = 20 A";
    CHECK(verdict(smallest, R"("load":"15.1 A")") == "complies");
    CHECK(verdict(smallest, R"("load":"20 A")") == "complies");
    CHECK(verdict(smallest, R"("load":"20.1 A")") == "violates");
    CHECK(verdict(smallest, R"("load":"30.1 A")") == "undetermined");
    CHECK(verdict(smallest, "") == "undetermined");
    const std::string largest = "largest(s in list \"steps\" where s at most load) = 20 A";
    CHECK(verdict(largest, R"("load":"29.9 A")") == "complies");
    CHECK(verdict(largest, R"("load":"30 A")") == "violates");
    CHECK(verdict(largest, R"("load":"14 A")") == "undetermined");
    const std::string mixed =
        "smallest(s in list \"steps\" where s at least 20 A or sealed) = 15 A";
    CHECK(verdict(mixed, "") == "undetermined");
    CHECK(verdict(mixed, R"("sealed":true)") == "complies");
    CHECK(verdict(mixed, R"("sealed":false)") == "violates");
}

TEST_CASE("a search without a condition takes the first element, from either end") {
    const std::string list = "list \"steps\" \"Steps\" of current\n  = 15 A, 20 A, 30 A\n\n";
    const auto verdict = [&](const std::string &condition) {
        return trial::verdict(trial::compiled(list + trial::rule_that(condition)),
                              trial::crate(""));
    };
    CHECK(verdict("smallest(s in list \"steps\") = 15 A") == "complies");
    CHECK(verdict("largest(s in list \"steps\") = 30 A") == "complies");
}

TEST_CASE("a search compares its element with what it likes: itself, facts, elements of others") {
    const std::string lists = "list \"steps\" \"Steps\" of current\n  = 15 A, 20 A, 30 A\n\n"
                              "list \"more\" \"More\" of current\n  = 5 A, 20 A, 25 A\n\n";
    const auto found = [&](const std::string &where, const std::string &expected) {
        const std::string condition =
            "smallest(s in list \"steps\" where " + where + ") = " + expected;
        return trial::verdict(trial::compiled(lists + trial::rule_that(condition)),
                              trial::crate(R"("load":"20 A")"));
    };
    CHECK(found("s at least s", "15 A") == "complies");
    CHECK(found("s at most load", "15 A") == "complies");
    CHECK(found("load at least s", "15 A") == "complies");
    CHECK(found("s at least load", "20 A") == "complies");
    CHECK(found("s at least smallest(t in list \"more\" where t at least load)", "20 A") ==
          "complies");
    // Of the first that is at least 15 A, 20 A is; of that at least 20 A likewise.
    CHECK(found("s at least smallest(t in list \"more\" where t at least s)", "20 A") ==
          "complies");
    CHECK(found("smallest(t in list \"more\" where s at least t) = 5 A", "15 A") == "complies");
    CHECK(found("smallest(t in list \"more\" where t at least s) = 25 A", "30 A") ==
          "undetermined"); // none of the others reaches 30 A
}

TEST_CASE("any asks whether there is an item where a condition holds, also without a further one") {
    CHECK(holds("any(p in pieces where p.loose)", R"("pieces":[{"loose":true}])") == "yes");
    CHECK(holds("any(p in pieces where p.loose)", R"("pieces":[{}])") == "unknown");
    CHECK(holds("any(p in pieces)", R"("pieces":[{}])") == "yes");
    CHECK(holds("any(p in pieces)", R"("pieces":[],"complete":["pieces"])") == "no");
}
