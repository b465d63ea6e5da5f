// A part is reached when it is known to hold in a test of its rule; a cell when a look-up lands on
// it.
#include "evaluate/coverage.h"

#include "evaluate/lookup.h"

#include <algorithm>
#include <cmath>

namespace groundrule::evaluate {

namespace {

using program::Register;

std::vector<Register> registers_of(const program::RuleCode &code) {
    std::vector<Register> out;
    for (const auto *list : {&code.listed, &code.exceptions, &code.paths, &code.permits})
        out.insert(out.end(), list->begin(), list->end());
    return out;
}

const char *word_of(const book::Part &part) {
    static constexpr const char *words[] = {"listed", "except", "path", "permits"};
    return words[static_cast<std::size_t>(part.kind)];
}

} // namespace

std::vector<const book::Part *> parts_of(const book::Rule &rule) {
    std::vector<const book::Part *> out;
    for (const auto *list : {&rule.listed, &rule.exceptions, &rule.paths, &rule.permits}) {
        for (const book::Part &p : *list)
            out.push_back(&p);
    }
    return out;
}

Coverage::Coverage(const book::Book &book, const program::Program &program)
    : book_(book), program_(program), rules_(book.rules.size()) {
    for (std::size_t i = 0; i < rules_.size(); ++i)
        rules_[i].parts.assign(parts_of(book.rules[i]).size(), 0);
    for (const program::Table &t : program.tables)
        cells_.emplace_back(t.cells.size(), 0);
}

void Coverage::observe(std::size_t rule, const Workspace &workspace) {
    Rule &seen = rules_[rule];
    seen.tested = true;
    const std::vector<Register> registers = registers_of(program_.rules[rule]);
    for (std::size_t i = 0; i < registers.size(); ++i) {
        if (truth_in(workspace.cell(registers[i], 0)) == Truth::yes)
            seen.parts[i] = 1;
    }
    for (const program::Instruction &in : program_.code) {
        if (in.op != program::Op::lookup)
            continue;
        for (std::size_t row = 0; row < workspace.rows_in(in.space); ++row) {
            const auto at = cell_index(program_, in, row, workspace);
            if (at)
                cells_[in.index][*at] = 1;
        }
    }
}

Coverage::Counts Coverage::rules() const {
    const auto tested =
        std::count_if(rules_.begin(), rules_.end(), [](const Rule &r) { return r.tested; });
    return {static_cast<std::size_t>(tested), rules_.size()};
}

// A part that is not encoded can't be known to hold.
Coverage::Counts Coverage::parts() const {
    Counts out;
    for (std::size_t i = 0; i < rules_.size(); ++i) {
        const auto parts = parts_of(book_.rules[i]);
        for (std::size_t k = 0; k < parts.size(); ++k) {
            out.all += parts[k]->encoded ? 1 : 0;
            out.reached += parts[k]->encoded && rules_[i].parts[k] != 0 ? 1 : 0;
        }
    }
    return out;
}

Coverage::Counts Coverage::cells() const {
    Counts out;
    for (std::size_t t = 0; t < cells_.size(); ++t) {
        for (std::size_t c = 0; c < cells_[t].size(); ++c) {
            const bool filled = !std::isnan(program_.tables[t].cells[c]);
            out.all += filled ? 1 : 0;
            out.reached += filled && cells_[t][c] != 0 ? 1 : 0;
        }
    }
    return out;
}

std::vector<std::string> Coverage::unreached() const {
    std::vector<std::string> out;
    for (std::size_t i = 0; i < rules_.size(); ++i) {
        const book::Rule &rule = book_.rules[i];
        const std::string name = rule.citation + " (" + rule.topic + ")";
        if (!rules_[i].tested) {
            out.push_back("no test reaches rule " + name);
            continue;
        }
        const auto parts = parts_of(rule);
        for (std::size_t k = 0; k < parts.size(); ++k) {
            if (parts[k]->encoded && rules_[i].parts[k] == 0)
                out.push_back(std::string("no test reaches ") + word_of(*parts[k]) +
                              (parts[k]->label.empty() ? "" : " " + parts[k]->label) + " of rule " +
                              name);
        }
    }
    for (std::size_t t = 0; t < cells_.size(); ++t) {
        std::size_t filled = 0;
        std::size_t reached = 0;
        for (std::size_t c = 0; c < cells_[t].size(); ++c) {
            const bool full = !std::isnan(program_.tables[t].cells[c]);
            filled += full ? 1 : 0;
            reached += full && cells_[t][c] != 0 ? 1 : 0;
        }
        if (reached < filled)
            out.push_back("table " + book_.tables[t].name + ": " + std::to_string(reached) +
                          " of " + std::to_string(filled) + " cells reached");
    }
    return out;
}

} // namespace groundrule::evaluate
