// Clauses of many kinds, written in the language alone: tests/cases/clauses.
#include "cases/trial.h"
#include "evaluate/check_tests.h"
#include "evaluate/rule_tests.h"
#include "trial.h"

#include "catch.h"

#include <algorithm>

namespace {

using namespace groundrule;

trial::Compiled clauses() {
    const auto file = [](const std::string &name) {
        return book::NamedText{
            name, cases::read_file(cases::source_dir() / "tests/cases/clauses" / name)};
    };
    return trial::compiled(
        book::open_book("clauses", {file("facts.rules"), file("edition.rules")}));
}

} // namespace

TEST_CASE("clauses of every kind: their own tests hold") {
    const trial::Compiled c = clauses();
    const evaluate::TestOutcome outcome = evaluate::run_rule_tests(*c.book, c.program);
    for (const evaluate::TestFailure &f : outcome.failures) {
        const SourceText &source = c.book->sources[f.span.file];
        FAIL_CHECK(source.name() << ":" << source.place(f.span.begin).line << ": " << f.message);
    }
    CHECK(outcome.cases > 45);
    CHECK(outcome.reached.rules().reached == outcome.reached.rules().all);
    CHECK(outcome.reached.parts().reached == outcome.reached.parts().all);
}

TEST_CASE("values stand in messages as the trade writes them") {
    const trial::Compiled c = clauses();
    const report::Report r =
        trial::check(c, R"({"work":"new","cases":[{"space":"20.5 in³","needed":"22.25 in3",)"
                        R"("run":"6 ft 6 in","cable_size":"1/0 AWG"}],)"
                        R"("boards":[{"sets":2,"line":"1 AWG"}]})");
    const auto says = [&](const std::string &topic) {
        const auto f =
            std::find_if(r.findings.begin(), r.findings.end(), [&](const report::Finding &x) {
                return c.book->rules[x.rule].topic == topic;
            });
        return f == r.findings.end() ? std::string("no finding") : f->says;
    };
    CHECK(says("box_volume") ==
          "22.25 in³ are needed, the box has 20.5 in³; 1/0 AWG, 6 ft 6 in free.");
    CHECK(says("parallel_size") == "2 × 1 AWG in parallel: 1/0 AWG at least.");
}
