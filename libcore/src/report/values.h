// The values that a rule looked at, and messages with values in them.
#pragma once

#include "report/finding.h"

namespace groundrule::report {

// "50 A", "at least 40 A", "unknown"
std::string cell_text(const book::Book &book, const book::Type &type, const Cell &cell);

// The words of the book at a place, on one line.
std::string written(const book::Book &book, Span span);

class Values {
  public:
    Values(const book::Book &book, const program::Program &program, const facts::Job &job,
           const evaluate::Workspace &workspace)
        : book_(book), program_(program), job_(job), workspace_(workspace) {}

    std::string message(const std::vector<book::MessagePart> &parts, std::size_t row) const;
    // Fields, definitions, limits and look-ups that the rule's deciding text names; each once. A
    // part that is known not to hold decided nothing, and an unknown value is of interest only
    // where the verdict is open.
    std::vector<Value> of_rule(const book::Rule &rule, const program::RuleCode &code,
                               std::size_t row) const;
    // The same of one condition.
    std::vector<Value> of_condition(book::NodeId node, std::size_t row) const;

  private:
    void collect_parts(const std::vector<book::Part> &parts,
                       const std::vector<program::Register> &code, bool holding, std::size_t row,
                       std::vector<Value> &out) const;
    void collect(book::NodeId id, std::size_t row, std::vector<Value> &out) const;
    Value value_of(const book::Node &node, book::NodeId id, const std::string &name,
                   std::size_t row) const;
    std::string source_of_field(const book::Node &node, std::int32_t space, std::size_t row) const;

    const book::Book &book_;
    const program::Program &program_;
    const facts::Job &job_;
    const evaluate::Workspace &workspace_;
};

} // namespace groundrule::report
