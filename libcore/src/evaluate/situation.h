// The items and facts that a test beside a rule tells, as the job that they make.
#pragma once

#include "book/model.h"
#include "facts/job.h"
#include "facts/value_reader.h"
#include "text/diagnostics.h"

#include <optional>
#include <utility>
#include <vector>

namespace groundrule::evaluate {

class Situation {
  public:
    // Faults of what is told go to `faults`.
    Situation(const book::Book &book, Diagnostics &faults) : book_(book), faults_(faults) {}

    void take(const std::vector<ast::TestFact> &facts);
    // What follows speaks of the first items again.
    void vary() { varied_at_ = facts_.size(); }
    // The item stays; only the fact goes.
    void drop(const std::vector<std::pair<ast::Name, ast::Name>> &references);

    // None after a fault.
    std::optional<facts::Job> build();
    // The item at hand of a type; made, with the items above it, if there is none.
    std::int32_t row(std::int32_t item, facts::Job &job);

  private:
    struct Given {
        const ast::TestFact *fact;
        bool told; // false: the item is there, and nobody tells this fact
    };

    bool fail(const char *code, Span span, std::string message, std::string help = {});
    bool no_item(const ast::Name &item);
    void first_again(const facts::Job &job);
    bool apply(const Given &given, facts::Job &job);
    bool another(const ast::TestFact &fact, std::int32_t item, facts::Job &job);
    bool mark(const ast::TestFact &fact, std::int32_t item, std::int32_t at, facts::Job &job);
    bool set(const ast::TestFact &fact, std::int32_t item, std::int32_t at, facts::Job &job);
    std::optional<double> read(const ast::Cell &cell, const book::Field &field,
                               const std::string &name, facts::FactFault &fault) const;

    const book::Book &book_;
    Diagnostics &faults_;
    std::vector<Given> facts_;
    std::size_t varied_at_ = static_cast<std::size_t>(-1);
    std::vector<std::int32_t> current_;
};

// The job of a test's case, with an item for its rule; nothing after a fault.
std::optional<facts::Job> job_of(const book::Book &book, const ast::TestDecl &test,
                                 const ast::TestCase &told, std::size_t rule, Diagnostics &faults);

} // namespace groundrule::evaluate
