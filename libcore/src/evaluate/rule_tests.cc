// Builds the job that a test gives, checks it, and compares the verdict.
#include "evaluate/rule_tests.h"

#include "evaluate/decision.h"
#include "evaluate/scalar.h"
#include "evaluate/trace.h"
#include "facts/value_reader.h"

#include <algorithm>
#include <optional>

namespace groundrule::evaluate {

namespace {

using book::Book;

// Items and facts of a test, in the order in which they were given.
class Situation {
  public:
    Situation(const Book &book, std::vector<TestFailure> &failures)
        : book_(book), failures_(failures) {}

    void take(const std::vector<ast::TestFact> &facts) {
        for (const ast::TestFact &fact : facts)
            facts_.push_back({&fact, true});
    }

    // What follows speaks of the first items again.
    void vary() { varied_at_ = facts_.size(); }

    // The item stays; only the fact goes.
    void drop(const std::vector<std::pair<ast::Name, ast::Name>> &references) {
        for (const auto &[item, field] : references) {
            bool found = false;
            for (Given &g : facts_) {
                const bool same = g.fact->kind != ast::TestFact::Kind::another &&
                                  g.fact->item.text == item.text &&
                                  g.fact->field.text == field.text;
                g.told = g.told && !same;
                found = found || same;
            }
            if (!found)
                fail(item.span, "`" + item.text + "." + field.text +
                                    "` is not given, so it can't be left out");
        }
    }

    std::optional<facts::Job> build() {
        facts::Job job(book_);
        current_.assign(book_.items.size(), -1);
        current_[0] = 0;
        bool good = true;
        for (std::size_t i = 0; i < facts_.size(); ++i) {
            if (i == varied_at_)
                first_again(job);
            good = apply(facts_[i], job) && good;
        }
        if (!good)
            return std::nullopt;
        job.inherit_work();
        return job;
    }

    std::int32_t row_of(std::int32_t item, facts::Job &job) { return row(item, job); }

  private:
    struct Given {
        const ast::TestFact *fact;
        bool told; // false: the item is there, and nobody tells this fact
    };

    void first_again(const facts::Job &job) {
        for (std::size_t i = 0; i < current_.size(); ++i)
            current_[i] = job.rows(static_cast<std::int32_t>(i)).size() > 0 ? 0 : -1;
    }

    bool fail(Span span, std::string message) {
        failures_.push_back({span, std::move(message)});
        return false;
    }

    // The item at hand of a type; made, with the items above it, when it is first named.
    std::int32_t row(std::int32_t item, facts::Job &job) { // NOLINT(misc-no-recursion)
        std::int32_t &at = current_[static_cast<std::size_t>(item)];
        if (at < 0)
            at = job.add(item, row(book_.items[static_cast<std::size_t>(item)].parent, job));
        return current_[static_cast<std::size_t>(item)];
    }

    bool apply(const Given &given, facts::Job &job) {
        const ast::TestFact &fact = *given.fact;
        const std::int32_t item = book::find_item(book_, fact.item.text);
        if (item < 0)
            return fail(fact.item.span, "`" + fact.item.text + "` is no item");
        if (fact.kind == ast::TestFact::Kind::another) {
            if (item == 0)
                return fail(fact.item.span, "there is one job");
            row(item, job);
            current_[static_cast<std::size_t>(item)] =
                job.add(item, row(book_.items[static_cast<std::size_t>(item)].parent, job));
            // What stood in the other one stands there, not here.
            for (std::size_t i = 0; i < current_.size(); ++i) {
                if (static_cast<std::int32_t>(i) != item &&
                    is_above_or_same(book_, item, static_cast<std::int32_t>(i)))
                    current_[i] = -1;
            }
            return true;
        }
        const std::int32_t at = row(item, job);
        if (!given.told)
            return true;
        return fact.kind == ast::TestFact::Kind::complete ? mark(fact, item, at, job)
                                                          : set(fact, item, at, job);
    }

    bool mark(const ast::TestFact &fact, std::int32_t item, std::int32_t at, facts::Job &job) {
        const book::Item &type = book_.items[static_cast<std::size_t>(item)];
        for (std::size_t i = 0; i < type.children.size(); ++i) {
            if (book_.items[static_cast<std::size_t>(type.children[i])].list == fact.field.text) {
                job.mark_complete(item, at, static_cast<std::int32_t>(i), true);
                return true;
            }
        }
        return fail(fact.field.span, "`" + fact.field.text + "` is no list of " + type.name);
    }

    bool set(const ast::TestFact &fact, std::int32_t item, std::int32_t at, facts::Job &job) {
        const book::Item &type = book_.items[static_cast<std::size_t>(item)];
        const std::int32_t index = find_field(type, fact.field.text);
        if (index < 0)
            return fail(fact.field.span, "`" + fact.field.text + "` is no field of " + type.name);
        const book::Field &field = type.fields[static_cast<std::size_t>(index)];
        const std::string name = type.name + "." + field.name;
        facts::FactFault fault;
        const auto value = read(fact.value, field, name, fault);
        if (!value)
            return fail(fact.value.span,
                        fault.message + (fault.help.empty() ? "" : "; " + fault.help));
        job.set(item, at, index, exactly(*value));
        return true;
    }

    std::optional<double> read(const ast::Cell &cell, const book::Field &field,
                               const std::string &name, facts::FactFault &fault) const {
        if (cell.kind == ast::Cell::Kind::word && (cell.word == "yes" || cell.word == "no") &&
            field.type.is_truth())
            return cell.word == "yes" ? 1 : 0;
        if (cell.kind == ast::Cell::Kind::word)
            return value_from_text(book_, field, name, cell.word, fault);
        const bool fits =
            cell.kind == ast::Cell::Kind::literal && cell.literal.kind == field.type.kind &&
            (!field.type.is_quantity() || cell.literal.dimension == field.type.dimension);
        if (!fits) {
            fault.message = name + " has another type";
            return std::nullopt;
        }
        return facts::admitted(field, name, cell.literal.value, fault);
    }

    const Book &book_;
    std::vector<TestFailure> &failures_;
    std::vector<Given> facts_;
    std::size_t varied_at_ = static_cast<std::size_t>(-1);
    std::vector<std::int32_t> current_;
};

std::optional<Verdict> verdict_named(const std::string &name) {
    if (name == "complies")
        return Verdict::complies;
    if (name == "violates")
        return Verdict::violates;
    if (name == "not_applicable")
        return Verdict::not_applicable;
    return name == "undetermined" ? std::optional(Verdict::undetermined) : std::nullopt;
}

const char *name_of(Verdict v) {
    static constexpr const char *names[] = {"complies", "violates", "not_applicable",
                                            "undetermined"};
    return names[static_cast<std::size_t>(v)];
}

class Runner {
  public:
    Runner(const Book &book, const program::Program &program)
        : book_(book), program_(program), coverage_(book, program) {}

    TestOutcome all() {
        const std::string edition = book_.layers.front().name;
        for (const ast::File &file : book_.files) {
            if (!in_book(file, edition))
                continue;
            for (const ast::Decl &decl : file.decls) {
                const bool ours =
                    decl.editions.empty() ||
                    std::any_of(decl.editions.begin(), decl.editions.end(),
                                [&](const ast::Name &n) { return n.text == edition; });
                if (decl.kind == ast::DeclKind::test && ours)
                    run_test(std::get<ast::TestDecl>(decl.body));
            }
        }
        outcome_.unreached = coverage_.unreached();
        outcome_.rules = coverage_.rules();
        outcome_.parts = coverage_.parts();
        outcome_.cells = coverage_.cells();
        return std::move(outcome_);
    }

  private:
    // An edition's own tests hold for the edition alone: a layer above may have changed what they
    // expect.
    bool in_book(const ast::File &file, const std::string &edition) const {
        if (file.decls.empty() || file.decls.front().kind > ast::DeclKind::amendment)
            return false;
        const auto &header = std::get<ast::Header>(file.decls.front().body);
        const auto named = [&](const std::string &layer) {
            return std::any_of(header.names.begin(), header.names.end(),
                               [&](const ast::Name &n) { return n.text == layer; });
        };
        return book_.layers.size() == 1 ? named(edition) : named(book_.layers.back().name);
    }

    void run_test(const ast::TestDecl &test) {
        const auto rule =
            std::find_if(book_.rules.begin(), book_.rules.end(),
                         [&](const book::Rule &r) { return r.topic == test.topic.text; });
        if (rule == book_.rules.end()) {
            outcome_.failures.push_back(
                {test.topic.span, "no rule of this book has the topic `" + test.topic.text + "`"});
            return;
        }
        const auto index = static_cast<std::size_t>(rule - book_.rules.begin());
        for (const ast::TestCase &c : test.cases)
            run_case(test, c, index);
    }

    void run_case(const ast::TestDecl &test, const ast::TestCase &c, std::size_t index) {
        ++outcome_.cases;
        const auto wanted = verdict_named(c.verdict.text);
        if (!wanted) {
            outcome_.failures.push_back(
                {c.verdict.span,
                 "`" + c.verdict.text +
                     "` is no verdict; complies, violates, not_applicable or undetermined"});
            return;
        }
        Situation situation(book_, outcome_.failures);
        situation.take(test.given);
        situation.drop(c.without);
        situation.vary();
        situation.take(c.with);
        auto job = situation.build();
        if (!job)
            return;
        const std::int32_t item = book_.rules[index].item;
        if (job->rows(item).size() == 0) {
            situation.row_of(item, *job);
            job->inherit_work();
        }
        run(program_, *job, workspace_);
        if (!workspace_.contradictions.empty()) {
            const Contradiction &x = workspace_.contradictions.front();
            const program::Slot &slot = program_.slots[x.slot];
            outcome_.failures.push_back(
                {c.span, "the given facts contradict each other about `" +
                             book_.items[slot.item].fields[slot.field].name + "`"});
            return;
        }
        coverage_.observe(index, workspace_);
        compare(c, index, *wanted, *job);
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
    Coverage coverage_;
    Workspace workspace_;
    TestOutcome outcome_;
};

} // namespace

TestOutcome run_rule_tests(const Book &book, const program::Program &program) {
    return Runner(book, program).all();
}

} // namespace groundrule::evaluate
