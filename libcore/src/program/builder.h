// Adds instructions to a program, each distinct one once.
#pragma once

#include "program/program.h"

#include <unordered_map>

namespace groundrule::program {

class Builder {
  public:
    explicit Builder(Program &program) : program_(program) {}

    // The register of this operation; an equal one that stands already is used again. Equal means:
    // same operation, arguments, space and constants, never position.
    Register emit(Instruction instruction, const std::vector<Register> &arguments = {});

    Register constant(double value, std::uint16_t space);
    // A register of the space `from`, or of one below it, as seen from `to`.
    Register seen_from(Register reg, std::uint16_t to);
    // conjunction or disjunction; none of nothing, and a single argument is itself.
    Register joined(Op op, std::vector<Register> arguments, std::uint16_t space);
    Register negated(Register reg);

    const Instruction &at(Register reg) const { return program_.code[reg]; }
    bool non_negative(Register reg) const { return program_.code[reg].non_negative; }

  private:
    Program &program_;
    std::unordered_multimap<std::size_t, Register> known_;
};

} // namespace groundrule::program
