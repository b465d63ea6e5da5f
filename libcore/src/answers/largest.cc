#include "answers/largest.h"

#include "answers/closing.h"
#include "evaluate/scalar.h"
#include "report/paragraph.h"

#include <cmath>

namespace groundrule::answers {

namespace {

class Scan {
  public:
    Scan(const Subject &subject, const Place &at)
        : subject_(subject), at_(at), trial_(subject), reach_(trial_.reach(std::span(&at_, 1))),
          turning_(trial_.turn_on(std::span(&at_, 1))) {}

    // Whether the value is lawful; if not, what stands against it.
    bool lawful(double value) {
        violated.clear();
        open.clear();
        const Setting setting{at_, exactly(value)};
        if (!trial_.set(std::span(&setting, 1)))
            return false;
        const auto now = trial_.verdicts();
        std::vector<std::size_t> undecided;
        for (std::size_t v = 0; v < now.size(); ++v) {
            if (!reach_[v] || !trial_.counts(v))
                continue;
            if (now[v] == Verdict::violates)
                violated.push_back(v);
            else if (turning_[v] && now[v] == Verdict::undetermined)
                undecided.push_back(v);
        }
        if (!undecided.empty()) {
            evaluate::run(subject_.program, trial_.job(), workspace_);
            for (const std::size_t v : undecided) {
                const program::RuleCode &code = subject_.program.rules[trial_.rule_of(v)];
                if (truth_in(workspace_.cell(code.applies, trial_.row_of(v))) == Truth::yes)
                    open.push_back(v);
            }
        }
        return violated.empty() && open.empty();
    }

    std::vector<std::size_t> violated;
    std::vector<std::size_t> open;

  private:
    const Subject &subject_;
    Place at_;
    Trial trial_;
    std::vector<bool> reach_;
    std::vector<bool> turning_;
    evaluate::Workspace workspace_;
};

std::string value(const Subject &subject, const Largest &l, double v) {
    return value_text(subject.book, field_of(subject.book, l.at).type, v);
}

std::string finding(const Subject &subject, const Trial &trial, std::size_t v) {
    const book::Rule &rule = subject.book.rules[trial.rule_of(v)];
    return rule.citation + "  " + rule.title + ", " +
           report::path_of(subject.job, rule.item, trial.row_of(v));
}

report::Json findings_json(const Subject &subject, const Trial &trial,
                           const std::vector<std::size_t> &verdicts) {
    report::Json out = report::Json::array();
    for (const std::size_t v : verdicts) {
        const book::Rule &rule = subject.book.rules[trial.rule_of(v)];
        out.push_back({{"citation", rule.citation},
                       {"rule", rule.topic},
                       {"item", report::path_of(subject.job, rule.item, trial.row_of(v))}});
    }
    return out;
}

std::string promise() {
    return "Every point of the grid was checked by itself. A value is lawful here if, of the rules "
           "of this book that count and depend on it, none violates and none that is known to "
           "apply, and whose requirement asks for the fact, is open. All other facts stay as they "
           "are told. Between two points nothing is said.";
}

} // namespace

std::size_t points_of(const Grid &grid) {
    if (!(grid.step > 0) || !(grid.to >= grid.from))
        return 0;
    const double steps = std::floor((grid.to - grid.from) / grid.step + 1e-9);
    return steps < static_cast<double>(most_points) ? static_cast<std::size_t>(steps) + 1 : 0;
}

std::optional<Largest> largest(const Subject &subject, const Place &at, const Grid &grid,
                               const GoOn &go_on) {
    Largest out;
    out.at = at;
    out.grid = grid;
    out.points = points_of(grid);
    Scan scan(subject, at);
    const double scale = scale_of(field_of(subject.book, at).type);
    bool inside = false;
    bool ended = false;
    for (std::size_t i = 0; i < out.points; ++i) {
        if (told_to_stop(go_on, i, out.points))
            return std::nullopt;
        const double point = snapped(grid.from + static_cast<double>(i) * grid.step, scale);
        const bool lawful = scan.lawful(point);
        if (lawful && inside)
            out.lawful.back().to = point;
        else if (lawful)
            out.lawful.push_back({point, point});
        else if (inside || !ended) {
            out.violated = scan.violated;
            out.open = scan.open;
            ended = true;
        }
        inside = lawful;
    }
    out.to_the_end = inside;
    if (inside) {
        out.violated.clear();
        out.open.clear();
    }
    return out;
}

std::string largest_text(const Subject &subject, const Largest &l) {
    const Trial trial(subject);
    std::string out =
        "Book " + subject.book.name + "\n\n" + fact_name(subject.book, l.at) + " of " +
        report::path_of(subject.job, l.at.item, static_cast<std::size_t>(l.at.row)) + ", from " +
        value(subject, l, l.grid.from) + " to " + value(subject, l, l.grid.to) + " by " +
        value(subject, l, l.grid.step) + ":\n";
    if (l.lawful.empty())
        out += "no value is lawful.\n";
    else
        out += "at most " + value(subject, l, l.lawful.back().to) +
               (l.to_the_end ? ", where the grid ends" : "") + ".\n";
    for (const Lawful &range : l.lawful)
        out += "  lawful from " + value(subject, l, range.from) + " to " +
               value(subject, l, range.to) + "\n";
    for (const std::size_t v : l.violated)
        out += "  beyond it violated: " + finding(subject, trial, v) + "\n";
    for (const std::size_t v : l.open)
        out += "  beyond it open: " + finding(subject, trial, v) + "\n";
    out += "\n" + report::paragraph(promise(), 0) +
           report::paragraph(std::to_string(l.points) + " points checked.", 0);
    return out + closing_text(subject.book);
}

std::string largest_json(const Subject &subject, const Largest &l) {
    const Trial trial(subject);
    report::Json lawful = report::Json::array();
    for (const Lawful &range : l.lawful)
        lawful.push_back(
            {{"from", value(subject, l, range.from)}, {"to", value(subject, l, range.to)}});
    report::Json out = {
        {"book", report::book_json(subject.book)},
        {"fact", fact_name(subject.book, l.at)},
        {"item", report::path_of(subject.job, l.at.item, static_cast<std::size_t>(l.at.row))},
        {"largest", l.lawful.empty() ? report::Json(nullptr)
                                     : report::Json(value(subject, l, l.lawful.back().to))},
        {"grid_ends_there", l.to_the_end},
        {"lawful", std::move(lawful)},
        {"points", l.points},
        {"violated_beyond", findings_json(subject, trial, l.violated)},
        {"open_beyond", findings_json(subject, trial, l.open)},
        {"promise", promise()}};
    close_json(subject.book, out);
    return out.dump(2) + "\n";
}

} // namespace groundrule::answers
