// Finds reasons in the cells of one run: what would settle an unknown, and what a known value rests
// on.
#pragma once

#include "book/model.h"
#include "evaluate/workspace.h"

#include <vector>

namespace groundrule::evaluate {

// Something whose absence leaves a register open.
struct Lack {
    enum class Kind : std::uint8_t {
        fact,        // slot of row: nobody tells it
        list,        // the list of `child` items of a row is not said to be complete
        not_encoded, // an exception or path that is not written out; text
        no_value     // a computation without a value: no table cell, no standard value; text
    } kind = Kind::fact;
    std::uint32_t slot = 0;
    std::uint16_t space = 0;
    std::uint16_t child = 0;
    std::uint32_t row = 0;
    std::string text;
    std::vector<std::pair<std::uint32_t, std::uint32_t>>
        instead; // slots and rows of other facts that would imply it

    friend bool operator==(const Lack &a, const Lack &b) {
        return a.kind == b.kind && a.slot == b.slot && a.space == b.space && a.child == b.child &&
               a.row == b.row && a.text == b.text;
    }
};

// A fact that a value rests on.
struct Support {
    std::uint32_t slot = 0;
    std::uint32_t row = 0;
    bool assumed = false;
};

class Trace {
  public:
    Trace(const book::Book &book, const program::Program &program, const facts::Job &job,
          const Workspace &workspace)
        : book_(book), program_(program), job_(job), workspace_(workspace) {}

    // Why the register is not exactly known in this row; each reason once.
    std::vector<Lack> lacks(program::Register reg, std::size_t row);
    // The facts that decided the register's value; each once.
    std::vector<Support> supports(program::Register reg, std::size_t row);

  private:
    void lack(program::Register reg, std::size_t row);
    void lack_arguments(const program::Instruction &in, std::size_t row);
    void lack_fact(const program::Instruction &in, std::size_t row);
    void lack_lookup(const program::Instruction &in, std::size_t row);
    void lack_reduction(const program::Instruction &in, std::size_t row);
    void support(program::Register reg, std::size_t row);
    void support_reduction(const program::Instruction &in, std::size_t row);
    void add(Lack lack);
    bool first_visit(program::Register reg, std::size_t row);

    const Cell &cell(program::Register reg, std::size_t row) const {
        return workspace_.cell(reg, row);
    }
    program::Register argument(const program::Instruction &in, std::size_t k) const {
        return program_.arguments[in.first + k];
    }

    const book::Book &book_;
    const program::Program &program_;
    const facts::Job &job_;
    const Workspace &workspace_;
    std::vector<Lack> lacks_;
    std::vector<Support> supports_;
    std::vector<std::pair<program::Register, std::size_t>> visited_;
};

} // namespace groundrule::evaluate
