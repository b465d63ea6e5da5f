// Builds the job that a test gives, checks it, and compares the verdict.
#include "evaluate/rule_tests.h"

#include "evaluate/check_tests.h"
#include "evaluate/decision.h"
#include "evaluate/scalar.h"
#include "evaluate/situation.h"
#include "evaluate/trace.h"

#include <algorithm>
#include <optional>

namespace groundrule::evaluate {

namespace {

using book::Book;

const char *name_of(Verdict v) {
    static constexpr const char *names[] = {"complies", "violates", "not_applicable",
                                            "undetermined"};
    return names[static_cast<std::size_t>(v)];
}

class Runner {
  public:
    Runner(const Book &book, const program::Program &program)
        : book_(book), program_(program), outcome_{0, {}, Coverage(book, program)} {}

    TestOutcome all() {
        for (const ast::TestDecl *test : tests_of(book_))
            run_test(*test);
        return std::move(outcome_);
    }

  private:
    // A test at fault is told, and not run.
    void run_test(const ast::TestDecl &test) {
        Diagnostics faults;
        check_test(book_, test, faults);
        for (const Diagnostic &d : faults.list())
            outcome_.failures.push_back(
                {d.span, d.message + (d.help.empty() ? "" : "; " + d.help)});
        if (faults.has_errors())
            return;
        const auto rule = static_cast<std::size_t>(rule_of(book_, test));
        for (const ast::TestCase &c : test.cases)
            run_case(test, c, rule);
    }

    void run_case(const ast::TestDecl &test, const ast::TestCase &c, std::size_t index) {
        ++outcome_.cases;
        Diagnostics faults;
        auto job = job_of(book_, test, c, index, faults);
        if (!job)
            return; // told above
        run(program_, *job, workspace_);
        if (!workspace_.contradictions.empty()) {
            const Contradiction &x = workspace_.contradictions.front();
            const program::Slot &slot = program_.slots[x.slot];
            outcome_.failures.push_back(
                {c.span, "the given facts contradict each other about `" +
                             book_.items[slot.item].fields[slot.field].name + "`"});
            return;
        }
        outcome_.reached.observe(index, workspace_);
        compare(c, index, *verdict_named(c.verdict.text), *job);
    }

    void compare(const ast::TestCase &c, std::size_t index, Verdict wanted, const facts::Job &job) {
        const program::RuleCode &code = program_.rules[index];
        const Verdict got = verdict(code, 0, workspace_);
        if (got != wanted) {
            std::string message = "expected " + c.verdict.text + ", the rule " +
                                  book_.rules[index].citation + " says " + name_of(got);
            if (got == Verdict::undetermined)
                message += why_open(code, job);
            outcome_.failures.push_back({c.span, message});
            return;
        }
        if (c.citation.empty())
            return;
        const std::string citation = finding_citation(book_.rules[index], code, 0, workspace_);
        if (citation != c.citation)
            outcome_.failures.push_back({c.span, "expected the citation " + c.citation +
                                                     ", the finding carries " + citation});
    }

    std::string why_open(const program::RuleCode &code, const facts::Job &job) const {
        Trace trace(book_, program_, job, workspace_);
        std::vector<Lack> lacks = trace.lacks(code.applies, 0);
        const std::vector<Lack> more = trace.lacks(code.met, 0);
        lacks.insert(lacks.end(), more.begin(), more.end());
        std::string out;
        for (const Lack &l : lacks) {
            out += out.empty() ? "; open: " : ", ";
            if (l.kind == Lack::Kind::fact) {
                const program::Slot &slot = program_.slots[l.slot];
                out += book_.items[slot.item].name + "." +
                       book_.items[slot.item].fields[slot.field].name;
            } else if (l.kind == Lack::Kind::list) {
                out += "is " + book_.items[l.space].name + "." + book_.items[l.child].list +
                       " complete";
            } else {
                out += l.kind == Lack::Kind::no_value ? l.text : "something not encoded";
            }
        }
        return out;
    }

    const Book &book_;
    const program::Program &program_;
    Workspace workspace_;
    TestOutcome outcome_;
};

} // namespace

TestOutcome run_rule_tests(const Book &book, const program::Program &program) {
    return Runner(book, program).all();
}

} // namespace groundrule::evaluate
