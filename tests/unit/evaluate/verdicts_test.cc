// Verdicts alone, computed again only as far as facts changed, are those of the scalar evaluator:
// over the shipped books and jobs, and over generated changes to them. And once warm nothing is
// allocated.

#include "evaluate/dense.h"
#include "evaluate/verdicts.h"
#include "trial.h"

#include <atomic>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <new>
#include <random>

#include "catch.h"

namespace {

std::atomic<std::size_t> allocations = 0;

} // namespace

// The whole test program counts what it allocates; not under sanitizers, which bring operators of
// their own and must see which one a piece of memory came from.
#ifndef GROUNDRULE_SANITIZED
void *operator new(std::size_t size) {
    ++allocations;
    if (void *p = std::malloc(size == 0 ? 1 : size))
        return p;
    throw std::bad_alloc();
}
void operator delete(void *p) noexcept {
    std::free(p);
}
void operator delete(void *p, std::size_t) noexcept {
    std::free(p);
}
#endif

namespace {

using namespace groundrule;
using evaluate::Verdicts;

// What the scalar evaluator tells; nothing if the job contradicts itself.
std::optional<std::vector<Verdict>> by_scalar(const trial::Compiled &c, const facts::Job &job) {
    facts::Job whole = job;
    whole.inherit_work();
    evaluate::Workspace workspace;
    evaluate::run(c.program, whole, workspace);
    if (!workspace.contradictions.empty())
        return std::nullopt;
    std::vector<Verdict> out;
    for (const program::RuleCode &rule : c.program.rules) {
        for (std::size_t row = 0; row < job.rows(rule.space).size(); ++row)
            out.push_back(evaluate::verdict(rule, row, workspace));
    }
    return out;
}

std::optional<std::vector<Verdict>> by_update(Verdicts &verdicts, const trial::Compiled &c,
                                              const evaluate::Dense &dense, facts::Job &job) {
    if (verdicts.update(c.program, dense, job) == Verdicts::Outcome::contradicted)
        return std::nullopt;
    return std::vector<Verdict>(verdicts.all().begin(), verdicts.all().end());
}

class Changer {
  public:
    Changer(const trial::Compiled &c, std::uint32_t seed) : book_(*c.book), random_(seed) {}

    std::uint32_t below(std::size_t n) { return static_cast<std::uint32_t>(random_() % n); }

    // Some fact of some item that the job has.
    facts::Change place(const facts::Job &job) {
        for (;;) {
            const auto item = static_cast<std::int32_t>(below(book_.items.size()));
            const std::size_t rows = job.rows(item).size();
            if (rows > 0)
                return {item, static_cast<std::int32_t>(below(rows)),
                        static_cast<std::int32_t>(
                            below(book_.items[static_cast<std::size_t>(item)].fields.size()))};
        }
    }

    void change(facts::Job &job) {
        const facts::Change at = place(job);
        job.set(at.item, at.row, at.field, value(at));
    }

    Cell value(const facts::Change &at) {
        const book::Type &type = book_.items[static_cast<std::size_t>(at.item)]
                                     .fields[static_cast<std::size_t>(at.field)]
                                     .type;
        if (below(4) == 0)
            return {};
        switch (type.kind) {
        case ValueKind::truth:
            return exactly(below(2));
        case ValueKind::choice:
            return exactly(
                below(book_.choice_types[static_cast<std::size_t>(type.choices)].choices.size()));
        case ValueKind::conductor_size:
            return exactly(below(30));
        case ValueKind::date:
            return exactly(20000 + below(1000));
        case ValueKind::quantity:
            break;
        }
        const double figures[] = {0,   1,   2,   3,     6,      10,      12.5,  15,
                                  16,  20,  30,  40,    50,     60,      75,    90,
                                  120, 125, 240, 609.6, 1828.8, 20.0001, -10.5, 900};
        const double figure = figures[below(std::size(figures))];
        return exactly(figure < 0 && type.dimension.kelvin == 0 ? -figure : figure);
    }

  private:
    const book::Book &book_;
    std::mt19937 random_;
};

std::string text_of(const std::string &path) {
    std::ifstream file(std::string(GROUNDRULE_SOURCE_DIR) + path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

} // namespace

TEST_CASE("verdicts alone are those of the scalar evaluator, however facts change in between") {
    for (const char *name : {"nec-2017", "nec-2020", "nec-2023"}) {
        const trial::Compiled c = trial::compiled(book::open_book(name, {}));
        const evaluate::Dense dense(c.program);
        std::size_t contradicted = 0;
        std::size_t partial = 0;
        for (std::uint32_t seed = 1; seed <= 6; ++seed) {
            facts::Job job = trial::job_of(*c.book, text_of("/docs/examples/garage-outlet.json"));
            Changer changer(c, seed);
            Verdicts verdicts;
            for (int round = 0; round < 120; ++round) {
                // Mostly a fact or two; sometimes many, an item more, or a list that is complete.
                const std::uint32_t kind = changer.below(20);
                for (std::uint32_t i = kind == 0 ? 100 : 1 + changer.below(2); i > 0; --i)
                    changer.change(job);
                if (kind == 1) {
                    const facts::Change at = changer.place(job);
                    for (const std::int32_t child :
                         c.book->items[static_cast<std::size_t>(at.item)].children) {
                        if (changer.below(4) == 0)
                            job.add(child, at.row);
                    }
                }
                const auto expected = by_scalar(c, job);
                const auto told = by_update(verdicts, c, dense, job);
                INFO(name << ", seed " << seed << ", round " << round);
                REQUIRE(told == expected);
                contradicted += expected ? 0 : 1;
                partial += verdicts.steps_run() > 0 && verdicts.steps_run() < 200 ? 1 : 0;
                // What contradicts itself tells nothing: it would hide all later rounds.
                if (!expected)
                    job = trial::job_of(*c.book, text_of("/docs/examples/garage-outlet.json"));
            }
        }
        CHECK(contradicted > 0);
        CHECK(partial > 100);
    }
}

TEST_CASE("a warm check allocates nothing, and one changed fact runs a small part of the steps") {
    const trial::Compiled c = trial::compiled(book::open_book("nec-2023", {}));
    const evaluate::Dense dense(c.program);
    facts::Job job = trial::job_of(*c.book, text_of("/docs/examples/garage-outlet.json"));
    Verdicts verdicts;
    REQUIRE(verdicts.update(c.program, dense, job) == Verdicts::Outcome::told);
    const std::size_t all = verdicts.steps_run();
    const std::int32_t circuit = book::find_item(*c.book, "circuit");
    const std::int32_t breaker =
        book::find_field(c.book->items[static_cast<std::size_t>(circuit)], "breaker");
    const std::size_t before = allocations;
    for (const double amperes : {20.0, 40.0, 50.0}) {
        job.set(circuit, 0, breaker, exactly(amperes));
        REQUIRE(verdicts.update(c.program, dense, job) == Verdicts::Outcome::told);
        CHECK(verdicts.steps_run() > 0);
        CHECK(verdicts.steps_run() < all / 5);
    }
    job.unsettle();
    REQUIRE(verdicts.update(c.program, dense, job) == Verdicts::Outcome::told);
    const std::size_t after = allocations;
    CHECK(verdicts.steps_run() == all);
    CHECK(after == before);
}
