// Hash-consing of instructions.
#include "program/builder.h"

#include <algorithm>
#include <bit>

namespace groundrule::program {

namespace {

void mix(std::size_t &hash, std::size_t value) {
    hash ^= value + 0x9e3779b97f4a7c15ull + (hash << 6u) + (hash >> 2u);
}

bool same(const Instruction &a, const Instruction &b) {
    return a.op == b.op && a.space == b.space && a.child == b.child && a.index == b.index &&
           a.column == b.column && a.count == b.count &&
           std::bit_cast<std::uint64_t>(a.value) == std::bit_cast<std::uint64_t>(b.value) &&
           std::bit_cast<std::uint64_t>(a.scale) == std::bit_cast<std::uint64_t>(b.scale);
}

// Which bounds the register can carry: those of lists that may be open come out of reductions, and
// pass on as operators.h says.
void tell_bounds(Instruction &in, const std::vector<Register> &arguments, const Program &program) {
    const auto any = [&](bool Instruction::*bound) {
        return std::any_of(arguments.begin(), arguments.end(),
                           [&](Register r) { return program.code[r].*bound; });
    };
    const auto at = [&](std::size_t k) -> const Instruction & {
        return program.code[arguments[k]];
    };
    switch (in.op) {
    case Op::count_of:
    case Op::sum_of:
    case Op::max_of:
    case Op::larger:
        in.may_be_least = true;
        break;
    case Op::min_of:
    case Op::smaller:
        in.may_be_most = true;
        break;
    case Op::subtract:
        in.may_be_least = at(0).may_be_least || at(1).may_be_most;
        in.may_be_most = at(0).may_be_most || at(1).may_be_least;
        break;
    case Op::gather:
    case Op::join:
    case Op::add:
    case Op::multiply:
    case Op::divide:
    case Op::choose_value:
        in.may_be_least = any(&Instruction::may_be_least);
        in.may_be_most = any(&Instruction::may_be_most);
        break;
    default:
        break; // a truth, or exact
    }
}

} // namespace

Register Builder::emit(Instruction in, const std::vector<Register> &arguments) {
    tell_bounds(in, arguments, program_);
    in.count = static_cast<std::uint32_t>(arguments.size());
    std::size_t hash = static_cast<std::size_t>(in.op);
    mix(hash, in.space);
    mix(hash, in.index);
    mix(hash, in.column);
    mix(hash, std::bit_cast<std::uint64_t>(in.value));
    for (const Register a : arguments)
        mix(hash, a);
    const auto [begin, end] = known_.equal_range(hash);
    for (auto it = begin; it != end; ++it) {
        const Instruction &there = program_.code[it->second];
        if (same(there, in) && std::equal(arguments.begin(), arguments.end(),
                                          program_.arguments.begin() + there.first))
            return it->second;
    }
    in.first = static_cast<std::uint32_t>(program_.arguments.size());
    program_.arguments.insert(program_.arguments.end(), arguments.begin(), arguments.end());
    const auto reg = static_cast<Register>(program_.code.size());
    program_.code.push_back(in);
    std::vector<Register> &row = program_.spaces[in.space].registers;
    program_.place.push_back(static_cast<std::uint32_t>(row.size()));
    row.push_back(reg);
    known_.emplace(hash, reg);
    return reg;
}

Register Builder::constant(double value, std::uint16_t space) {
    Instruction in;
    in.op = Op::constant;
    in.space = space;
    in.value = value;
    in.non_negative = value >= 0;
    return emit(in);
}

Register Builder::seen_from(Register reg, std::uint16_t to) {
    if (program_.code[reg].space == to)
        return reg;
    const auto parent = static_cast<std::uint16_t>(program_.spaces[to].parent);
    Instruction in;
    in.op = Op::gather;
    in.space = to;
    in.non_negative = program_.code[reg].non_negative;
    return emit(in, {seen_from(reg, parent)});
}

Register Builder::joined(Op op, std::vector<Register> arguments, std::uint16_t space) {
    std::erase(arguments, no_register);
    if (arguments.empty())
        return no_register;
    if (arguments.size() == 1)
        return arguments.front();
    Instruction in;
    in.op = op;
    in.space = space;
    return emit(in, arguments);
}

Register Builder::negated(Register reg) {
    Instruction in;
    in.op = Op::negation;
    in.space = program_.code[reg].space;
    return emit(in, {reg});
}

} // namespace groundrule::program
