// Jobs as a house has them: a service, a few circuits with their breakers, runs, boxes, receptacles
// and equipment, with values that the trade uses, some of them unknown. From a seed.

#pragma once

#include "trial.h"

#include <initializer_list>
#include <random>
#include <string>

namespace generated {

using namespace groundrule;

class HouseJobs {
  public:
    explicit HouseJobs(std::uint32_t seed) : random_(seed) {}

    // The same facts for each of the books, which have the same words for them.
    std::vector<facts::Job> next(const std::vector<const book::Book *> &books) {
        std::vector<facts::Job> jobs;
        for (const book::Book *b : books)
            jobs.emplace_back(*b);
        book_ = books.front();
        fill(jobs, 0, 0);
        children(jobs, 0, 0);
        for (facts::Job &job : jobs)
            job.inherit_work();
        return jobs;
    }

  private:
    using Numbers = std::initializer_list<double>;

    std::size_t below(std::size_t n) { return random_() % n; }
    bool often() { return below(100) < 85; }
    double one_of(Numbers values) { return *(values.begin() + below(values.size())); }

    // Millimetres, square and cubic; amperes, volts, volt-amperes; degrees.
    double quantity(const Dimension &d, const std::string &name) {
        constexpr double inch = 25.4;
        if (d == dimension::current)
            return one_of({15, 20, 25, 30, 40, 50, 60, 100, 125, 200});
        if (d == dimension::voltage)
            return one_of({120, 125, 240, 250});
        if (d == dimension::power)
            return one_of({180, 1500, 1800, 3000, 7200, 9600, 12000});
        if (d == dimension::length)
            return inch * one_of({0.25, 1, 1.25, 2, 4, 6, 8, 12, 18, 24, 36, 48, 54, 72, 78, 120});
        if (d == dimension::area)
            return inch * inch * 144 * one_of({10, 120, 400, 1500, 2400});
        if (d == dimension::volume)
            return inch * inch * inch * one_of({12.5, 18, 20.5, 22.5, 30.3, 42});
        if (d == dimension::temperature)
            return one_of({20, 30, 40, 60, 75, 90});
        return name.starts_with("share") ? one_of({0.1, 0.5, 0.6}) : one_of({1, 2, 3, 4, 6});
    }

    double value(const book::Field &f) {
        switch (f.type.kind) {
        case ValueKind::truth:
            return static_cast<double>(below(2));
        case ValueKind::choice:
            return static_cast<double>(below(
                book_->choice_types[static_cast<std::size_t>(f.type.choices)].choices.size()));
        case ValueKind::date:
            return 17167 + static_cast<double>(below(3650)); // 2017-01-01 and ten years
        case ValueKind::conductor_size:
            return static_cast<double>(below(9));
        case ValueKind::quantity:
            break;
        }
        return snapped(quantity(f.type.dimension, f.name), book::scale_of(f.type));
    }

    void fill(std::vector<facts::Job> &jobs, std::int32_t item, std::int32_t row) {
        const auto &fields = book_->items[static_cast<std::size_t>(item)].fields;
        for (std::size_t f = 0; f < fields.size(); ++f) {
            const bool work = f == 0;
            // What other facts imply is not told twice: random facts would contradict it.
            if (!fields[f].implied.empty() || !(work ? item == 0 : often()))
                continue;
            const double v = work ? one_of({0, 0, 0, 1, 2, 3}) : value(fields[f]);
            for (facts::Job &job : jobs)
                job.set(item, row, static_cast<std::int32_t>(f), exactly(v));
        }
    }

    std::size_t count(const std::string &item) {
        if (item == "panel" || item == "supply")
            return 1;
        if (item == "circuit" || item == "run" || item == "receptacle")
            return 1 + below(2);
        return item == "equipment" || item == "box" || item == "load" ? below(2) : 0;
    }

    void children(std::vector<facts::Job> &jobs, std::int32_t item, std::int32_t row) {
        const auto &below_it = book_->items[static_cast<std::size_t>(item)].children;
        for (std::size_t c = 0; c < below_it.size(); ++c) {
            const std::int32_t child = below_it[c];
            for (std::size_t n = count(book_->items[static_cast<std::size_t>(child)].name); n > 0;
                 --n) {
                std::int32_t added = 0;
                for (facts::Job &job : jobs)
                    added = job.add(child, row);
                fill(jobs, child, added);
                children(jobs, child, added);
            }
            const bool complete = below(2) == 0;
            for (facts::Job &job : jobs)
                job.mark_complete(item, row, static_cast<std::int32_t>(c), complete);
        }
    }

    const book::Book *book_ = nullptr;
    std::mt19937 random_;
};

} // namespace generated
