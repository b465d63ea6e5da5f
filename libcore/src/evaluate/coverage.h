// What the tests beside the rules have reached: rules, their parts, and cells of tables.
#pragma once

#include "book/model.h"
#include "evaluate/workspace.h"

#include <string>
#include <vector>

namespace groundrule::evaluate {

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
    // Rules and parts that no test reached, and for each table how many of its filled cells.
    std::vector<std::string> unreached() const;

  private:
    struct Rule {
        bool tested = false;
        std::vector<std::uint8_t> parts; // listed, exceptions, paths, permits, in this order
    };

    const book::Book &book_;
    const program::Program &program_;
    std::vector<Rule> rules_;
    std::vector<std::vector<std::uint8_t>> cells_; // of each table
};

} // namespace groundrule::evaluate
