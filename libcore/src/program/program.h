// A book lowered to straight-line code: plain data, no syntax, shared by any number of threads.
//
// Every register belongs to one row space: the rows of one item type. `gather` reads the row above;
// the `…_of` operations reduce a child's rows into their parents; nothing else crosses. One
// instruction writes one register, so an instruction's index is its register's. Equal operations on
// equal registers are one instruction across all rules.
#pragma once

#include "quantity/dimension.h"

#include <cstdint>
#include <string>
#include <vector>

namespace groundrule::program {

using Register = std::uint32_t;
inline constexpr Register no_register = 0xffffffff;

enum class Op : std::uint8_t {
#define OP(name, arguments, result) name,
#include "program/opcodes.def"
#undef OP
};

const char *op_name(Op op);
int op_arguments(Op op);

struct Instruction {
    Op op = Op::constant;
    bool non_negative = false; // the register never holds a value below zero
    bool may_be_least = false; // it may hold "at least" a value, or "at most"
    bool may_be_most = false;
    std::uint16_t space = 0; // item type whose rows it has
    std::uint16_t child = 0; // of reductions and open_list: the list's item type
    std::uint32_t first = 0; // arguments: arguments[first … first + count)
    std::uint32_t count = 0;
    std::uint32_t index = 0; // slot, table, list or set
    std::uint32_t column = 0;
    double value = 0; // constants; of first_where nothing
    double scale = 1; // grid of the operands (comparisons) or of the result
};

struct TableKey {
    enum class Match : std::uint8_t { exact, at_most, at_least } match = Match::exact;
    double scale = 1;
    std::vector<double> steps; // keys in whole grid steps, ascending
};

struct Table {
    std::vector<TableKey> keys;
    std::uint32_t columns = 1;
    std::vector<double> cells; // NaN: empty
};

struct List {
    double scale = 1;
    std::vector<double> values;
    std::vector<double> steps;
};

// Where a slot belongs and what a value in it means.
struct Slot {
    std::uint16_t item = 0;
    std::uint16_t field = 0;
    Register value = no_register; // the joined value
};

struct RuleCode {
    std::uint16_t space = 0;
    Register bound = no_register; // the item's work is of a kind that the rule binds
    std::vector<Register> conditions;
    std::vector<Register> listed;
    std::vector<Register> exceptions;
    std::vector<Register> paths;
    std::vector<Register> permits;
    Register requirement = no_register; // the `shall` alone
    Register scope = no_register;
    Register excepted = no_register;
    Register applies = no_register;
    Register met = no_register;
};

struct Space {
    std::int32_t parent = -1;
    std::vector<Register> registers; // of this space, in order of execution
};

struct Program {
    std::vector<Instruction> code;
    std::vector<Register> arguments;
    std::vector<std::uint32_t> place; // of a register among its space's
    std::vector<Space> spaces;        // one an item type
    std::vector<Slot> slots;
    std::vector<Table> tables;
    std::vector<List> lists;
    std::vector<std::vector<std::uint8_t>> sets;
    std::vector<RuleCode> rules; // parallel to the book's
    std::vector<Register> nodes; // node of the book → register, or none; for traces
};

// The program as text, one instruction a line.
std::string disassemble(const Program &program);

// Empty if every register is written before it is read, from the same space or across a lawful
// edge.
std::string fault_in(const Program &program);

} // namespace groundrule::program
