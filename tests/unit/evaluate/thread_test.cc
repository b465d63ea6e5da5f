// One book serves any number of threads.

#include "trial.h"

#include "report/render.h"

#include <thread>

#include "catch.h"

TEST_CASE("thread: eight threads check different jobs on one book at once, with equal results") {
    const trial::Compiled c = trial::compiled(groundrule::book::open_book("nec-2020"));
    const auto job = [](std::size_t k) {
        return R"({"work":"new","occupancy":"one_family_dwelling","panels":[{"circuits":[{)"
               R"("system":"120/240 V, 1-phase, 3-wire","neutral":true,"breaker":")" +
               std::to_string(20 + 5 * k) +
               R"( A","receptacles":[{"configuration":"14-50R","location":"garage","gfci":")" +
               (k % 2 == 0 ? "none" : "class_a") + R"("}]}]}]})";
    };
    constexpr std::size_t count = 8;
    std::vector<std::string> alone;
    for (std::size_t k = 0; k < count; ++k)
        alone.push_back(groundrule::report::to_json(trial::check(c, job(k))));
    for (std::size_t k = 1; k < count; ++k)
        CHECK(alone[k] != alone[k - 1]);
    std::vector<std::size_t> equal(count, 0);
    std::vector<std::thread> threads;
    constexpr std::size_t rounds = 20;
    for (std::size_t t = 0; t < count; ++t) {
        threads.emplace_back([&, t] {
            for (std::size_t round = 0; round < rounds; ++round) {
                const std::size_t k = (t + round) % count;
                equal[t] +=
                    groundrule::report::to_json(trial::check(c, job(k))) == alone[k] ? 1 : 0;
            }
        });
    }
    for (std::thread &thread : threads)
        thread.join();
    CHECK(equal == std::vector<std::size_t>(count, rounds));
}
