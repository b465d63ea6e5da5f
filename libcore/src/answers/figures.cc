// Operations with the values of their parts, as one would write them on paper.
#include "answers/explain.h"

#include "book/expression_text.h"
#include "report/values.h"

#include <algorithm>

namespace groundrule::answers {

using book::NodeOp;

namespace {

// As on paper; the language has signs of its own for these three.
const char *sign(NodeOp op) {
    switch (op) {
    case NodeOp::subtract:
        return " − ";
    case NodeOp::multiply:
        return " × ";
    case NodeOp::divide:
        return " ÷ ";
    default:
        return book::infix(op);
    }
}

bool is_product(NodeOp op) {
    return op == NodeOp::multiply || op == NodeOp::divide;
}
bool is_sum(NodeOp op) {
    return op == NodeOp::add || op == NodeOp::subtract;
}
bool is_logical(NodeOp op) {
    return op == NodeOp::logical_and || op == NodeOp::logical_or;
}
bool is_rounding(NodeOp op) {
    return op == NodeOp::round_down || op == NodeOp::round_up || op == NodeOp::round_nearest;
}
// "the larger of 3 and 5"
bool is_told_in_words(NodeOp op) {
    return is_rounding(op) || op == NodeOp::larger || op == NodeOp::smaller;
}

// Whether an operation that stands in another could be read otherwise. "8 A + 4 A at most 20 A" can
// not.
bool needs_brackets(NodeOp around, NodeOp inner, bool first) {
    if (inner == NodeOp::conditional) // "open, since …"
        return true;
    if (is_told_in_words(inner))
        return is_sum(around) || is_product(around) || is_told_in_words(around);
    if (is_logical(around))
        return is_logical(inner) && inner != around;
    if (is_product(around))
        return !first || !is_product(inner);
    if (is_sum(around))
        return !first && !is_product(inner);
    return is_rounding(around);
}

class Figures {
  public:
    explicit Figures(const Explanation &e) : e_(e), steps_(e.steps) {}

    std::string value(std::uint32_t at) const {
        return report::cell_text(*e_.book, steps_[at].type, steps_[at].value);
    }

    // What a step does; of a step with a name, how it comes to its value.
    std::string of(std::uint32_t at) const { // NOLINT(misc-no-recursion)
        const Step &s = steps_[at];
        switch (s.source) {
        case Source::implied:
            return called(s.parts[0]);
        case Source::derived:
        case Source::called:
            return called(s.parts.back());
        case Source::table:
        case Source::list:
            return called(at);
        case Source::counted:
            return over_a_list(s);
        case Source::computed:
            return operation(s);
        default:
            return {};
        }
    }

  private:
    // A part by its value, or by its name where a bare yes or no would tell nothing.
    std::string part(std::uint32_t at) const { // NOLINT(misc-no-recursion)
        const Step &s = steps_[at];
        if (s.source == Source::constant)
            return s.words;
        if (!s.name.empty() || s.source == Source::not_encoded)
            return s.type.is_truth()
                       ? (s.name.empty() ? "what is not written out" : s.name) + ": " + value(at)
                       : value(at);
        return operation(s);
    }

    std::string called(std::uint32_t at) const { // NOLINT(misc-no-recursion)
        const Step &s = steps_[at];
        if (s.source == Source::table) {
            std::string keys;
            for (const std::uint32_t k : s.parts)
                keys += (keys.empty() ? "" : ", ") + value(k);
            return s.name + " [" + keys + "]";
        }
        if (s.source == Source::list) {
            if (s.words == "at_least")
                return "next in " + s.name + " from " + part(s.parts[0]);
            return std::string(s.largest ? "largest in " : "smallest in ") + s.name +
                   (s.parts.empty() ? "" : " that does");
        }
        if (s.source == Source::counted)
            return over_a_list(s);
        if (s.op == NodeOp::conditional && s.parts.size() == 2)
            return called(s.parts[1]);
        return s.name.empty() ? part(at) : s.name;
    }

    std::string over_a_list(const Step &s) const { // NOLINT(misc-no-recursion)
        std::string out;
        std::size_t counting = 0;
        for (const Element &e : s.elements) {
            const Truth filter =
                e.filter == no_step ? Truth::yes : truth_in(steps_[e.filter].value);
            if (filter == Truth::no)
                continue;
            ++counting;
            if (s.op == NodeOp::count || e.body == no_step)
                continue;
            out += (out.empty()           ? ""
                    : s.op == NodeOp::sum ? " + "
                                          : ", ") +
                   (s.type.is_truth() ? value(e.body) : part(e.body)) +
                   (filter == Truth::unknown ? " (perhaps)" : "");
        }
        std::string what =
            s.op == NodeOp::count || out.empty() ? std::to_string(counting) + " counted" : out;
        if (s.op == NodeOp::max || s.op == NodeOp::min)
            what = std::string(s.op == NodeOp::max ? "largest of " : "smallest of ") + what;
        return what + (s.complete ? "" : "; there may be more");
    }

    std::string chosen(const Step &s) const { // NOLINT(misc-no-recursion)
        const Step &what = steps_[s.parts[0]];
        return (what.name.empty() ? "" : what.name + ": ") + value(s.parts[0]);
    }

    std::string arguments(const Step &s) const { // NOLINT(misc-no-recursion)
        std::string out;
        for (std::size_t k = 0; k < s.parts.size(); ++k)
            out += (k == 0                    ? ""
                    : k + 1 == s.parts.size() ? " and "
                                              : ", ") +
                   bracketed(s, s.parts[k], false);
        return out;
    }

    std::string operation(const Step &s) const { // NOLINT(misc-no-recursion)
        switch (s.op) {
        case NodeOp::in_set:
            return chosen(s);
        case NodeOp::logical_not:
            return "not (" + part(s.parts[0]) + ")";
        case NodeOp::larger:
            return "the larger of " + arguments(s);
        case NodeOp::smaller:
            return "the smaller of " + arguments(s);
        case NodeOp::round_down:
            return bracketed(s, s.parts[0], true) + " rounded down to " + part(s.parts[1]);
        case NodeOp::round_up:
            return bracketed(s, s.parts[0], true) + " rounded up to " + part(s.parts[1]);
        case NodeOp::round_nearest:
            return bracketed(s, s.parts[0], true) + " rounded to " + part(s.parts[1]);
        case NodeOp::conditional:
            if (s.parts.size() == 2)
                return part(s.parts[1]);
            return (s.value.known() ? "the same either way, with "
                                    : "open, since it is not known whether ") +
                   part(s.parts[0]);
        case NodeOp::unknown:
            return "unknown";
        default:
            return joined(s);
        }
    }

    std::string joined(const Step &s) const { // NOLINT(misc-no-recursion)
        const char *between = sign(s.op);
        std::string out;
        for (std::size_t k = 0; between != nullptr && k < s.parts.size(); ++k)
            out += (k == 0 ? "" : between) + bracketed(s, s.parts[k], k == 0);
        return out;
    }

    // Of a choice the branch that was taken is written in its place.
    std::string bracketed(const Step &s, std::uint32_t at, bool first) const { // NOLINT
        while (steps_[at].op == NodeOp::conditional && steps_[at].parts.size() == 2)
            at = steps_[at].parts[1];
        const Step &inner = steps_[at];
        return inner.source == Source::computed && needs_brackets(s.op, inner.op, first)
                   ? "(" + part(at) + ")"
                   : part(at);
    }

    const Explanation &e_;
    const std::vector<Step> &steps_;
};

} // namespace

std::string figures(const Explanation &explanation, std::uint32_t step) {
    return Figures(explanation).of(step);
}

std::string shown(const Explanation &explanation, std::uint32_t step) {
    return Figures(explanation).value(step);
}

} // namespace groundrule::answers
