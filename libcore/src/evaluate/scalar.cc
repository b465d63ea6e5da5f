// One instruction after the other, each over the rows of its space.
#include "evaluate/scalar.h"

#include "evaluate/operate.h"
#include "evaluate/reduce.h"

namespace groundrule::evaluate {

namespace {

using program::Instruction;
using program::Op;
using program::Program;
using program::Register;

class Run {
  public:
    Run(const Program &program, const facts::Job &job, Workspace &workspace)
        : program_(program), job_(job), workspace_(workspace) {}

    void all() {
        for (Register reg = 0; reg < program_.code.size(); ++reg) {
            const Instruction &in = program_.code[reg];
            const std::size_t rows = workspace_.rows_in(in.space);
            if (rows == 0)
                continue;
            Cell *out = workspace_.row_cells(reg);
            if (in.op >= Op::any_of) {
                reduce(program_, in, job_, workspace_, out);
                continue;
            }
            for (std::size_t row = 0; row < rows; ++row)
                out[row] = one(in, row);
        }
    }

  private:
    const Cell &argument(const Instruction &in, std::size_t k, std::size_t row) const {
        return workspace_.cell(program_.arguments[in.first + k], row);
    }

    Cell load(const Instruction &in, std::size_t row) const {
        const program::Slot &slot = program_.slots[in.index];
        const facts::Rows &rows = job_.rows(slot.item);
        const Cell &given = rows.given.at(slot.field, row);
        // A fact that others imply is assumed only after the join.
        const bool assumes = slot.value == static_cast<Register>(&in - program_.code.data());
        return given.known() || !assumes ? given : rows.assumed.at(slot.field, row);
    }

    Cell join(const Instruction &in, std::size_t row) {
        Cell value = argument(in, 0, row);
        for (std::size_t k = 1; k < in.count; ++k) {
            bool apart = false;
            const Cell &implied = argument(in, k, row);
            const Cell joined_value = joined(value, implied, in.scale, apart);
            if (apart)
                workspace_.contradictions.push_back({in.index, static_cast<std::uint32_t>(row),
                                                     value, implied,
                                                     static_cast<std::uint32_t>(k - 1)});
            value = joined_value;
        }
        if (value.known())
            return value;
        const program::Slot &slot = program_.slots[in.index];
        return job_.rows(slot.item).assumed.at(slot.field, row);
    }

    Cell gather(const Instruction &in, std::size_t row) const {
        const auto above = static_cast<std::size_t>(job_.rows(in.space).parent[row]);
        return argument(in, 0, above);
    }

    Cell open_list(const Instruction &in, std::size_t row) const {
        return job_.is_complete(in.space, in.child, row) ? exactly(1) : Cell{};
    }

    Cell one(const Instruction &in, std::size_t row) {
        switch (in.op) {
        case Op::load:
            return load(in, row);
        case Op::join:
            return join(in, row);
        case Op::gather:
            return gather(in, row);
        case Op::open_list:
            return open_list(in, row);
        default:
            return operate(program_, in,
                           [&](std::size_t k) -> const Cell & { return argument(in, k, row); });
        }
    }

    const Program &program_;
    const facts::Job &job_;
    Workspace &workspace_;
};

} // namespace

void run(const Program &program, const facts::Job &job, Workspace &workspace) {
    workspace.prepare(program, job);
    Run(program, job, workspace).all();
}

Verdict verdict(const program::RuleCode &rule, std::size_t row, const Workspace &workspace) {
    const Truth applies = truth_in(workspace.cell(rule.applies, row));
    const Truth met =
        rule.met == program::no_register ? Truth::yes : truth_in(workspace.cell(rule.met, row));
    return verdict_of(applies, met);
}

} // namespace groundrule::evaluate
