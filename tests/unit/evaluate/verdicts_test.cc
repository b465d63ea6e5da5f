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

TEST_CASE("verdicts of a job that is too large to be laid out are those of the scalar evaluator") {
    const std::string words = trial::vocabulary +
                              "\nimply piece \"What draws much is fixed\"\n"
                              "  loose = if draw more than 20 A then no otherwise unknown\n";
    std::string sum = "draw";
    for (int k = 1; k <= 30; ++k)
        sum += " + draw * " + std::to_string(k);
    const trial::Compiled c = trial::compiled(
        trial::open("rule 1.1 \"R\"\n  topic r\n  for piece\n  where loose\n  shall " + sum +
                        " at most crate.load\n  says \"No.\"\n",
                    {}, words));
    const evaluate::Dense dense(c.program);
    const std::int32_t crate = book::find_item(*c.book, "crate");
    const std::int32_t piece = book::find_item(*c.book, "piece");
    const auto field = [&](std::int32_t item, const char *name) {
        return book::find_field(c.book->items[static_cast<std::size_t>(item)], name);
    };
    facts::Job job(*c.book);
    job.set(0, 0, 0, exactly(0));
    job.add(crate, 0);
    job.set(crate, 0, field(crate, "load"), exactly(4000));
    constexpr std::int32_t pieces = 6000;
    for (std::int32_t i = 0; i < pieces; ++i) {
        job.add(piece, 0);
        job.set(piece, i, field(piece, "draw"), exactly(i % 19));
        if (i % 3 != 0)
            job.set(piece, i, field(piece, "loose"), exactly(i % 3 - 1));
    }
    Verdicts verdicts;
    const auto told = by_update(verdicts, c, dense, job);
    CHECK_FALSE(verdicts.laid_out());
    REQUIRE(told);
    CHECK(told == by_scalar(c, job));
    for (const Verdict v :
         {Verdict::complies, Verdict::violates, Verdict::not_applicable, Verdict::undetermined})
        CHECK(std::find(told->begin(), told->end(), v) != told->end());
    job.set(piece, 2, field(piece, "draw"), exactly(30)); // loose, and so it can't be
    CHECK_FALSE(by_update(verdicts, c, dense, job));
    job.set(piece, 2, field(piece, "loose"), {});
    CHECK(by_update(verdicts, c, dense, job) == by_scalar(c, job));
}

TEST_CASE(
    "verdicts alone: a choice among more than a word has bits, and a kind of work that a fact "
    "implies") {
    std::string choices;
    for (int i = 0; i < 70; ++i)
        choices += (i == 0 ? "c" : ", c") + std::to_string(i);
    const std::string words = trial::vocabulary +
                              "\nitem drum in job as drums \"A drum\"\n  kind : "
                              "one of (" +
                              choices + ") choice \"Which kind?\"\n" +
                              "  old  : yes_no measure \"Is it old?\"\n" +
                              "\nimply drum \"Old drums stood there\"\n"
                              "  work = if old then existing otherwise unknown\n";
    const trial::Compiled c = trial::compiled(
        trial::open("rule 1.1 \"R\"\n  topic r\n  for drum\n  shall kind is one of (c3, c63, c64, "
                    "c69)\n  says \"No.\"\n",
                    {}, words));
    const evaluate::Dense dense(c.program);
    const std::int32_t drum = book::find_item(*c.book, "drum");
    facts::Job job(*c.book);
    job.add(drum, 0);
    Verdicts verdicts;
    const auto check = [&](Verdict expected) {
        const auto told = by_update(verdicts, c, dense, job);
        REQUIRE(told);
        CHECK(told == by_scalar(c, job));
        CHECK(told->front() == expected);
    };
    for (int i = 0; i < 70; ++i) {
        job.set(drum, 0, 1, exactly(i));
        check(i == 3 || i == 63 || i == 64 || i == 69 ? Verdict::complies : Verdict::undetermined);
        job.assume(drum, 0, 0, exactly(0)); // new, as long as nobody tells
        check(i == 3 || i == 63 || i == 64 || i == 69 ? Verdict::complies : Verdict::violates);
        job.set(drum, 0, 2, exactly(1));
        check(Verdict::not_applicable);
        job.set(drum, 0, 2, exactly(0));
        check(i == 3 || i == 63 || i == 64 || i == 69 ? Verdict::complies : Verdict::violates);
        job.set(drum, 0, 2, {});
        job.assume(drum, 0, 0, {});
    }
}
