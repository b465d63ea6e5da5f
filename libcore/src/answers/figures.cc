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
            return s.parts.empty() ? "" : called(s.parts[0]);
        case Source::derived:
        case Source::called:
            return s.parts.empty() ? "" : called(s.parts.back());
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
        if (s.op == NodeOp::conditional && s.name.empty() && s.parts.size() == 2)
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

    std::string arguments(const Step &s, std::size_t first) const { // NOLINT(misc-no-recursion)
        std::string out;
        for (std::size_t k = first; k < s.parts.size(); ++k)
            out += (k == first                ? ""
                    : k + 1 == s.parts.size() ? " and "
                                              : ", ") +
                   (in_words(steps_[s.parts[k]]) ? "(" + part(s.parts[k]) + ")" : part(s.parts[k]));
        return out;
    }

    std::string operation(const Step &s) const { // NOLINT(misc-no-recursion)
        switch (s.op) {
        case NodeOp::in_set:
            return chosen(s);
        case NodeOp::logical_not:
            return "not (" + part(s.parts[0]) + ")";
        case NodeOp::larger:
            return "the larger of " + arguments(s, 0);
        case NodeOp::smaller:
            return "the smaller of " + arguments(s, 0);
        case NodeOp::round_down:
            return bracketed(s, s.parts[0], true) + " rounded down to " + part(s.parts[1]);
        case NodeOp::round_up:
            return bracketed(s, s.parts[0], true) + " rounded up to " + part(s.parts[1]);
        case NodeOp::round_nearest:
            return bracketed(s, s.parts[0], true) + " rounded to " + part(s.parts[1]);
        case NodeOp::conditional:
            return s.parts.size() == 2 ? part(s.parts[1])
                                       : "open, since it is not known whether " + part(s.parts[0]);
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

    // "the larger of 3 and 5": within another operation it needs brackets.
    static bool in_words(const Step &s) {
        return s.source == Source::computed && s.op >= NodeOp::larger &&
               s.op <= NodeOp::round_nearest;
    }

    std::string bracketed(const Step &s, std::uint32_t at, bool first) const { // NOLINT
        const Step &inner = steps_[at];
        const bool plain =
            inner.source != Source::computed || !inner.name.empty() || sign(inner.op) == nullptr ||
            (is_logical(s.op) && (inner.op == s.op || !is_logical(inner.op))) ||
            (is_product(s.op) && first && is_product(inner.op)) ||
            (is_sum(s.op) && (is_product(inner.op) || (first && is_sum(inner.op)))) ||
            (!is_logical(s.op) && !is_product(s.op) && !is_sum(s.op));
        return plain ? part(at) : "(" + part(at) + ")";
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
