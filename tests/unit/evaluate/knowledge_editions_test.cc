// The same of the books that ship, with the job of the documentation.

#include "evaluate/knowledge.h"

#include <fstream>
#include <random>

#include "catch.h"

namespace {

using knowledge::Json;

Json garage() {
    std::ifstream file(std::string(GROUNDRULE_SOURCE_DIR) + "/docs/examples/garage-outlet.json");
    Json job = Json::parse(file);
    knowledge::name_items(job, "job");
    return job;
}

std::vector<std::string> books() {
    std::vector<std::string> names = groundrule::book::shipped_editions();
    names.push_back("nec-2017+tia-17-2");
    names.push_back("nec-2020+harbor-city-2025");
    return names;
}

} // namespace

TEST_CASE("in shipped books no rule complies for want of one thing that the garage job says "
          "(`work` is inherited and left out)") {
    const Json whole = garage();
    for (const std::string &name : books()) {
        const trial::Compiled c = trial::compiled(groundrule::book::open_book(name));
        const auto more = knowledge::verdicts(c, whole);
        REQUIRE(more);
        std::size_t removals = 0;
        knowledge::each_removal(whole, Json::json_pointer(),
                                [&](const Json &part, const std::string &without) {
                                    ++removals;
                                    INFO(name << " without " << without);
                                    const auto less = knowledge::verdicts(c, part);
                                    REQUIRE(less);
                                    REQUIRE(knowledge::unlawful(*less, *more).empty());
                                });
        CHECK(removals > 40);
    }
}

TEST_CASE("in shipped books the garage job, told bit by bit in any order, only settles verdicts") {
    std::mt19937 random(5);
    for (const std::string &name : books()) {
        const trial::Compiled c = trial::compiled(groundrule::book::open_book(name));
        for (int order = 0; order < 4; ++order) {
            Json job = garage();
            auto more = knowledge::verdicts(c, job);
            REQUIRE(more);
            while (true) {
                std::vector<std::pair<Json, std::string>> parts;
                knowledge::each_removal(
                    job, Json::json_pointer(),
                    [&](const Json &part, const std::string &w) { parts.emplace_back(part, w); });
                if (parts.empty())
                    break;
                auto &[part, without] = parts[random() % parts.size()];
                INFO(name << " without " << without);
                const auto less = knowledge::verdicts(c, part);
                REQUIRE(less);
                REQUIRE(knowledge::unlawful(*less, *more).empty());
                job = part;
                more = less;
            }
        }
    }
}
