// Walks the program backwards from a register. Depth is bounded by the nesting of the rules and
// their definitions.
#include "evaluate/trace.h"

#include <algorithm>

namespace groundrule::evaluate {

using program::Instruction;
using program::Op;
using program::Register;

bool Trace::first_visit(Register reg, std::size_t row) {
    const std::pair<Register, std::size_t> here{reg, row};
    const auto at = std::lower_bound(visited_.begin(), visited_.end(), here);
    if (at != visited_.end() && *at == here)
        return false;
    visited_.insert(at, here);
    return true;
}

void Trace::add(Lack lack) {
    if (std::find(lacks_.begin(), lacks_.end(), lack) == lacks_.end())
        lacks_.push_back(std::move(lack));
}

std::vector<Lack> Trace::lacks(Register reg, std::size_t row) {
    lacks_.clear();
    visited_.clear();
    if (reg != program::no_register)
        lack(reg, row);
    return lacks_;
}

std::vector<Support> Trace::supports(Register reg, std::size_t row) {
    supports_.clear();
    visited_.clear();
    if (reg != program::no_register)
        support(reg, row);
    return supports_;
}

void Trace::lack_arguments(const Instruction &in, std::size_t row) { // NOLINT(misc-no-recursion)
    for (std::size_t k = 0; k < in.count; ++k)
        lack(argument(in, k), row);
}

void Trace::lack_fact(const Instruction &in, std::size_t row) { // NOLINT(misc-no-recursion)
    Lack l;
    l.slot = in.index;
    l.space = in.space;
    l.row = static_cast<std::uint32_t>(row);
    if (in.op == Op::join) {
        // What the sources of the implications lack is named beside the fact, not for itself.
        std::vector<Lack> outer;
        std::swap(outer, lacks_);
        for (std::size_t k = 1; k < in.count; ++k)
            lack(argument(in, k), row);
        for (const Lack &source : lacks_) {
            if (source.kind == Lack::Kind::fact)
                l.instead.emplace_back(source.slot, source.row);
        }
        std::vector<Lack> others;
        std::copy_if(lacks_.begin(), lacks_.end(), std::back_inserter(others),
                     [](const Lack &x) { return x.kind == Lack::Kind::list; });
        std::swap(outer, lacks_);
        for (Lack &other : others)
            add(std::move(other));
    }
    add(std::move(l));
}

void Trace::lack_lookup(const Instruction &in, std::size_t row) { // NOLINT(misc-no-recursion)
    const bool open = std::any_of(program_.arguments.begin() + in.first,
                                  program_.arguments.begin() + in.first + in.count,
                                  [&](Register r) { return !cell(r, row).exact(); });
    if (open) {
        lack_arguments(in, row);
        return;
    }
    const book::Table &table = book_.tables[in.index];
    Lack l;
    l.kind = Lack::Kind::no_value;
    l.row = static_cast<std::uint32_t>(row);
    l.text = "table " + table.name + " has no entry for";
    for (std::size_t k = 0; k < in.count; ++k)
        l.text += (k == 0 ? " " : ", ") +
                  value_text(book_, table.keys[k].type, cell(argument(in, k), row).value);
    add(std::move(l));
}

void Trace::lack_reduction(const Instruction &in, std::size_t row) { // NOLINT(misc-no-recursion)
    if (!cell(argument(in, 0), row).exact())
        lack(argument(in, 0), row);
    const std::vector<std::int32_t> &parent = job_.rows(in.child).parent;
    for (std::size_t child = 0; child < parent.size(); ++child) {
        if (static_cast<std::size_t>(parent[child]) != row)
            continue;
        const Truth filter = truth_in(cell(argument(in, 1), child));
        if (filter == Truth::no)
            continue;
        if (filter == Truth::unknown)
            lack(argument(in, 1), child);
        if (in.count > 2 && !cell(argument(in, 2), child).exact())
            lack(argument(in, 2), child);
    }
}

void Trace::lack(Register reg, std::size_t row) { // NOLINT(misc-no-recursion)
    const Instruction &in = program_.code[reg];
    if (cell(reg, row).exact() || !first_visit(reg, row))
        return;
    switch (in.op) {
    case Op::constant:
    case Op::unknown:
        return;
    case Op::not_encoded: {
        Lack l;
        l.kind = Lack::Kind::not_encoded;
        add(std::move(l));
        return;
    }
    case Op::load:
    case Op::join:
        lack_fact(in, row);
        return;
    case Op::gather:
        lack(argument(in, 0), static_cast<std::size_t>(job_.rows(in.space).parent[row]));
        return;
    case Op::open_list: {
        Lack l;
        l.kind = Lack::Kind::list;
        l.space = in.space;
        l.child = in.child;
        l.row = static_cast<std::uint32_t>(row);
        add(std::move(l));
        return;
    }
    case Op::choose_truth:
    case Op::choose_value: {
        const Truth condition = truth_in(cell(argument(in, 0), row));
        lack(argument(in, condition == Truth::unknown ? 0 : (condition == Truth::yes ? 1 : 2)),
             row);
        return;
    }
    case Op::lookup:
        lack_lookup(in, row);
        return;
    case Op::next:
    case Op::first_where: {
        for (std::size_t k = 0; k < in.count; ++k) {
            if (!cell(argument(in, k), row).exact()) {
                lack(argument(in, k), row);
                return;
            }
        }
        Lack l;
        l.kind = Lack::Kind::no_value;
        l.row = static_cast<std::uint32_t>(row);
        l.text = "list " + book_.lists[in.index].name + " has no such value";
        add(std::move(l));
        return;
    }
    default:
        break;
    }
    if (in.op >= Op::any_of) {
        lack_reduction(in, row);
        return;
    }
    const std::size_t before = lacks_.size();
    lack_arguments(in, row);
    if (lacks_.size() == before && in.op == Op::divide) {
        Lack l;
        l.kind = Lack::Kind::no_value;
        l.text = "a division by zero has no value";
        add(std::move(l));
    }
}

void Trace::support_reduction(const Instruction &in, std::size_t row) { // NOLINT(misc-no-recursion)
    const std::vector<std::int32_t> &parent = job_.rows(in.child).parent;
    for (std::size_t child = 0; child < parent.size(); ++child) {
        if (static_cast<std::size_t>(parent[child]) != row)
            continue;
        support(argument(in, 1), child);
        if (in.count > 2 && truth_in(cell(argument(in, 1), child)) != Truth::no)
            support(argument(in, 2), child);
    }
}

void Trace::support(Register reg, std::size_t row) { // NOLINT(misc-no-recursion)
    const Instruction &in = program_.code[reg];
    if (!cell(reg, row).known() || !first_visit(reg, row))
        return;
    switch (in.op) {
    case Op::load:
    case Op::join: {
        const program::Slot &slot = program_.slots[in.index];
        const bool given = job_.rows(slot.item).given[slot.field][row].known();
        bool implied = false;
        for (std::size_t k = 1; k < in.count; ++k) {
            implied = implied || cell(argument(in, k), row).known();
            support(argument(in, k), row);
        }
        if (given || !implied)
            supports_.push_back({in.index, static_cast<std::uint32_t>(row), !given});
        return;
    }
    case Op::gather:
        support(argument(in, 0), static_cast<std::size_t>(job_.rows(in.space).parent[row]));
        return;
    case Op::conjunction:
    case Op::disjunction: {
        // One deciding argument is enough to decide; if there is none, all together did.
        const Truth deciding = in.op == Op::conjunction ? Truth::no : Truth::yes;
        const bool decided = truth_in(cell(reg, row)) == deciding;
        for (std::size_t k = 0; k < in.count; ++k) {
            if (!decided || truth_in(cell(argument(in, k), row)) == deciding)
                support(argument(in, k), row);
        }
        return;
    }
    case Op::choose_truth:
    case Op::choose_value: {
        const Truth condition = truth_in(cell(argument(in, 0), row));
        support(argument(in, 0), row);
        if (condition != Truth::no)
            support(argument(in, 1), row);
        if (condition != Truth::yes)
            support(argument(in, 2), row);
        return;
    }
    case Op::first_where:
        for (std::size_t k = 0; k < in.count; ++k) {
            support(argument(in, k), row);
            if (truth_in(cell(argument(in, k), row)) == Truth::yes)
                return;
        }
        return;
    default:
        break;
    }
    if (in.op >= Op::any_of) {
        support_reduction(in, row);
        return;
    }
    for (std::size_t k = 0; k < in.count; ++k)
        support(argument(in, k), row);
}

} // namespace groundrule::evaluate
