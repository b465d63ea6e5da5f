// The columnar evaluator gives what the scalar evaluator gives, on every input: shipped editions
// and books of every operation, over random tables.
#include "catch.h"
#include "frame.h"

#include "columns/row_job.h"

namespace {

using namespace groundrule;

struct Checked {
    std::size_t verdicts = 0;
    std::size_t decided = 0;
    std::size_t faulty = 0;
};

// Every verdict of a table, each row also by the scalar evaluator.
Checked compare(const book::Book &book, const program::Program &program, std::int32_t item,
                std::uint32_t seed, std::size_t rows, std::size_t threads) {
    frame::Grower grower(book, program, seed);
    const frame::Grown grown = grower.table(item, rows);
    columns::AuditOptions options;
    options.layout = grower.options;
    options.threads = threads;
    if (grower.chance(0.8))
        options.plan.assumptions.push_back({0, 0, 0}); // the job's work is new
    for (std::size_t i = 1; i < book.items.size(); ++i) {
        for (std::size_t f = 0; f < book.items[i].fields.size(); ++f) {
            const book::Field &field = book.items[i].fields[f];
            if (field.type.is_truth() && grower.chance(0.1))
                options.plan.assumptions.push_back(
                    {static_cast<std::int32_t>(i), static_cast<std::int32_t>(f), 1});
            if (field.type == book::quantity_type(dimension::current) && grower.chance(0.1))
                options.plan.assumptions.push_back(
                    {static_cast<std::int32_t>(i), static_cast<std::int32_t>(f), 20});
        }
    }
    Diagnostics diagnostics;
    auto audit = columns::Audit::open(book, program, *grown.schema, options, diagnostics);
    INFO(render(diagnostics, {}));
    REQUIRE(audit);
    std::string fault;
    const auto outcome = audit->batch(*grown.array, fault);
    INFO(fault);
    REQUIRE(outcome);
    const columns::Plan &plan = audit->plan();
    const auto table = columns::table_of(plan.layout, *grown.array, fault);
    REQUIRE(table);

    Checked checked;
    evaluate::Workspace workspace;
    for (std::size_t row = 0; row < rows; ++row) {
        std::vector<std::string> faults;
        facts::Job job = columns::job_of(book, *table, plan.layout, row, faults);
        job.inherit_work();
        facts::apply_assumptions(job, options.plan.assumptions);
        evaluate::run(program, job, workspace);
        const bool faulty = !faults.empty() || !workspace.contradictions.empty();
        checked.faulty += faulty ? 1 : 0;
        for (std::size_t k = 0; k < plan.rules.size(); ++k) {
            const program::RuleCode &code = program.rules[plan.rules[k]];
            const auto tier = static_cast<std::size_t>(plan.layout.tier_of[code.space]);
            const std::size_t first =
                tier == 0 ? row : static_cast<std::size_t>(outcome->offsets[tier][row]);
            const std::size_t count =
                tier == 0 ? 1 : static_cast<std::size_t>(outcome->offsets[tier][row + 1]) - first;
            REQUIRE(count == workspace.rows_in(code.space));
            for (std::size_t i = 0; i < count; ++i) {
                const int wanted = faulty ? columns::no_verdict
                                          : static_cast<int>(evaluate::verdict(code, i, workspace));
                const int got = outcome->verdicts[k][first + i];
                ++checked.verdicts;
                checked.decided += got < 3 ? 1 : 0;
                if (got != wanted) {
                    INFO("seed " << seed << ", item "
                                 << book.items[static_cast<std::size_t>(item)].name << ", row "
                                 << row << ", rule " << book.rules[plan.rules[k]].citation
                                 << ", place " << i);
                    REQUIRE(got == wanted);
                }
            }
        }
    }
    return checked;
}

Checked compare_all(const book::Book &book, const program::Program &program, std::size_t tables,
                    std::size_t rows) {
    Checked all;
    for (std::uint32_t seed = 1; seed <= tables; ++seed) {
        const auto item = static_cast<std::int32_t>(seed % book.items.size());
        const Checked c = compare(book, program, item, seed, rows, 1 + seed % 3);
        all.verdicts += c.verdicts;
        all.decided += c.decided;
        all.faulty += c.faulty;
    }
    return all;
}

} // namespace

TEST_CASE("columns: shipped editions give the verdicts of the scalar evaluator on random tables") {
    for (const char *name : {"nec-2017+tia-17-2", "nec-2020", "nec-2023"}) {
        const trial::Compiled compiled = trial::compiled(book::open_book(name, {}));
        const Checked all = compare_all(*compiled.book, compiled.program, 24, 150);
        WARN(name << ": " << all.verdicts << " verdicts, " << all.decided << " decided, "
                  << all.faulty << " faulty rows");
        CHECK(all.verdicts > 10000);
        CHECK(all.decided > all.verdicts / 20);
    }
}
