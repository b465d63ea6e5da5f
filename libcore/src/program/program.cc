// Names of operations, the validator, and programs as text.
#include "program/program.h"

#include <array>

namespace groundrule::program {

namespace {

struct OpInfo {
    const char *name;
    int arguments;
};

constexpr std::array ops = {
#define OP(name, arguments, result) OpInfo{#name, arguments},
#include "program/opcodes.def"
#undef OP
};

const OpInfo &info(Op op) {
    return ops.at(static_cast<std::size_t>(op));
}

bool reduces(Op op) {
    return op >= Op::any_of;
}

std::string at(std::size_t index, const char *what) {
    return "instruction " + std::to_string(index) + ": " + what;
}

} // namespace

const char *op_name(Op op) {
    return info(op).name;
}
int op_arguments(Op op) {
    return info(op).arguments;
}

std::string fault_in(const Program &program) {
    for (std::size_t i = 0; i < program.code.size(); ++i) {
        const Instruction &in = program.code[i];
        const int wanted = op_arguments(in.op);
        if (wanted >= 0 && in.count != static_cast<std::uint32_t>(wanted))
            return at(i, "wrong number of arguments");
        if (in.space >= program.spaces.size())
            return at(i, "no such space");
        for (std::uint32_t k = 0; k < in.count; ++k) {
            const Register argument = program.arguments[in.first + k];
            if (argument >= i)
                return at(i, "reads a register before it is written");
            const std::uint16_t from = program.code[argument].space;
            const bool below = reduces(in.op) && k > 0;
            const bool above = in.op == Op::gather;
            const bool lawful = below ? from == in.child && program.spaces[from].parent == in.space
                                : above ? program.spaces[in.space].parent == from
                                        : from == in.space;
            if (!lawful)
                return at(i, "reads a register of another space");
        }
    }
    return {};
}

std::string disassemble(const Program &program) {
    std::string out;
    for (std::size_t i = 0; i < program.code.size(); ++i) {
        const Instruction &in = program.code[i];
        out += "r" + std::to_string(i) + " @" + std::to_string(in.space) + " = " + op_name(in.op);
        for (std::uint32_t k = 0; k < in.count; ++k)
            out += " r" + std::to_string(program.arguments[in.first + k]);
        out += " #" + std::to_string(in.index) + " " + std::to_string(in.value) + "\n";
    }
    return out;
}

} // namespace groundrule::program
