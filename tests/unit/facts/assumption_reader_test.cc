// Files of assumptions: what is read, and every fault with its place.

#include "facts/json_reader.h"

#include "trial.h"

#include "catch.h"

namespace {

using namespace groundrule;

const book::Book &a_book() {
    static const trial::Compiled c = trial::compiled(trial::rule_that("sealed"));
    return *c.book;
}

struct Read {
    std::vector<facts::Assumption> assumptions;
    Diagnostics faults;
};

Read read(const std::string &json) {
    Read out;
    out.assumptions = facts::assumptions_from_json(a_book(), json, "assume.json", out.faults);
    return out;
}

std::string codes(const std::string &json) {
    return trial::codes(read(json).faults);
}

} // namespace

TEST_CASE("a file of assumptions names facts by item and field") {
    const Read good = read(R"({"note":"n","assume":{"crate.load":"30 A","crate.sealed":true,)"
                           R"("crate.share":0.5,"piece.loose":false}})");
    CHECK(good.faults.size() == 0);
    REQUIRE(good.assumptions.size() == 4);
    CHECK(good.assumptions[0].value == 30);
    CHECK(good.assumptions[1].value == 1);
    CHECK(good.assumptions[2].value == 0.5);
    const Read bad = read(R"({"assume":{"crate.laod":"30 A","crate.load":30}})");
    CHECK(trial::codes(bad.faults) == "unknown-field no-unit");
    CHECK(bad.faults.list().front().help == "did you mean \"crate.load\"?");
}

TEST_CASE("an assumption of what is no item, and of an item as a whole, is no fact") {
    CHECK(codes(R"({"assume":{"crat.load":"30 A"}})") == "unknown-field");
    CHECK(codes(R"({"assume":{"load":"30 A"}})") == "unknown-field");
    CHECK(codes(R"({"assume":{"crate":"30 A"}})") == "unknown-field");
}

TEST_CASE("a file of assumptions holds facts under `assume`, a note, and nothing else") {
    CHECK(codes(R"({"asume":{"crate.load":"30 A"}})") == "unknown-field");
    CHECK(codes(R"({"note":"n"})").empty());
    for (const char *misplaced :
         {"3", "true", "\"crate.load\"", "null", "[]", R"({"assume":[]})", R"({"assume":"30 A"})",
          R"({"assume":null})", R"({"note":3})", R"({"assume":{"crate.load":null}})",
          R"({"assume":{"crate.load":["30 A"]}})",
          R"({"assume":{"crate.load":{"value":"30 A"}}})"}) {
        INFO(misplaced);
        CHECK(codes(misplaced) == "wrong-type");
    }
}

TEST_CASE("what stands in a note is never assumed") {
    const Read r = read(R"({"note":{"crate.load":"30 A"}})");
    CHECK(trial::codes(r.faults) == "wrong-type");
    CHECK(r.assumptions.empty());
}

TEST_CASE("a fact is assumed once: which of two values holds is not for their order to say") {
    const Read r = read(R"({"assume":{"crate.load":"30 A","crate.rating":"30 A",)"
                        R"("crate.load":"40 A"}})");
    CHECK(trial::codes(r.faults) == "given-twice");
    CHECK(render(r.faults, {}).find("\"crate.load\" stands twice in this file") !=
          std::string::npos);
}
