// Walks the typed text of a rule over one run. What the run keeps no register for (the insides of
// functions and searches) is computed here by the same operators.
#include "answers/explain.h"

#include "answers/steps.h"
#include "book/expression_text.h"
#include "evaluate/decision.h"
#include "evaluate/scalar.h"

#include <algorithm>

namespace groundrule::answers {

namespace {

std::string exception_label(const book::Part &part) {
    if (!part.displaced_by.empty())
        return "Displaced by " + part.displaced_by;
    if (part.label.empty())
        return "Exception";
    const bool number = part.label.find_first_not_of("0123456789") == std::string::npos;
    return number ? "Exception No. " + part.label : "Exception " + part.label;
}

class Explainer {
  public:
    Explainer(Explanation &out, const book::Book &book, const program::Program &program,
              const facts::Job &job, const evaluate::Workspace &workspace)
        : out_(out), book_(book), walk_(book, program, job, workspace, out.steps) {}

    void rule(const book::Rule &rule, std::size_t row) {
        const book::Surroundings place{rule.item, &rule, nullptr};
        walk_.speak_of(rule);
        const std::uint32_t bound = walk_.bound(rule, row);
        if (bound != no_step)
            out_.bound.push_back({"work", "", "work is of a kind that the rule binds", true, bound,
                                  layer(rule.layer)});
        for (const book::Condition &c : rule.conditions)
            out_.conditions.push_back({c.name, "", expression_text(book_, c.node, place), true,
                                       walk_.step(c.node, rule.item, row), layer(c.layer)});
        parts(rule.listed, out_.listed, place, row);
        parts(rule.exceptions, out_.exceptions, place, row);
        if (rule.requirement != book::no_node)
            out_.requirement.push_back({"", "", expression_text(book_, rule.requirement, place),
                                        true, walk_.step(rule.requirement, rule.item, row),
                                        layer(rule.layer)});
        parts(rule.paths, out_.paths, place, row);
        parts(rule.permits, out_.permits, place, row);
        name_steps();
    }

  private:
    std::string layer(std::int32_t index) const {
        return book_.layers[static_cast<std::size_t>(index)].name;
    }

    void parts(const std::vector<book::Part> &parts, std::vector<Line> &lines,
               const book::Surroundings &place, std::size_t row) {
        for (const book::Part &p : parts) {
            Line line;
            line.label = p.kind == ast::Part::Kind::exception ? exception_label(p) : p.label;
            line.title = p.title;
            line.words = expression_text(book_, p.node, place);
            line.encoded = p.encoded;
            line.step = walk_.step(p.node, place.self, row);
            line.layer = layer(p.layer);
            lines.push_back(std::move(line));
        }
    }

    // Depth first from the lines of the rule, so that a value is told before what it rests on.
    void name_steps() {
        std::vector<bool> seen(out_.steps.size(), false);
        for (const auto *lines : {&out_.requirement, &out_.paths, &out_.permits, &out_.listed,
                                  &out_.exceptions, &out_.conditions, &out_.bound}) {
            for (const Line &line : *lines)
                name(line.step, seen);
        }
    }

    void name(std::uint32_t root, std::vector<bool> &seen) {
        std::vector<std::uint32_t> next = {root};
        while (!next.empty()) {
            const std::uint32_t at = next.back();
            next.pop_back();
            if (at == no_step || seen[at])
                continue;
            seen[at] = true;
            const Step &s = out_.steps[at];
            if (!s.name.empty())
                out_.named.push_back(at);
            for (std::size_t e = s.elements.size(); e-- > 0;) {
                next.push_back(s.elements[e].body);
                next.push_back(s.elements[e].filter);
            }
            next.insert(next.end(), s.parts.rbegin(), s.parts.rend());
        }
    }

    Explanation &out_;
    const book::Book &book_;
    Walk walk_;
};

// "210.19" asks for "210.19(A)(1)(a)" too, but not for "210.191".
bool asked_for(const std::string &clause, const std::string &citation) {
    return citation == clause || (citation.starts_with(clause) && citation[clause.size()] == '(');
}

} // namespace

Explanation explain(const book::Book &book, const program::Program &program, const facts::Job &job,
                    const evaluate::Workspace &workspace, std::size_t rule, std::size_t row) {
    Explanation out;
    out.book = &book;
    out.finding = report::finding(book, program, job, workspace, rule, row);
    Explainer(out, book, program, job, workspace).rule(book.rules[rule], row);
    return out;
}

std::vector<Explanation> explain_some(const book::Book &book, const program::Program &program,
                                      const facts::Job &job, const evaluate::Workspace &workspace,
                                      const std::string &stage, const std::string &clause,
                                      const std::string &item) {
    std::vector<Explanation> out;
    const auto each = [&](auto wanted) {
        for (std::size_t rule = 0; rule < book.rules.size(); ++rule) {
            const book::Rule &r = book.rules[rule];
            if (!stage.empty() &&
                std::find(r.stages.begin(), r.stages.end(), stage) == r.stages.end())
                continue;
            for (std::size_t row = 0; row < job.rows(r.item).size(); ++row) {
                const std::string path = report::path_of(job, r.item, row);
                if (!item.empty() && item != path && item != job.rows(r.item).id[row])
                    continue;
                if (wanted(r, rule, row))
                    out.push_back(explain(book, program, job, workspace, rule, row));
            }
        }
    };
    if (!clause.empty()) {
        each([&](const book::Rule &r, std::size_t rule, std::size_t row) {
            return r.topic == clause || asked_for(clause, r.citation) ||
                   evaluate::finding_citation(r, program.rules[rule], row, workspace) == clause;
        });
        return out;
    }
    const auto counting = [&](Verdict verdict, bool applying) {
        each([&](const book::Rule &r, std::size_t rule, std::size_t row) {
            const program::RuleCode &code = program.rules[rule];
            return r.force == ast::Force::shall &&
                   evaluate::verdict(code, row, workspace) == verdict &&
                   (!applying || truth_in(workspace.cell(code.applies, row)) == Truth::yes);
        });
    };
    counting(Verdict::violates, false);
    if (out.empty())
        counting(Verdict::undetermined, true);
    return out;
}

const char *source_name(Source source) {
    static constexpr const char *names[] = {
        "computed", "given", "implied", "assumed", "not_told", "derived", "called",     "constant",
        "limit",    "table", "list",    "counted", "whole",    "rule",    "not_encoded"};
    return names[static_cast<std::size_t>(source)];
}

} // namespace groundrule::answers
