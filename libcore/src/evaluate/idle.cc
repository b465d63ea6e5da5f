// One run with nothing known, then the conditions of each rule against each other.
#include "evaluate/idle.h"

#include "evaluate/scalar.h"

#include <limits>
#include <map>

namespace groundrule::evaluate {

namespace {

using program::Instruction;
using program::Op;
using program::Register;

// What a conjunction leaves of one register: a range, or a set of choices.
struct Left {
    double low = -std::numeric_limits<double>::infinity();
    double high = std::numeric_limits<double>::infinity();
    bool low_open = false;
    bool high_open = false;
    std::vector<std::uint8_t> choices;
    bool empty() const {
        if (low > high || (low == high && (low_open || high_open)))
            return true;
        if (choices.empty())
            return false;
        for (const std::uint8_t c : choices) {
            if (c != 0)
                return false;
        }
        return true;
    }
};

class Conditions {
  public:
    explicit Conditions(const program::Program &program) : program_(program) {}

    // False once the conditions taken so far exclude each other.
    bool take(Register reg) { // NOLINT(misc-no-recursion)
        const Instruction &in = program_.code[reg];
        if (in.op == Op::conjunction) {
            for (std::size_t k = 0; k < in.count; ++k) {
                if (!take(argument(in, k)))
                    return false;
            }
            return true;
        }
        if (in.op == Op::in_set)
            return narrow(argument(in, 0), program_.sets[in.index]);
        if (in.op == Op::at_least || in.op == Op::more_than)
            return narrow(argument(in, 0), argument(in, 1), in.op == Op::more_than, in.scale);
        return true;
    }

  private:
    Register argument(const Instruction &in, std::size_t k) const {
        return program_.arguments[in.first + k];
    }

    bool narrow(Register reg, const std::vector<std::uint8_t> &set) {
        Left &left = left_[reg];
        if (left.choices.empty())
            left.choices = set;
        for (std::size_t i = 0; i < set.size() && i < left.choices.size(); ++i)
            left.choices[i] = left.choices[i] != 0 && set[i] != 0 ? 1 : 0;
        return !left.empty();
    }

    bool narrow(Register larger, Register smaller, bool strict, double scale) {
        const Instruction &a = program_.code[larger];
        const Instruction &b = program_.code[smaller];
        if (a.op == Op::constant && b.op != Op::constant) {
            Left &left = left_[smaller];
            const double bound = on_grid(a.value, scale);
            left.high_open =
                bound < left.high ? strict : left.high_open || (strict && bound == left.high);
            left.high = std::min(left.high, bound);
            return !left.empty();
        }
        if (b.op == Op::constant && a.op != Op::constant) {
            Left &left = left_[larger];
            const double bound = on_grid(b.value, scale);
            left.low_open =
                bound > left.low ? strict : left.low_open || (strict && bound == left.low);
            left.low = std::max(left.low, bound);
            return !left.empty();
        }
        return true;
    }

    const program::Program &program_;
    std::map<Register, Left> left_;
};

class Finder {
  public:
    Finder(const book::Book &book, const program::Program &program, Diagnostics &diagnostics)
        : book_(book), program_(program), diagnostics_(diagnostics) {}

    void run() {
        facts::Job nothing(book_);
        for (std::size_t i = 1; i < book_.items.size(); ++i)
            nothing.add(static_cast<std::int32_t>(i), 0);
        evaluate::run(program_, nothing, workspace_);
        for (std::size_t i = 0; i < book_.rules.size(); ++i)
            rule(book_.rules[i], program_.rules[i]);
    }

  private:
    bool never(Register reg) const {
        return reg != program::no_register && truth_in(workspace_.cell(reg, 0)) == Truth::no;
    }

    bool excluded(const program::RuleCode &code, Register part) const {
        Conditions conditions(program_);
        for (const Register c : code.conditions) {
            if (!conditions.take(c))
                return true;
        }
        return part != program::no_register && !conditions.take(part);
    }

    void warn(Span span, std::string message) {
        Diagnostic d;
        d.severity = Severity::warning;
        d.code = "never";
        d.span = span;
        d.message = std::move(message);
        diagnostics_.add(std::move(d));
    }

    void rule(const book::Rule &r, const program::RuleCode &code) {
        if (never(code.applies) || excluded(code, program::no_register)) {
            warn(r.span, "the rule " + r.citation + " (" + r.topic + ") can never apply");
            return;
        }
        parts(r, r.listed, code.listed, code, "listed part");
        parts(r, r.exceptions, code.exceptions, code, "exception");
    }

    void parts(const book::Rule &r, const std::vector<book::Part> &list,
               const std::vector<Register> &registers, const program::RuleCode &code,
               const char *what) {
        for (std::size_t i = 0; i < list.size(); ++i) {
            if (never(registers[i]) || excluded(code, registers[i]))
                warn(book_.nodes[list[i].node].span, std::string("the ") + what + " " +
                                                         list[i].label + " of rule " + r.citation +
                                                         " (" + r.topic + ") can never hold");
        }
    }

    const book::Book &book_;
    const program::Program &program_;
    Diagnostics &diagnostics_;
    Workspace workspace_;
};

} // namespace

void find_idle(const book::Book &book, const program::Program &program, Diagnostics &diagnostics) {
    Finder(book, program, diagnostics).run();
}

} // namespace groundrule::evaluate
