// Typed nodes to instructions. A field, a definition and a rule are each lowered once, in the row
// space of their item.
#include "program/compile.h"

#include "program/builder.h"
#include "program/lowering.h"
#include "text/limits.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace groundrule::program {

namespace {

using book::Node;
using book::NodeId;
using book::NodeOp;

// What a place in the text is lowered with.
struct Env {
    const std::vector<Register> *parameters = nullptr;
    std::vector<double> sought; // values of the elements of enclosing searches
};

class Compiler {
  public:
    Compiler(const book::Book &book, Program &program, Diagnostics &diagnostics)
        : book_(book), program_(program), diagnostics_(diagnostics), build_(program) {}

    void run(const Excerpt *excerpt) {
        for (const book::Item &item : book_.items)
            program_.spaces.push_back({item.parent, {}});
        program_.slots.resize(book_.slot_count);
        facts_.assign(book_.slot_count, no_register);
        for (std::size_t i = 0; i < book_.items.size(); ++i) {
            for (std::size_t f = 0; f < book_.items[i].fields.size(); ++f)
                program_.slots[book_.items[i].fields[f].slot] = {
                    static_cast<std::uint16_t>(i), static_cast<std::uint16_t>(f), no_register};
        }
        program_.nodes.assign(book_.nodes.size(), no_register);
        defines_.assign(book_.defines.size(), no_register);
        copy_tables(book_, program_);
        program_.rules.resize(book_.rules.size());
        rules_done_.assign(book_.rules.size(), false);
        if (excerpt != nullptr) {
            tells_messages_ = false;
            for (const std::uint32_t i : excerpt->rules)
                rule(i);
            for (const std::uint32_t slot : excerpt->slots)
                field(program_.slots[slot].item, program_.slots[slot].field);
            return;
        }
        for (std::uint32_t i = 0; i < book_.rules.size() && !stopped_; ++i)
            rule(i);
        for (std::uint32_t slot = 0; slot < program_.slots.size() && !stopped_; ++slot)
            field(program_.slots[slot].item, program_.slots[slot].field);
    }

  private:
    // --- guards

    bool too_large(Span span) {
        if (!stopped_ && program_.code.size() > limits::instructions) {
            diagnostics_.error("too-large", span,
                               "the book needs more than " + std::to_string(limits::instructions) +
                                   " instructions");
            stopped_ = true;
        }
        if (!stopped_ && lowered_ > limits::lowered_nodes) {
            diagnostics_.error("too-large", span,
                               "with all definitions written out the book has more than " +
                                   std::to_string(limits::lowered_nodes) +
                                   " operands and operators");
            stopped_ = true;
        }
        return stopped_;
    }

    bool too_deep(Span span) {
        if (depth_ >= limits::lowering_depth) {
            diagnostics_.error("too-deep", span,
                               "with all definitions written out the book nests deeper than " +
                                   std::to_string(limits::lowering_depth) + " here");
            stopped_ = true;
        }
        return stopped_;
    }

    Instruction start(Op op, std::uint16_t space) const {
        Instruction in;
        in.op = op;
        in.space = space;
        return in;
    }

    // A rule that binds work of every kind need not be told of which kind it is.
    Register bound_work(const book::Rule &rule, std::uint16_t space) {
        if (std::all_of(rule.binds.begin(), rule.binds.end(), [](std::uint8_t b) { return b; }))
            return build_.constant(1, space);
        Instruction bound = start(Op::in_set, space);
        bound.index = set(rule.binds);
        return build_.emit(bound, {field(space, 0)});
    }

    // --- facts

    Register field(std::uint16_t item, std::uint16_t index) { // NOLINT(misc-no-recursion)
        const book::Field &f = book_.items[item].fields[index];
        Slot &slot = program_.slots[f.slot];
        if (slot.value != no_register)
            return facts_[f.slot];
        Instruction load = start(Op::load, item);
        load.index = f.slot;
        load.non_negative = f.type.is_quantity() && !f.type.dimension.point &&
                            !(f.type.dimension == dimension::temperature_difference);
        load.scale = scale_of(f.type);
        Register value = build_.emit(load);
        if (!f.implied.empty()) {
            std::vector<Register> sources = {value};
            for (const NodeId implied : f.implied)
                sources.push_back(lower(implied, item, {}));
            Instruction join = start(Op::join, item);
            join.index = f.slot;
            join.scale = load.scale;
            join.non_negative = std::all_of(sources.begin(), sources.end(),
                                            [&](Register r) { return build_.non_negative(r); });
            value = build_.emit(join, sources);
        }
        program_.slots[f.slot].value = value;
        facts_[f.slot] = without_facing_bounds(value, load.scale);
        return facts_[f.slot];
    }

    // Two sources may bound a fact from both sides, and a cell holds one bound. Which of the two is
    // told can't depend on which is known first, or learning one would unsay the other: then only
    // "at least" is passed on, as `larger_of` does.
    Register without_facing_bounds(Register fact, double scale) {
        const Instruction in = build_.at(fact);
        if (!in.may_be_least || !in.may_be_most)
            return fact;
        Instruction lower = start(Op::larger, in.space);
        lower.scale = scale;
        lower.non_negative = in.non_negative;
        return build_.emit(lower, {fact, fact});
    }

    Register define(std::uint32_t index) { // NOLINT(misc-no-recursion)
        Register &value = defines_[index];
        if (value == no_register) {
            const book::Define &d = book_.defines[index];
            value = lower(d.value, static_cast<std::uint16_t>(d.item), {});
        }
        return value;
    }

    Register function(const Node &n, std::uint16_t space,
                      const Env &env) { // NOLINT(misc-no-recursion)
        const book::Define &d = book_.defines[static_cast<std::size_t>(n.index)];
        if (functions_ >= limits::definition_depth) {
            diagnostics_.error("too-deep", d.span,
                               "definitions stand in one another deeper than " +
                                   std::to_string(limits::definition_depth) + " here");
            stopped_ = true;
            return build_.constant(0, space);
        }
        std::vector<Register> arguments;
        for (const NodeId child : n.children)
            arguments.push_back(lower(child, space, env));
        Env inner;
        inner.parameters = &arguments;
        ++functions_;
        const Register value = lower(d.value, space, inner);
        --functions_;
        return value;
    }

    // --- expressions

    // The register of a node in a space; the node's own item is that space's or one above.
    Register lower(NodeId id, std::uint16_t space, const Env &env) { // NOLINT(misc-no-recursion)
        const Node &n = book_.nodes[id];
        ++lowered_;
        if (too_large(n.span) || too_deep(n.span))
            return build_.constant(0, space);
        ++depth_;
        const Register reg = lower_node(n, space, env);
        --depth_;
        if (env.parameters == nullptr && env.sought.empty())
            program_.nodes[id] = reg;
        return reg;
    }

    Register lower_node(const Node &n, std::uint16_t space,
                        const Env &env) { // NOLINT(misc-no-recursion)
        switch (n.op) {
        case NodeOp::constant:
        case NodeOp::limit:
            return build_.constant(n.value, space);
        case NodeOp::unknown:
            return build_.emit(start(Op::unknown, space));
        case NodeOp::not_encoded:
            return build_.emit(start(Op::not_encoded, space));
        case NodeOp::field:
            return build_.seen_from(
                field(static_cast<std::uint16_t>(n.item), static_cast<std::uint16_t>(n.index)),
                space);
        case NodeOp::define:
            return book_.defines[static_cast<std::size_t>(n.index)].item >= 0
                       ? build_.seen_from(define(static_cast<std::uint32_t>(n.index)), space)
                       : function(n, space, env);
        case NodeOp::parameter:
            return (*env.parameters)[static_cast<std::size_t>(n.index)];
        case NodeOp::element:
            return build_.constant(env.sought[static_cast<std::size_t>(n.index)], space);
        case NodeOp::applies: {
            const auto index = static_cast<std::uint32_t>(n.index);
            rule(index);
            return build_.seen_from(program_.rules[index].applies, space);
        }
        case NodeOp::smallest:
        case NodeOp::largest:
            return search(n, space, env);
        case NodeOp::any:
        case NodeOp::all:
        case NodeOp::count:
        case NodeOp::sum:
        case NodeOp::max:
        case NodeOp::min:
        case NodeOp::complete:
            return reduction(n, space);
        default:
            return operation(n, space, env);
        }
    }

    bool never_negative(Op op, const Node &n, const std::vector<Register> &arguments) const {
        const auto non_negative = [&](Register r) { return build_.non_negative(r); };
        switch (op) {
        case Op::add:
        case Op::multiply:
        case Op::divide:
        case Op::smaller:
        case Op::round_down:
        case Op::round_up:
        case Op::round_nearest:
            return std::all_of(arguments.begin(), arguments.end(), non_negative);
        case Op::larger:
            return std::any_of(arguments.begin(), arguments.end(), non_negative);
        case Op::choose_value:
            return non_negative(arguments[1]) && non_negative(arguments[2]);
        case Op::lookup: {
            const std::vector<double> &cells =
                program_.tables[static_cast<std::size_t>(n.index)].cells;
            return std::none_of(cells.begin(), cells.end(), [](double v) { return v < 0; });
        }
        default:
            return false;
        }
    }

    Register operation(const Node &n, std::uint16_t space,
                       const Env &env) { // NOLINT(misc-no-recursion)
        std::vector<Register> arguments;
        for (const NodeId child : n.children)
            arguments.push_back(lower(child, space, env));
        Op op = plain_op(n.op);
        if (n.op == NodeOp::conditional)
            op = n.type.is_truth() ? Op::choose_truth : Op::choose_value;
        if (n.op == NodeOp::at_most || n.op == NodeOp::less_than)
            std::swap(arguments[0], arguments[1]);
        Instruction in = start(op, space);
        const bool compares = op == Op::equal || op == Op::at_least || op == Op::more_than;
        in.scale = compares ? scale_of(book_.nodes[n.children[0]].type) : scale_of(n.type);
        if (op == Op::lookup) {
            in.index = static_cast<std::uint32_t>(n.index);
            in.column = static_cast<std::uint32_t>(n.column);
        } else if (op == Op::in_set) {
            in.index = set(n.set);
        }
        in.non_negative = never_negative(op, n, arguments);
        return build_.emit(in, arguments);
    }

    std::uint32_t set(const std::vector<std::uint8_t> &flags) {
        const auto there = std::find(program_.sets.begin(), program_.sets.end(), flags);
        const auto index = static_cast<std::uint32_t>(there - program_.sets.begin());
        if (there == program_.sets.end())
            program_.sets.push_back(flags);
        return index;
    }

    Register search(const Node &n, std::uint16_t space,
                    const Env &env) { // NOLINT(misc-no-recursion)
        const book::List &list = book_.lists[static_cast<std::size_t>(n.index)];
        if (n.where == book::no_node)
            return build_.constant(
                n.op == NodeOp::smallest ? list.values.front() : list.values.back(), space);
        Instruction in = start(Op::first_where, space);
        in.index = static_cast<std::uint32_t>(n.index);
        in.non_negative = list.values.front() >= 0;
        in.scale = scale_of(n.type);
        if (const auto limit = threshold(book_, n)) {
            in.op = Op::next;
            return build_.emit(in, {lower(*limit, space, env)});
        }
        in.column = n.op == NodeOp::largest ? 1 : 0;
        std::vector<Register> tests;
        for (std::size_t i = 0; i < list.values.size(); ++i) {
            Env inner = env;
            inner.sought.push_back(
                list.values[n.op == NodeOp::largest ? list.values.size() - 1 - i : i]);
            tests.push_back(lower(n.where, space, inner));
        }
        return build_.emit(in, tests);
    }

    Register reduction(const Node &n, std::uint16_t space) { // NOLINT(misc-no-recursion)
        const auto owner = static_cast<std::uint16_t>(n.item);
        const auto child = static_cast<std::uint16_t>(n.index);
        Instruction whole = start(Op::open_list, owner);
        whole.child = child;
        const Register completeness = build_.emit(whole);
        if (n.op == NodeOp::complete)
            return build_.seen_from(completeness, space);
        Instruction in = start(Op::any_of, owner);
        in.child = child;
        in.op = n.op == NodeOp::any     ? Op::any_of
                : n.op == NodeOp::all   ? Op::all_of
                : n.op == NodeOp::count ? Op::count_of
                : n.op == NodeOp::sum   ? Op::sum_of
                : n.op == NodeOp::max   ? Op::max_of
                                        : Op::min_of;
        in.scale = scale_of(n.type);
        std::vector<Register> arguments = {completeness, n.where == book::no_node
                                                             ? build_.constant(1, child)
                                                             : lower(n.where, child, {})};
        if (n.op != NodeOp::count)
            arguments.push_back(n.body == book::no_node ? build_.constant(1, child)
                                                        : lower(n.body, child, {}));
        in.non_negative = n.op == NodeOp::count || build_.non_negative(arguments[2]);
        return build_.seen_from(build_.emit(in, arguments), space);
    }

    // --- rules

    std::vector<Register> parts(const std::vector<book::Part> &list,
                                std::uint16_t space) { // NOLINT(misc-no-recursion)
        std::vector<Register> out;
        out.reserve(list.size());
        for (const book::Part &p : list)
            out.push_back(lower(p.node, space, {}));
        return out;
    }

    void rule(std::uint32_t index) { // NOLINT(misc-no-recursion)
        if (rules_done_[index])
            return;
        const book::Rule &r = book_.rules[index];
        RuleCode code;
        code.space = static_cast<std::uint16_t>(r.item);
        code.bound = bound_work(r, code.space);
        std::vector<Register> scope = {code.bound};
        for (const book::Condition &c : r.conditions)
            code.conditions.push_back(lower(c.node, code.space, {}));
        scope.insert(scope.end(), code.conditions.begin(), code.conditions.end());
        code.listed = parts(r.listed, code.space);
        scope.push_back(build_.joined(Op::disjunction, code.listed, code.space));
        code.scope = build_.joined(Op::conjunction, scope, code.space);
        code.exceptions = parts(r.exceptions, code.space);
        code.excepted = build_.joined(Op::disjunction, code.exceptions, code.space);
        code.applies = code.excepted == no_register
                           ? code.scope
                           : build_.joined(Op::conjunction,
                                           {code.scope, build_.negated(code.excepted)}, code.space);
        code.paths = parts(r.paths, code.space);
        code.permits = parts(r.permits, code.space);
        code.requirement =
            r.requirement == book::no_node ? no_register : lower(r.requirement, code.space, {});
        code.met =
            build_.joined(Op::conjunction,
                          {code.requirement, build_.joined(Op::disjunction, code.paths, code.space),
                           build_.joined(Op::disjunction, code.permits, code.space)},
                          code.space);
        if (tells_messages_)
            lower_messages(r, code.space);
        program_.rules[index] = std::move(code);
        rules_done_[index] = true;
    }

    void lower_messages(const book::Rule &r, std::uint16_t space) { // NOLINT(misc-no-recursion)
        const auto each = [&](const std::vector<book::MessagePart> &message) {
            for (const book::MessagePart &p : message) {
                if (p.value != book::no_node)
                    lower(p.value, space, {});
            }
        };
        each(r.says);
        for (const auto *list : {&r.listed, &r.exceptions, &r.paths, &r.permits}) {
            for (const book::Part &p : *list)
                each(p.says);
        }
    }

    const book::Book &book_;
    Program &program_;
    Diagnostics &diagnostics_;
    Builder build_;
    std::vector<Register> facts_; // by slot: what readers of a fact see
    std::vector<Register> defines_;
    std::vector<bool> rules_done_;
    std::size_t functions_ = 0; // that stand in one another here
    std::size_t lowered_ = 0;
    std::size_t depth_ = 0;
    bool tells_messages_ = true;
    bool stopped_ = false;
};

} // namespace

Program compile(const book::Book &book, Diagnostics &diagnostics) {
    Program program;
    Compiler(book, program, diagnostics).run(nullptr);
    return program;
}

Program compile(const book::Book &book, const Excerpt &excerpt) {
    Program program;
    Diagnostics none; // the whole book gave none
    Compiler(book, program, none).run(&excerpt);
    return program;
}

} // namespace groundrule::program
