// Reads the parts of a rule off their registers.
#include "evaluate/decision.h"

#include "evaluate/scalar.h"

#include <algorithm>

namespace groundrule::evaluate {

namespace {

using book::Part;
using program::Register;

const Part *first_that_holds(const std::vector<Part> &parts, const std::vector<Register> &code,
                             std::size_t row, const Workspace &workspace) {
    for (std::size_t i = 0; i < parts.size(); ++i) {
        if (truth_in(workspace.cell(code[i], row)) == Truth::yes)
            return &parts[i];
    }
    return nullptr;
}

std::string titled(const std::string &label, const Part &part) {
    return part.title.empty() ? label : label + ", " + part.title;
}

std::string exception_name(const Part &part) {
    if (!part.displaced_by.empty())
        return part.displaced_by;
    if (part.label.empty())
        return "Exception";
    const bool number = part.label.find_first_not_of("0123456789") == std::string::npos;
    return number ? "Exception No. " + part.label : "Exception " + part.label;
}

// A condition by its name, or by the words that it is written in.
std::string condition_name(const book::Book &book, const book::Condition &condition) {
    if (!condition.name.empty())
        return condition.name;
    const Span span = book.nodes[condition.node].span;
    if (span.file >= book.sources.size())
        return "its scope";
    return std::string(book.sources[span.file].text().substr(span.begin, span.end - span.begin));
}

Decision out_of_scope(const book::Book &book, const book::Rule &rule, const program::RuleCode &code,
                      std::size_t row, const Workspace &workspace) {
    if (truth_in(workspace.cell(code.bound, row)) == Truth::no)
        return {"the rule does not bind this kind of work", rule.layer, nullptr};
    for (std::size_t i = 0; i < code.conditions.size(); ++i) {
        if (truth_in(workspace.cell(code.conditions[i], row)) == Truth::no)
            return {"out of scope: " + condition_name(book, rule.conditions[i]),
                    rule.conditions[i].layer, nullptr, rule.conditions[i].node};
    }
    if (truth_in(workspace.cell(code.scope, row)) == Truth::no)
        return {"none of the listed parts", rule.layer, nullptr};
    const Part *exception = first_that_holds(rule.exceptions, code.exceptions, row, workspace);
    if (exception == nullptr)
        return {"out of scope", rule.layer, nullptr};
    return {(exception->displaced_by.empty() ? "permitted by " : "displaced by ") +
                titled(exception_name(*exception), *exception),
            exception->layer, exception, exception->node};
}

const Part *met_by(const book::Rule &rule, const program::RuleCode &code, std::size_t row,
                   const Workspace &workspace) {
    const Part *path = first_that_holds(rule.paths, code.paths, row, workspace);
    return path != nullptr ? path : first_that_holds(rule.permits, code.permits, row, workspace);
}

} // namespace

std::string finding_citation(const book::Rule &rule, const program::RuleCode &code, std::size_t row,
                             const Workspace &workspace) {
    const Verdict v = verdict(code, row, workspace);
    if (v == Verdict::not_applicable)
        return rule.citation;
    const Part *listed = first_that_holds(rule.listed, code.listed, row, workspace);
    if (listed != nullptr)
        return rule.citation + listed->label;
    const Part *met = v == Verdict::complies ? met_by(rule, code, row, workspace) : nullptr;
    return met == nullptr ? rule.citation : rule.citation + met->label;
}

Decision decision(const book::Book &book, const book::Rule &rule, const program::RuleCode &code,
                  std::size_t row, const Workspace &workspace) {
    const Verdict v = verdict(code, row, workspace);
    if (v == Verdict::not_applicable)
        return out_of_scope(book, rule, code, row, workspace);
    const Part *listed = first_that_holds(rule.listed, code.listed, row, workspace);
    const Part *met = v == Verdict::complies ? met_by(rule, code, row, workspace) : nullptr;
    if (met != nullptr)
        return {titled(rule.citation + met->label, *met), met->layer, met};
    if (v == Verdict::undetermined)
        return {truth_in(workspace.cell(code.applies, row)) == Truth::yes
                    ? "the requirement is open"
                    : "whether the rule applies is open",
                rule.layer, nullptr};
    if (listed != nullptr)
        return {titled(rule.citation + listed->label, *listed), listed->layer, listed};
    // A limit that a layer changed is what decided, if the rule reads one.
    const auto changed = std::max_element(
        rule.limits.begin(), rule.limits.end(),
        [](const book::Limit &a, const book::Limit &b) { return a.layer < b.layer; });
    const bool by_limit = changed != rule.limits.end() && changed->layer > rule.requirement_layer;
    return {by_limit ? rule.citation + ", " + changed->name : rule.citation,
            by_limit ? changed->layer : rule.requirement_layer, nullptr};
}

} // namespace groundrule::evaluate
