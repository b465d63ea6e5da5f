// Jobs made at random from a book's own words: values stand on the constants of its rules and
// tables and one step beside them, and much is left unknown.

#pragma once

#include "trial.h"

#include <map>
#include <random>

namespace trial {

class RandomJobs {
  public:
    // Constants are taken from all of the books, which have the same words for facts.
    RandomJobs(std::vector<const book::Book *> books, std::uint32_t seed)
        : books_(std::move(books)), random_(seed) {
        for (const book::Book *b : books_) {
            for (const book::Node &n : b->nodes) {
                if (n.op == book::NodeOp::constant || n.op == book::NodeOp::limit)
                    collect(*b, n.type, n.value);
            }
            for (const book::Table &t : b->tables) {
                for (const book::Key &k : t.keys) {
                    for (const double v : k.values)
                        collect(*b, k.type, v);
                }
            }
        }
    }

    // The same facts for each book.
    std::vector<facts::Job> next() {
        std::vector<facts::Job> jobs;
        for (const book::Book *b : books_)
            jobs.emplace_back(*b);
        fill(jobs, 0, 0);
        add_children(jobs, 0, 0);
        for (facts::Job &job : jobs)
            job.inherit_work();
        return jobs;
    }

  private:
    std::size_t below(std::size_t count) { return random_() % count; }

    static std::string pool(const book::Book &b, const book::Type &type) {
        return book::type_name(b.choice_types, type);
    }

    void collect(const book::Book &b, const book::Type &type, double value) {
        if (type.kind == ValueKind::quantity || type.kind == ValueKind::conductor_size ||
            type.kind == ValueKind::date)
            constants_[pool(b, type)].push_back(value);
    }

    double value(const book::Book &b, const book::Type &type) {
        if (type.kind == ValueKind::truth)
            return static_cast<double>(below(2));
        if (type.kind == ValueKind::choice)
            return static_cast<double>(
                below(b.choice_types[static_cast<std::size_t>(type.choices)].choices.size()));
        const std::vector<double> &known = constants_[pool(b, type)];
        if (known.empty())
            return 1;
        const double at = known[below(known.size())];
        if (type.kind == ValueKind::conductor_size)
            return at;
        const double step = type.kind == ValueKind::date ? 1 : 1 / book::scale_of(type);
        return std::max(0.0, at + step * (static_cast<double>(below(3)) - 1));
    }

    void fill(std::vector<facts::Job> &jobs, std::int32_t item, std::int32_t row) {
        const book::Book &b = *books_.front();
        const std::vector<book::Field> &fields = b.items[static_cast<std::size_t>(item)].fields;
        for (std::size_t f = 0; f < fields.size(); ++f) {
            // What other facts imply is seldom told: random facts would contradict it.
            if (fields[f].implied.empty() ? below(10) < 3 : below(40) != 0)
                continue;
            const double v = f == 0 ? static_cast<double>(below(8) == 0 ? below(4) : 0)
                                    : value(b, fields[f].type);
            for (facts::Job &job : jobs)
                job.set(item, row, static_cast<std::int32_t>(f), exactly(v));
        }
    }

    void add_children(std::vector<facts::Job> &jobs, std::int32_t item, std::int32_t row) {
        const std::vector<std::int32_t> &children =
            books_.front()->items[static_cast<std::size_t>(item)].children;
        for (std::size_t c = 0; c < children.size(); ++c) {
            for (std::size_t count = below(3); count > 0; --count) {
                std::int32_t added = 0;
                for (facts::Job &job : jobs)
                    added = job.add(children[c], row);
                fill(jobs, children[c], added);
                add_children(jobs, children[c], added);
            }
            const bool complete = below(2) == 0;
            for (facts::Job &job : jobs)
                job.mark_complete(item, row, static_cast<std::int32_t>(c), complete);
        }
    }

    std::vector<const book::Book *> books_;
    std::mt19937 random_;
    std::map<std::string, std::vector<double>> constants_;
};

} // namespace trial
