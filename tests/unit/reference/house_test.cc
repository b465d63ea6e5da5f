// The house of docs/examples/house-service.json: whether its existing service has room for a
// charging unit, by each way that article 220 gives, with the arithmetic told beside it.

#include "trial.h"

#include <nlohmann/json.hpp>

#include <fstream>
#include <map>

#include "catch.h"

namespace {

using namespace groundrule;
using Json = nlohmann::json;
using Pointer = Json::json_pointer;

const Pointer service("/panels/0/supplies/0");

Json house() {
    std::ifstream file(std::string(GROUNDRULE_SOURCE_DIR) + "/docs/examples/house-service.json");
    return Json::parse(file);
}

Json rated(Json job, const std::string &amperes) {
    job[service / "breaker"] = amperes;
    return job;
}

std::string verdict(const std::string &name, const Json &job) {
    static std::map<std::string, trial::Compiled> books;
    auto found = books.find(name);
    if (found == books.end())
        found = books.emplace(name, trial::compiled(book::open_book(name))).first;
    const trial::Compiled &c = found->second;
    for (const report::Finding &f : trial::check(c, job.dump()).findings) {
        if (c.book->rules[f.rule].topic == "service_carries_load")
            return report::verdict_name(f.verdict);
    }
    return "no finding";
}

} // namespace

TEST_CASE("the house of the example: its service has room for the charging unit") {
    for (const char *book : {"nec-2017", "nec-2020", "nec-2023"})
        CHECK(verdict(book, house()) == "complies");
}

TEST_CASE("the house of the example: how small its service could be") {
    // 2,100 ft² at 3 VA, 4,500 VA of circuits, 22,700 VA of appliances, 6 kVA of cooling and 9.6
    // kVA of charging: 49,100 VA, of which 8,000 + 40 percent of 41,100 VA are 24,440 VA, 101.8 A,
    // by 220.83; a rating above 101.3 A carries them. In 2023 the garage adds 1,200 VA: 24,920 VA,
    // 103.8 A.
    for (const char *book : {"nec-2017", "nec-2020"}) {
        CHECK(verdict(book, rated(house(), "102 A")) == "complies");
        CHECK(verdict(book, rated(house(), "101 A")) == "violates");
    }
    CHECK(verdict("nec-2023", rated(house(), "104 A")) == "complies");
    CHECK(verdict("nec-2023", rated(house(), "103 A")) == "violates");
}

TEST_CASE(
    "the house of the example: a new service takes 220.82, and an open list settles nothing") {
    // 43,100 VA without cooling: 10,000 + 40 percent of 33,100 VA and 6 kVA, 29,240 VA, 121.8 A.
    Json job = house();
    job["work"] = "new";
    CHECK(verdict("nec-2020", rated(job, "122 A")) == "complies");
    CHECK(verdict("nec-2020", rated(job, "121 A")) == "violates");
    job = house();
    job[service / "complete"] = Json::array();
    CHECK(verdict("nec-2020", job) == "undetermined");
}

TEST_CASE("the house of the example: nothing is asked where nothing is new") {
    Json job = house();
    job[service / "loads" / 5 / "work"] = "existing";
    CHECK(verdict("nec-2020", job) == "not_applicable");
}
