// What an amendment's changes amount to: stricter or laxer, or nothing that a check depends on.

#include "trial.h"

#include "book/compare.h"
#include "book/digest.h"
#include "book/show.h"
#include "report/render.h"

#include "catch.h"

#include <nlohmann/json.hpp>

namespace {

using namespace groundrule;

const std::string base =
    "rule 1.1 \"Seals\"\n  topic seals\n  for crate\n  where volts : supply at "
    "most 250 V\n  shall sealed\n  says \"Open.\"\n"
    "  except 1 \"Approved\" where approved\n\n"
    "rule 1.2 \"Uses permitted\"\n  topic uses\n  for crate\n"
    "  says \"Not so.\"\n  permits (1) \"Red\" where colour is red\n"
    "  permits (2) \"Cool\" where heat at most 40 °C\n\n";

// "seals laxer": each rule that differs, and in which direction.
std::string effect(const std::string &amendment) {
    const book::Opened before = trial::open(base);
    const book::Opened after = trial::open(base, {amendment});
    if (!after.book)
        return trial::faults(after);
    std::string out;
    for (const book::RuleChange &c : book::compare(*before.book, *after.book).rules)
        out += (out.empty() ? "" : ", ") + c.topic + " " + book::effect_name(c.effect);
    return out;
}

} // namespace

TEST_CASE("narrowing a requirement is told as laxer, widening it as stricter") {
    CHECK(effect("narrow rule 1.1 to where made at least 2020-01-01\n") == "seals laxer");
    CHECK(effect("narrow condition volts of rule 1.1 to where colour is red\n") == "seals laxer");
    CHECK(effect("widen rule 1.1 to where colour is red\n") == "seals stricter");
    CHECK(effect("widen condition volts of rule 1.1 to where colour is red\n") == "seals stricter");
    CHECK(effect("delay rule 1.1 until 2030-01-01\n") == "seals laxer");
    CHECK(effect("delete rule 1.1\n") == "seals laxer");
}

TEST_CASE("narrowing a permission is told as stricter, widening it as laxer") {
    CHECK(effect("narrow rule 1.2(2) to where colour is green\n") == "uses stricter");
    CHECK(effect("widen rule 1.2(2) to where colour is green\n") == "uses laxer");
    CHECK(effect("delete rule 1.2(2)\n") == "uses stricter");
}

TEST_CASE("narrowing an exception is told as stricter, widening it as laxer") {
    CHECK(effect("narrow exception 1 of rule 1.1 to where colour is red\n") == "seals stricter");
    CHECK(effect("widen exception 1 of rule 1.1 to where colour is red\n") == "seals laxer");
    CHECK(effect("delete exception 1 of rule 1.1\n") == "seals stricter");
}

TEST_CASE("administrative text is recorded and listed, and no verdict depends on it") {
    const std::string text = "administrative 80.19 \"The council sets the fees (invented).\"\n";
    const trial::Compiled before = trial::compiled(base);
    const trial::Compiled after = trial::compiled(base, {text});
    REQUIRE(after.book->administrative.size() == 1);
    CHECK(after.book->administrative.front().citation == "80.19");
    CHECK(after.book->layers[static_cast<std::size_t>(after.book->administrative.front().layer)]
              .name == "layer-1");
    CHECK(book::digest_of(*after.book) == book::digest_of(*before.book));
    CHECK(after.book->rules.size() == before.book->rules.size());
    CHECK(book::printed_changes(*after.book).find("80.19 (administrative)") != std::string::npos);
    CHECK(effect(text).empty());

    const std::string job = trial::crate(R"("supply":"120 V","sealed":false,"approved":false)");
    const report::Report report = trial::check(after, job);
    CHECK(report.findings.size() == trial::check(before, job).findings.size());
    for (const report::Finding &f : report.findings)
        CHECK(f.citation != "80.19");
    const auto described = nlohmann::json::parse(report::describe(*after.book, {}));
    REQUIRE(described["administrative"].size() == 1);
    CHECK(described["administrative"][0]["citation"] == "80.19");
    CHECK(described["administrative"][0]["says"] == "The council sets the fees (invented).");
    CHECK(described["administrative"][0]["layer"] == "layer-1");
    for (const auto &gap : described["not_encoded"])
        CHECK(gap["citation"] != "80.19");
}
