// Walks the program backwards from a register. Depth is bounded by the nesting of the rules and
// their definitions.
#include "evaluate/trace.h"

#include <algorithm>
#include <numeric>

namespace groundrule::evaluate {

using program::Instruction;
using program::Op;
using program::Register;

namespace {

std::uint64_t key_of(Register reg, std::size_t row) {
    return static_cast<std::uint64_t>(reg) << 32u | static_cast<std::uint32_t>(row);
}

} // namespace

Trace::Trace(const book::Book &book, const program::Program &program, const facts::Job &job,
             const Workspace &workspace, std::size_t most)
    : book_(book), program_(program), job_(job), workspace_(workspace), most_(most),
      below_(book.items.size()) {
    for (std::size_t i = 0; i < book.items.size(); ++i) {
        const facts::Rows &rows = job.rows(static_cast<std::int32_t>(i));
        const std::span<const Cell> assumed = rows.assumed.cells();
        anything_assumed_ =
            anything_assumed_ ||
            std::any_of(assumed.begin(), assumed.end(), [](const Cell &c) { return c.known(); });
        if (book.items[i].parent < 0)
            continue;
        Below &below = below_[i];
        below.first.assign(job.rows(book.items[i].parent).size() + 1, 0);
        for (const std::int32_t parent : rows.parent)
            ++below.first[static_cast<std::size_t>(parent) + 1];
        std::partial_sum(below.first.begin(), below.first.end(), below.first.begin());
        std::vector<std::uint32_t> next(below.first.begin(), below.first.end() - 1);
        below.rows.resize(rows.size());
        for (std::uint32_t row = 0; row < rows.size(); ++row)
            below.rows[next[static_cast<std::size_t>(rows.parent[row])]++] = row;
    }
}

// Until the visitor says that it has enough.
template <typename Visit>
void Trace::each_below(std::uint16_t child, std::size_t row, Visit visit) const {
    const Below &below = below_[child];
    for (std::uint32_t i = below.first[row]; i < below.first[row + 1]; ++i) {
        if (!visit(below.rows[i]))
            return;
    }
}

bool Trace::first_visit(Register reg, std::size_t row) {
    return visited_.insert(key_of(reg, row)).second;
}

void Trace::add(const Lack &lack) {
    if (!full(lacks_.size()) && std::find(lacks_.begin(), lacks_.end(), lack) == lacks_.end())
        lacks_.push_back(lack);
}

void Trace::add(const Assumed &assumed) {
    if (!full(assumptions_.size()) &&
        std::find(assumptions_.begin(), assumptions_.end(), assumed) == assumptions_.end())
        assumptions_.push_back(assumed);
}

std::vector<Lack> Trace::lacks(Register reg, std::size_t row) {
    lacks_.clear();
    visited_.clear();
    if (reg != program::no_register)
        lack(reg, row);
    return lacks_;
}

std::vector<Assumed> Trace::assumptions(Register reg, std::size_t row) {
    assumptions_.clear();
    visited_.clear();
    if (anything_assumed_ && reg != program::no_register)
        rest(reg, row);
    return assumptions_;
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
        // What the sources of the implications lack is named beside the fact, not for itself; a
        // lack of the rule's own is still told when the walk comes to it.
        std::vector<Lack> outer;
        std::unordered_set<std::uint64_t> visited = visited_;
        std::swap(outer, lacks_);
        for (std::size_t k = 1; k < in.count; ++k)
            lack(argument(in, k), row);
        std::swap(outer, lacks_);
        std::swap(visited, visited_);
        for (const Lack &source : outer) {
            if (source.kind == Lack::Kind::fact)
                l.instead.emplace_back(source.slot, source.row);
            else if (source.kind == Lack::Kind::list)
                add(source);
        }
    }
    add(l);
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
    add(l);
}

void Trace::lack_reduction(const Instruction &in,
                           std::size_t row) { // NOLINT(misc-no-recursion)
    const auto reg = static_cast<Register>(&in - program_.code.data());
    // Nested lists add entries of their own, so nothing of the map is held across the walk.
    if (!list_lacks_.contains(key_of(reg, row))) {
        std::vector<Lack> outer;
        std::unordered_set<std::uint64_t> visited;
        std::swap(outer, lacks_);
        std::swap(visited, visited_);
        if (!cell(argument(in, 0), row).exact())
            lack(argument(in, 0), row);
        each_below(in.child, row, [&](std::size_t child) {
            const Truth filter = truth_in(cell(argument(in, 1), child));
            if (filter == Truth::unknown)
                lack(argument(in, 1), child);
            if (filter != Truth::no && in.count > 2 && !cell(argument(in, 2), child).exact())
                lack(argument(in, 2), child);
            return !full(lacks_.size());
        });
        if (lacks_.empty() && (in.op == Op::max_of || in.op == Op::min_of)) {
            Lack l;
            l.kind = Lack::Kind::no_value;
            l.row = static_cast<std::uint32_t>(row);
            l.text = std::string("no item of the list counts, so none is the ") +
                     (in.op == Op::max_of ? "largest" : "smallest");
            add(l);
        }
        std::swap(outer, lacks_);
        std::swap(visited, visited_);
        list_lacks_[key_of(reg, row)] = std::move(outer);
    }
    for (const Lack &l : list_lacks_[key_of(reg, row)])
        add(l);
}

void Trace::lack(Register reg, std::size_t row) { // NOLINT(misc-no-recursion)
    const Instruction &in = program_.code[reg];
    if (full(lacks_.size()) || cell(reg, row).exact() || !first_visit(reg, row))
        return;
    switch (in.op) {
    case Op::unknown:
        return;
    case Op::not_encoded: {
        Lack l;
        l.kind = Lack::Kind::not_encoded;
        add(l);
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
        add(l);
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
        add(l);
        return;
    }
    default:
        break;
    }
    if (in.op >= Op::any_of) {
        lack_reduction(in, row);
        return;
    }
    lack_arguments(in, row);
    if (in.op == Op::divide && cell(argument(in, 0), row).exact() &&
        cell(argument(in, 1), row).exact()) {
        Lack l;
        l.kind = Lack::Kind::no_value;
        l.text = "a division by zero has no value";
        add(l);
    }
}

void Trace::rest_on_fact(const Instruction &in, std::size_t row) { // NOLINT(misc-no-recursion)
    const program::Slot &slot = program_.slots[in.index];
    bool implied = false;
    for (std::size_t k = 1; k < in.count; ++k) {
        if (cell(argument(in, k), row).known())
            implied = true;
        rest(argument(in, k), row);
    }
    const facts::Rows &rows = job_.rows(slot.item);
    if (!implied && !rows.given.at(slot.field, row).known() &&
        rows.assumed.at(slot.field, row).known())
        add(Assumed{in.index, static_cast<std::uint32_t>(row)});
}

void Trace::rest_on_list(const Instruction &in, std::size_t row) { // NOLINT(misc-no-recursion)
    const auto reg = static_cast<Register>(&in - program_.code.data());
    if (!list_assumptions_.contains(key_of(reg, row))) {
        std::vector<Assumed> outer;
        std::unordered_set<std::uint64_t> visited;
        std::swap(outer, assumptions_);
        std::swap(visited, visited_);
        each_below(in.child, row, [&](std::size_t child) {
            rest(argument(in, 1), child);
            if (in.count > 2 && truth_in(cell(argument(in, 1), child)) != Truth::no)
                rest(argument(in, 2), child);
            return !full(assumptions_.size());
        });
        std::swap(outer, assumptions_);
        std::swap(visited, visited_);
        list_assumptions_[key_of(reg, row)] = std::move(outer);
    }
    for (const Assumed &a : list_assumptions_[key_of(reg, row)])
        add(a);
}

void Trace::rest(Register reg, std::size_t row) { // NOLINT(misc-no-recursion)
    const Instruction &in = program_.code[reg];
    if (full(assumptions_.size()) || !cell(reg, row).known() || !first_visit(reg, row))
        return;
    switch (in.op) {
    case Op::load:
    case Op::join:
        rest_on_fact(in, row);
        return;
    case Op::gather:
        rest(argument(in, 0), static_cast<std::size_t>(job_.rows(in.space).parent[row]));
        return;
    case Op::conjunction:
    case Op::disjunction: {
        // One deciding argument is enough to decide; if there is none, all together did.
        const Truth deciding = in.op == Op::conjunction ? Truth::no : Truth::yes;
        const bool decided = truth_in(cell(reg, row)) == deciding;
        for (std::size_t k = 0; k < in.count; ++k) {
            if (!decided || truth_in(cell(argument(in, k), row)) == deciding)
                rest(argument(in, k), row);
        }
        return;
    }
    case Op::choose_truth:
    case Op::choose_value: {
        const Truth condition = truth_in(cell(argument(in, 0), row));
        rest(argument(in, 0), row);
        if (condition != Truth::no)
            rest(argument(in, 1), row);
        if (condition != Truth::yes)
            rest(argument(in, 2), row);
        return;
    }
    case Op::first_where:
        for (std::size_t k = 0; k < in.count; ++k) {
            rest(argument(in, k), row);
            if (truth_in(cell(argument(in, k), row)) == Truth::yes)
                return;
        }
        return;
    default:
        break;
    }
    if (in.op >= Op::any_of) {
        rest_on_list(in, row);
        return;
    }
    for (std::size_t k = 0; k < in.count; ++k)
        rest(argument(in, k), row);
}

} // namespace groundrule::evaluate
