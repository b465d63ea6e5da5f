// What the tests beside the rules have reached: rules, their parts, and cells of tables.
#pragma once

#include "book/model.h"
#include "evaluate/workspace.h"

#include <string>
#include <vector>

namespace groundrule::evaluate {

// Listed parts, exceptions, paths, permissions, in this order.
std::vector<const book::Part *> parts_of(const book::Rule &rule);

class Coverage {
  public:
    Coverage(const book::Book &book, const program::Program &program);

    // After a run for a test of this rule.
    void observe(std::size_t rule, const Workspace &workspace);

    struct Counts {
        std::size_t reached = 0;
        std::size_t all = 0;
    };
    Counts rules() const;
    Counts parts() const;
    Counts cells() const;
    bool tested(std::size_t rule) const { return rules_[rule].tested; }
    // Whether a part, by its place in parts_of, held in a test of its rule.
    bool held(std::size_t rule, std::size_t part) const { return rules_[rule].parts[part] != 0; }
    bool read(std::size_t table, std::size_t cell) const { return cells_[table][cell] != 0; }
    // Rules and parts that no test reached, and for each table how many of its filled cells.
    std::vector<std::string> unreached() const;

  private:
    struct Rule {
        bool tested = false;
        std::vector<std::uint8_t> parts; // as parts_of gives them
    };

    const book::Book &book_;
    const program::Program &program_;
    std::vector<Rule> rules_;
    std::vector<std::vector<std::uint8_t>> cells_; // of each table
};

} // namespace groundrule::evaluate
