// Rule by rule: the jobs of a rule's tests are made once and tried on every mutant that the rule
// reads and no other rule has killed.
#include "mutate/mutation.h"

#include "evaluate/check_tests.h"
#include "evaluate/situation.h"
#include "mutate/mutants.h"
#include "mutate/trial.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <thread>

namespace groundrule::mutate {

namespace {

using book::Book;

bool bears(const ast::File &file, const std::string &layer) {
    if (file.decls.empty() || file.decls.front().kind > ast::DeclKind::amendment)
        return false;
    const auto &names = std::get<ast::Header>(file.decls.front().body).names;
    return std::any_of(names.begin(), names.end(),
                       [&](const ast::Name &n) { return n.text == layer; });
}

// The words for facts belong to the edition.
Files files_of_topmost(const Book &book) {
    Files files(book.files.size(), 0);
    for (std::size_t i = 0; i < files.size(); ++i) {
        const ast::File &file = book.files[i];
        const bool vocabulary = book.layers.size() == 1 && !file.decls.empty() &&
                                file.decls.front().kind == ast::DeclKind::vocabulary;
        files[i] = vocabulary || bears(file, book.layers.back().name) ? 1 : 0;
    }
    return files;
}

// By its name, or by its end below a folder.
Files the_file(const Book &book, const std::string &name) {
    Files files(book.files.size(), 0);
    for (std::size_t i = 0; i < files.size(); ++i) {
        const std::string &own = book.sources[i].name();
        files[i] = own == name || own.ends_with("/" + name) || name.ends_with("/" + own) ? 1 : 0;
    }
    return files;
}

std::vector<std::uint32_t> joined(std::vector<std::uint32_t> a,
                                  const std::vector<std::uint32_t> &b) {
    a.insert(a.end(), b.begin(), b.end());
    std::sort(a.begin(), a.end());
    a.erase(std::unique(a.begin(), a.end()), a.end());
    return a;
}

Readers readers_of(const Mutant &mutant, const Reach &reach) {
    Readers all;
    const auto add = [&](const Readers &r) {
        all.rules = joined(std::move(all.rules), r.rules);
        all.slots = joined(std::move(all.slots), r.slots);
    };
    if (const auto *nodes = std::get_if<NodeEdit>(&mutant.edit)) {
        for (const auto &[id, node] : nodes->nodes)
            add(reach.nodes[id]);
    } else if (const auto *cell = std::get_if<CellEdit>(&mutant.edit)) {
        const auto &columns = reach.columns[cell->table];
        add(columns[cell->cell % columns.size()]);
    } else if (const auto *key = std::get_if<KeyEdit>(&mutant.edit)) {
        for (const Readers &column : reach.columns[key->table])
            add(column);
    } else {
        add(reach.lists[std::get<ListEdit>(mutant.edit).list]);
    }
    return all;
}

class Runner {
  public:
    Runner(const Book &book, const Reach &reach, std::vector<Mutant> &mutants)
        : book_(book), mutants_(mutants), tests_(book.rules.size()), reading_(book.rules.size()),
          killed_(mutants.size()) {
        for (const ast::TestDecl *test : evaluate::tests_of(book)) {
            const auto rule = evaluate::rule_of(book, *test);
            if (rule < 0)
                refusal_ = Refusal::failing_tests;
            else
                tests_[static_cast<std::size_t>(rule)].push_back(test);
        }
        for (std::uint32_t m = 0; m < mutants.size(); ++m) {
            Readers readers = readers_of(mutants[m], reach);
            for (const std::uint32_t rule : readers.rules)
                reading_[rule].push_back(m);
            if (!readers.slots.empty())
                implied_.push_back(m);
            mutants[m].slots = std::move(readers.slots);
        }
    }

    Refusal run(std::uint32_t threads, const GoOn &go_on) {
        if (told_to_stop(go_on, 0, book_.rules.size()))
            return Refusal::ended;
        std::vector<std::exception_ptr> thrown(std::max<std::uint32_t>(threads, 1));
        const auto work = [&](std::size_t w) {
            try {
                Altered altered(book_);
                for (;;) {
                    const std::size_t rule = next_.fetch_add(1);
                    if (rule >= book_.rules.size() || refusal_ != Refusal::none)
                        return;
                    try_rule(static_cast<std::uint32_t>(rule), altered, w == 0 ? go_on : GoOn{});
                    ++done_;
                }
            } catch (...) {
                thrown[w] = std::current_exception();
                next_ = book_.rules.size();
            }
        };
        {
            std::vector<std::jthread> others;
            for (std::size_t w = 1; w < thrown.size(); ++w)
                others.emplace_back(work, w);
            work(0);
        }
        for (const std::exception_ptr &e : thrown) {
            if (e)
                std::rethrow_exception(e);
        }
        return refusal_;
    }

    bool killed(std::size_t mutant) const { return killed_[mutant]; }

  private:
    void try_rule(std::uint32_t rule, Altered &altered, const GoOn &go_on) {
        if (tests_[rule].empty())
            return;
        Trial trial(book_, rule, cases_of(rule), altered);
        if (refusal_ == Refusal::none && !trial.passes())
            refusal_ = Refusal::failing_tests;
        // Only ever set: another thread may have set it while this one tried the same mutant.
        const auto try_all = [&](const std::vector<std::uint32_t> &mutants, bool read_by_rule) {
            for (const std::uint32_t m : mutants) {
                if (refusal_ != Refusal::none)
                    return;
                if (told_to_stop(go_on, done_, book_.rules.size()))
                    refusal_ = Refusal::ended;
                else if (!killed_[m] && trial.kills(mutants_[m], read_by_rule))
                    killed_[m] = true;
            }
        };
        try_all(reading_[rule], true);
        try_all(implied_, false);
    }

    std::vector<Case> cases_of(std::uint32_t rule) {
        std::vector<Case> cases;
        Diagnostics faults;
        for (const ast::TestDecl *test : tests_[rule]) {
            evaluate::check_test(book_, *test, faults);
            for (const ast::TestCase &c : test->cases) {
                auto job = evaluate::job_of(book_, *test, c, rule, faults);
                const auto verdict = evaluate::verdict_named(c.verdict.text);
                if (job && verdict)
                    cases.push_back({std::move(*job), *verdict, &c.citation});
            }
        }
        if (faults.has_errors())
            refusal_ = Refusal::failing_tests;
        return cases;
    }

    const Book &book_;
    std::vector<Mutant> &mutants_;
    std::vector<std::vector<const ast::TestDecl *>> tests_; // of each rule
    std::vector<std::vector<std::uint32_t>> reading_;       // mutants that each rule reads
    std::vector<std::uint32_t> implied_;                    // those that change implied values
    std::vector<std::atomic<bool>> killed_;
    std::atomic<std::size_t> next_{0};
    std::atomic<std::size_t> done_{0};
    std::atomic<Refusal> refusal_{Refusal::none};
};

} // namespace

Refusal mutate(const Book &book, const Options &options, Mutation &out) {
    const Files files =
        options.file.empty() ? files_of_topmost(book) : the_file(book, options.file);
    if (std::none_of(files.begin(), files.end(), [](std::uint8_t f) { return f != 0; }))
        return Refusal::no_such_file;
    const Reach reach(book);
    std::vector<Mutant> all = mutants(book, reach, files);
    Runner runner(book, reach, all);
    if (const Refusal refusal = runner.run(options.threads, options.go_on);
        refusal != Refusal::none)
        return refusal;
    out.mutants = all.size();
    for (std::size_t m = 0; m < all.size(); ++m) {
        if (!runner.killed(m))
            out.survivors.push_back(std::move(all[m]));
    }
    return Refusal::none;
}

} // namespace groundrule::mutate
