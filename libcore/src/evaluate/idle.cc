// One run with nothing known, then the conditions of each rule against each other.
#include "evaluate/idle.h"

#include "evaluate/scalar.h"

#include <algorithm>
#include <limits>
#include <map>

namespace groundrule::evaluate {

namespace {

using program::Instruction;
using program::Op;
using program::Register;

// What conditions leave of one register: a range, a set of choices, or one truth.
struct Left {
    double low = -std::numeric_limits<double>::infinity();
    double high = std::numeric_limits<double>::infinity();
    bool low_open = false;
    bool high_open = false;
    std::vector<std::uint8_t> choices;
    Truth truth = Truth::unknown;
    bool empty() const {
        if (low > high || (low == high && (low_open || high_open)))
            return true;
        if (choices.empty())
            return false;
        return std::none_of(choices.begin(), choices.end(), [](std::uint8_t c) { return c != 0; });
    }
};

// Conditions that are to hold together. Sound, not complete: an exclusion that is told is certain.
class Conditions {
  public:
    explicit Conditions(const program::Program &program) : program_(&program) {}

    // Takes that a truth is yes, or no. False if what was taken excludes itself: then there is
    // nothing left to be asked.
    bool take(Register reg, bool yes = true) { return narrow(reg, yes); }

  private:
    Register argument(const Instruction &in, std::size_t k) const {
        return program_->arguments[in.first + k];
    }

    bool narrow(Register reg, bool yes) { // NOLINT(misc-no-recursion)
        const Instruction &in = program_->code[reg];
        switch (in.op) {
        case Op::constant:
            return (in.value != 0) == yes;
        case Op::negation:
            return narrow(argument(in, 0), !yes);
        case Op::conjunction:
            return yes ? each(in, true) : some(in, false);
        case Op::disjunction:
            return yes ? some(in, true) : each(in, false);
        case Op::in_set:
            return in_set(argument(in, 0), program_->sets[in.index], yes);
        case Op::at_least:
            return yes ? order(argument(in, 0), argument(in, 1), false, in.scale)
                       : order(argument(in, 1), argument(in, 0), true, in.scale);
        case Op::more_than:
            return yes ? order(argument(in, 0), argument(in, 1), true, in.scale)
                       : order(argument(in, 1), argument(in, 0), false, in.scale);
        case Op::equal:
            return !yes || (order(argument(in, 0), argument(in, 1), false, in.scale) &&
                            order(argument(in, 1), argument(in, 0), false, in.scale));
        default:
            return truth(reg, yes);
        }
    }

    bool each(const Instruction &in, bool yes) { // NOLINT(misc-no-recursion)
        for (std::size_t k = 0; k < in.count; ++k) {
            if (!narrow(argument(in, k), yes))
                return false;
        }
        return true;
    }

    // One of several has to hold: all but one may be excluded, and that one then holds too.
    bool some(const Instruction &in, bool yes) { // NOLINT(misc-no-recursion)
        if (depth_ == deepest || left_.size() > largest)
            return true;
        std::vector<Register> open;
        for (std::size_t k = 0; k < in.count && open.size() < 2; ++k) {
            Conditions copy = *this;
            ++copy.depth_;
            if (copy.narrow(argument(in, k), yes))
                open.push_back(argument(in, k));
        }
        return open.size() > 1 || (open.size() == 1 && narrow(open.front(), yes));
    }

    bool truth(Register reg, bool yes) {
        Truth &known = left_[reg].truth;
        const Truth wanted = truth_of(yes);
        if (known == Truth::unknown)
            known = wanted;
        return known == wanted;
    }

    bool in_set(Register reg, const std::vector<std::uint8_t> &set, bool yes) {
        Left &left = left_[reg];
        if (left.choices.empty())
            left.choices.assign(set.size(), 1);
        for (std::size_t i = 0; i < set.size() && i < left.choices.size(); ++i)
            left.choices[i] = left.choices[i] != 0 && (set[i] != 0) == yes ? 1 : 0;
        return !left.empty();
    }

    bool order(Register larger, Register smaller, bool strict, double scale) {
        const Instruction &a = program_->code[larger];
        const Instruction &b = program_->code[smaller];
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

    // Alternatives are tried one by one, each on a copy: only so deep, and only of so much.
    static constexpr int deepest = 3;
    static constexpr std::size_t largest = 256;

    const program::Program *program_;
    std::map<Register, Left> left_;
    int depth_ = 0;
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
        for (const auto &[place, text] : texts_) {
            if (text.idle == text.rules)
                warn("never", text.span, text.message);
        }
    }

  private:
    bool never(Register reg) const { return truth_in(workspace_.cell(reg, 0)) == Truth::no; }

    void warn(const char *code, Span span, std::string message) {
        diagnostics_.warning(code, span, std::move(message));
    }

    static std::string named(const book::Rule &r) {
        return "the rule " + r.citation + " (" + r.topic + ")";
    }

    // "exception 2", "the path \"Listed cable\"", for want of a label.
    static std::string named(const book::Part &p, const char *what) {
        if (!p.displaced_by.empty())
            return std::string(what) + " that " + p.displaced_by + " makes";
        return std::string(what) + " " + (p.label.empty() ? "\"" + p.title + "\"" : p.label);
    }

    void rule(const book::Rule &r, const program::RuleCode &code) {
        Conditions scope(program_);
        if (never(code.scope) || !scope.take(code.scope)) {
            warn("never", r.span, named(r) + " can never apply: its conditions exclude each other");
            return;
        }
        for (std::size_t i = 0; i < r.exceptions.size(); ++i) {
            Conditions apart = scope;
            if (apart.take(code.exceptions[i], false))
                continue;
            warn("never", span_of(r.exceptions[i], r),
                 named(r) + " can never apply: the " + named(r.exceptions[i], "exception") +
                     " holds wherever it would");
            return;
        }
        if (never(code.applies)) {
            warn("never", r.span, named(r) + " can never apply");
            return;
        }
        parts(r, r.listed, code.listed, scope, "listed part");
        parts(r, r.exceptions, code.exceptions, scope, "exception");
        parts(r, r.paths, code.paths, scope, "path");
        parts(r, r.permits, code.permits, scope, "permission");
        const std::size_t compared = std::min<std::size_t>(r.exceptions.size(), 64);
        for (std::size_t i = 1; i < compared; ++i)
            shadowed(r, code, scope, i);
    }

    Span span_of(const book::Part &part, const book::Rule &r) const {
        const Span span = book_.nodes[part.node].span;
        return span.file == Span::no_file ? r.span : span;
    }

    void parts(const book::Rule &r, const std::vector<book::Part> &list,
               const std::vector<Register> &registers, const Conditions &scope, const char *what) {
        for (std::size_t i = 0; i < list.size(); ++i) {
            Conditions both = scope;
            const Span span = span_of(list[i], r);
            Text &text = texts_[{span.file, span.begin}];
            ++text.rules;
            if (!never(registers[i]) && both.take(registers[i]))
                continue;
            if (text.idle++ == 0) {
                text.span = span;
                text.message = "the " + named(list[i], what) + " of rule " + r.citation + " (" +
                               r.topic + ") can never hold";
            }
        }
    }

    // An exception that holds only where one before it does excuses nothing.
    void shadowed(const book::Rule &r, const program::RuleCode &code, const Conditions &scope,
                  std::size_t later) {
        const auto written = [](const book::Part &p) {
            return p.encoded && p.displaced_by.empty();
        };
        Conditions holds = scope;
        if (!written(r.exceptions[later]) || !holds.take(code.exceptions[later]))
            return;
        for (std::size_t i = 0; i < later; ++i) {
            Conditions alone = holds;
            if (!written(r.exceptions[i]) || alone.take(code.exceptions[i], false))
                continue;
            warn("shadowed", span_of(r.exceptions[later], r),
                 "the " + named(r.exceptions[later], "exception") + " of rule " + r.citation +
                     " (" + r.topic + ") never decides: the " +
                     named(r.exceptions[i], "exception") + " holds wherever it does");
            return;
        }
    }

    // A part that a clause, or a layer, gives to several rules may be idle in some of them.
    struct Text {
        Span span;
        std::string message;
        std::size_t rules = 0;
        std::size_t idle = 0;
    };

    const book::Book &book_;
    const program::Program &program_;
    Diagnostics &diagnostics_;
    Workspace workspace_;
    std::map<std::pair<std::uint32_t, std::uint32_t>, Text> texts_;
};

} // namespace

void find_idle(const book::Book &book, const program::Program &program, Diagnostics &diagnostics) {
    Finder(book, program, diagnostics).run();
}

} // namespace groundrule::evaluate
