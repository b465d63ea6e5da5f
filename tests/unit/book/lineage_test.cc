// A requirement is followed through the editions by its topic, under whatever number it stands.

#include "trial.h"

#include "report/render.h"

#include "catch.h"

#include <nlohmann/json.hpp>

namespace {

using namespace groundrule;
using Json = nlohmann::json;

std::string stands(const book::Lineage &lineage, const std::string &topic) {
    std::string out;
    const auto known = lineage.find(topic);
    if (known == lineage.end())
        return out;
    for (const book::Standing &s : known->second)
        out += (out.empty() ? "" : ", ") + s.edition + " " + s.citation;
    return out;
}

} // namespace

// The numbers are those of the editions themselves: 625.42 of 2020 became 625.42(B) of 2023, and
// the bends of EMT moved from 358.26 to 358.24(B).
TEST_CASE("lineage: under which number a requirement stands in which edition") {
    const book::Lineage lineage = book::lineage("nec-2020");
    CHECK(stands(lineage, "dwelling_receptacle_gfci") ==
          "nec-2017 210.8(A), nec-2020 210.8(A), nec-2023 210.8(A)");
    CHECK(stands(lineage, "adjusted_rating_marked") == "nec-2020 625.42, nec-2023 625.42(B)");
    CHECK(stands(lineage, "no_such_topic").empty());
    CHECK(book::lineage("an-edition-unknown-here").empty());
}

TEST_CASE(
    "lineage: every rule of a shipped edition stands in its own edition, where the book says") {
    const book::Lineage lineage = book::lineage("nec-2020");
    for (const std::string &edition : book::shipped_editions()) {
        const book::Opened opened = book::open_book(edition);
        REQUIRE(opened.book);
        for (const book::Rule &rule : opened.book->rules) {
            const auto known = lineage.find(rule.topic);
            REQUIRE(known != lineage.end());
            std::string citation;
            for (const book::Standing &s : known->second)
                citation = s.edition == edition ? s.citation : citation;
            CHECK(citation == rule.citation);
        }
    }
}

TEST_CASE("lineage: editions of the caller's come behind those that ship, layers do not count") {
    const book::Lineage lineage = book::lineage(
        "own-1", {{"own.rules", "# Own.\nedition own-1 # invented\n  title \"Own\"\n\n"
                                "rule 9.9 \"Supports\"\n  topic nm_cable_supports\n  for run\n"
                                "  shall support_spacing at most 3 ft\n  says \"Too far.\"\n"},
                  {"city.rules", "amendment city to own-1\n  title \"City\"\n\n"
                                 "delete rule 9.9\n"}});
    CHECK(stands(lineage, "nm_cable_supports") ==
          "nec-2017 334.30, nec-2020 334.30, nec-2023 334.30, own-1 9.9");
}

TEST_CASE("lineage: a described book tells it rule by rule") {
    const book::Opened opened = book::open_book(
        "nec-2023+city", {{"city.rules", "amendment city to nec-2023\n  title \"City\"\n\n"
                                         "rule 90.1 \"Own\"\n  topic own\n  for job\n"
                                         "  shall storeys at most 3\n  says \"High.\"\n"}});
    REQUIRE(opened.book);
    const Json told = Json::parse(report::describe(*opened.book, book::lineage("nec-2023")));
    std::size_t seen = 0;
    for (const Json &rule : told["rules"]) {
        if (rule["topic"] == "own") {
            CHECK(rule["lineage"] == Json::array());
            ++seen;
        } else if (rule["topic"] == "adjusted_rating_marked") {
            CHECK(rule["lineage"] ==
                  Json::array({{{"edition", "nec-2020"}, {"citation", "625.42"}},
                               {{"edition", "nec-2023"}, {"citation", "625.42(B)"}}}));
            ++seen;
        }
    }
    CHECK(seen == 2);
}

TEST_CASE("lineage: an edition is found by the first line of a file that is no comment") {
    const std::string rest =
        "\n  title \"Own\"\n\nrule 9.9 \"Supports\"\n  topic nm_cable_supports\n"
        "  for run\n  shall support_spacing at most 3 ft\n  says \"Far.\"\n";
    for (const std::string before :
         {"", "\n\n", "# One.\n# Two.\n", "\r\n# One.\r\n\r\n", "  # In.\n"}) {
        for (const std::string after : {"", " ", "\r", "\t# invented", " # invented"}) {
            INFO("before '" << before << "' after '" << after << "'");
            const book::Lineage lineage =
                book::lineage("own-1", {{"own.rules", before + "edition own-1" + after + rest}});
            CHECK(stands(lineage, "nm_cable_supports").ends_with(", own-1 9.9"));
        }
    }
    CHECK(book::lineage("own-1", {{"own.rules", ""}, {"blank.rules", "\n \n#\n"}}).empty());
}
