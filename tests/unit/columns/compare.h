// A table by columns and by the scalar evaluator row by row, and every fifth row by the plain
// walker.
#pragma once

#include "catch.h"
#include "frame.h"
#include "plain/walker.h"

#include "columns/row_job.h"

namespace compared {

using namespace groundrule;

struct Checked {
    std::size_t verdicts = 0;
    std::size_t decided = 0;
    std::size_t faulty = 0;
    std::size_t by_three = 0; // verdicts that the plain walker gave too
    std::size_t lacks = 0;    // facts that an open verdict was found to lack

    Checked &operator+=(const Checked &more) {
        verdicts += more.verdicts;
        decided += more.decided;
        faulty += more.faulty;
        by_three += more.by_three;
        lacks += more.lacks;
        return *this;
    }
};

// What a job tells, an item a line.
inline std::string facts_in(const book::Book &book, const facts::Job &job) {
    std::string out;
    for (std::size_t i = 0; i < book.items.size(); ++i) {
        const auto item = static_cast<std::int32_t>(i);
        for (std::size_t row = 0; row < job.rows(item).size(); ++row) {
            out += book.items[i].name + " " + job.path(item, row) + ":";
            for (std::size_t f = 0; f < book.items[i].fields.size(); ++f) {
                const book::Field &field = book.items[i].fields[f];
                const Cell &given = job.rows(item).given.at(f, row);
                if (given.known())
                    out += " " + field.name + " " + book::value_text(book, field.type, given.value);
            }
            out += "\n";
        }
    }
    return out;
}

// What the open verdicts lack, as the trace of each row finds it.
inline void compare_lacks(const book::Book &book, const columns::Plan &plan,
                          const columns::LackCounts &wanted, const columns::LackCounts &got,
                          std::uint32_t seed) {
    columns::LackCounts all = wanted;
    all.insert(got.begin(), got.end());
    const auto count_in = [](const columns::LackCounts &counts, const auto &what) {
        const auto at = counts.find(what);
        return at == counts.end() ? columns::LackCount{} : at->second;
    };
    for (const auto &[what, count] : all) {
        const columns::LackCount a = count_in(wanted, what);
        const columns::LackCount b = count_in(got, what);
        if (a.verdicts == b.verdicts && a.alone == b.alone)
            continue;
        INFO("seed " << seed << ", rule " << book.rules[plan.rules[what.first]].citation
                     << ", lack of kind " << static_cast<int>(what.second.kind) << ", index "
                     << what.second.index);
        CHECK(a.verdicts == b.verdicts);
        REQUIRE(a.alone == b.alone);
    }
}

// Every verdict of a table, each row also by the scalar evaluator.
inline Checked compare(const book::Book &book, const program::Program &program, std::int32_t item,
                       std::uint32_t seed, std::size_t rows, std::size_t threads, double share) {
    frame::Grower grower(book, program, seed, share);
    const frame::Grown grown = grower.table(item, rows);
    columns::AuditOptions options;
    options.layout = grower.options;
    options.threads = threads;
    options.plan.lacks = true;
    options.plan.read_all = seed % 2 == 0;
    const auto sets = columns::kernel_sets();
    options.kernels = sets[seed % sets.size()];
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
    columns::LackCounts lacks;
    evaluate::Workspace workspace;
    for (std::size_t row = 0; row < rows; ++row) {
        std::vector<std::string> faults;
        facts::Job job = columns::job_of(book, *table, plan.layout, row, faults);
        facts::apply_assumptions(job, options.plan.assumptions);
        std::optional<plain::Walker> walker;
        const facts::Job told = job;
        if (row % 5 == 0 && faults.empty())
            walker.emplace(book, told);
        job.inherit_work();
        evaluate::run(program, job, workspace);
        if (walker && walker->contradictory() == workspace.contradictions.empty())
            FAIL("seed " << seed << ", row " << row << ": the plain walker sees it otherwise");
        const bool faulty = !faults.empty() || !workspace.contradictions.empty();
        checked.faulty += faulty ? 1 : 0;
        if (!faulty)
            columns::count_lacks(book, program, plan, job, workspace, lacks);
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
                const bool thrice = walker && !faulty;
                const int plain =
                    thrice ? static_cast<int>(walker->verdict(plan.rules[k], i)) : wanted;
                checked.by_three += thrice ? 1 : 0;
                const int got = outcome->verdicts[k][first + i];
                ++checked.verdicts;
                checked.decided += got < 3 ? 1 : 0;
                if (got != wanted || plain != wanted) {
                    INFO((faults.empty() ? facts_in(book, job) : faults[0]));
                    INFO("seed " << seed << ", item "
                                 << book.items[static_cast<std::size_t>(item)].name << ", row "
                                 << row << ", rule " << book.rules[plan.rules[k]].citation
                                 << ", place " << i);
                    CHECK(plain == wanted);
                    REQUIRE(got == wanted);
                }
            }
        }
    }
    compare_lacks(book, plan, lacks, outcome->lacks, seed);
    for (const auto &[what, count] : lacks)
        checked.lacks += count.verdicts;
    return checked;
}

} // namespace compared
