// Puts a finding together from the cells of a run.
#include "report/finding.h"

#include "evaluate/decision.h"
#include "evaluate/scalar.h"
#include "report/values.h"

#include <algorithm>

namespace groundrule::report {

namespace {

using book::Book;
using evaluate::Lack;
using program::RuleCode;

class Maker {
  public:
    Maker(const Book &book, const program::Program &program, const facts::Job &job,
          const evaluate::Workspace &workspace)
        : book_(book), program_(program), job_(job), workspace_(workspace),
          trace_(book, program, job, workspace), values_(book, program, job, workspace) {}

    Finding finding(std::size_t index, std::size_t row) {
        const book::Rule &rule = book_.rules[index];
        const RuleCode &code = program_.rules[index];
        Finding f;
        f.rule = index;
        f.row = row;
        f.verdict = evaluate::verdict(code, row, workspace_);
        f.known_to_apply = truth_in(workspace_.cell(code.applies, row)) == Truth::yes;
        f.citation = evaluate::finding_citation(rule, code, row, workspace_);
        f.item = path_of(job_, rule.item, row);
        f.item_id = job_.rows(rule.item).id[row];
        const evaluate::Decision decided = evaluate::decision(book_, rule, code, row, workspace_);
        f.decided_by = decided.by;
        f.layer = book_.layers[static_cast<std::size_t>(decided.layer)].name;
        const bool own_words = decided.part != nullptr && !decided.part->says.empty();
        f.says = values_.message(own_words ? decided.part->says : rule.says, row);
        if (f.verdict == Verdict::not_applicable) {
            f.says = own_words ? f.says : std::string();
            f.values = values_.of_condition(decided.node, row);
        } else {
            f.values = values_.of_rule(rule, code, row);
        }
        if (f.verdict == Verdict::undetermined)
            f.missing = missing(code, row);
        f.assumed = assumed(code, row, f.verdict);
        return f;
    }

  private:
    std::vector<Missing> missing(const RuleCode &code, std::size_t row) {
        std::vector<Lack> lacks = trace_.lacks(code.applies, row);
        for (Lack &l : trace_.lacks(code.met, row)) {
            if (std::find(lacks.begin(), lacks.end(), l) == lacks.end())
                lacks.push_back(std::move(l));
        }
        std::vector<Missing> out;
        out.reserve(lacks.size());
        for (const Lack &l : lacks)
            out.push_back(missing(l));
        return out;
    }

    Missing missing(const Lack &l) const {
        Missing m = missing_fact(book_, program_, l);
        if (l.kind == Lack::Kind::fact)
            m.item = path_of(job_, program_.slots[l.slot].item, l.row);
        else if (l.kind == Lack::Kind::list)
            m.item = path_of(job_, l.space, l.row);
        for (const auto &[other, row] : l.instead)
            m.instead.push_back(fact_name(other));
        std::sort(m.instead.begin(), m.instead.end());
        m.instead.erase(std::unique(m.instead.begin(), m.instead.end()), m.instead.end());
        return m;
    }

    std::string fact_name(std::uint32_t slot) const {
        const program::Slot &s = program_.slots[slot];
        return book_.items[s.item].name + "." + book_.items[s.item].fields[s.field].name;
    }

    std::vector<std::string> assumed(const RuleCode &code, std::size_t row, Verdict verdict) {
        std::vector<evaluate::Assumed> found = trace_.assumptions(code.applies, row);
        if (verdict != Verdict::not_applicable) {
            const std::vector<evaluate::Assumed> more = trace_.assumptions(code.met, row);
            found.insert(found.end(), more.begin(), more.end());
        }
        std::vector<std::string> out;
        for (const evaluate::Assumed &a : found) {
            const program::Slot &slot = program_.slots[a.slot];
            const book::Field &field = book_.items[slot.item].fields[slot.field];
            std::string text = fact_name(a.slot) + " = " +
                               value_text(book_, field.type,
                                          job_.rows(slot.item).assumed.at(slot.field, a.row).value);
            if (std::find(out.begin(), out.end(), text) == out.end())
                out.push_back(std::move(text));
        }
        return out;
    }

    const Book &book_;
    const program::Program &program_;
    const facts::Job &job_;
    const evaluate::Workspace &workspace_;
    evaluate::Trace trace_;
    Values values_;
};

} // namespace

Missing missing_fact(const Book &book, const program::Program &program, const Lack &l) {
    Missing m;
    switch (l.kind) {
    case Lack::Kind::fact: {
        const program::Slot &slot = program.slots[l.slot];
        const book::Item &item = book.items[slot.item];
        const book::Field &field = item.fields[slot.field];
        m.fact = item.name + "." + field.name;
        m.kind = field_kind_name(field.kind);
        m.question = field.question;
        if (field.type.kind == ValueKind::choice)
            m.choices = &book.choice_types[static_cast<std::size_t>(field.type.choices)].choices;
        break;
    }
    case Lack::Kind::list: {
        const book::Item &child = book.items[l.child];
        const book::Item &owner = book.items[static_cast<std::size_t>(child.parent)];
        m.fact = owner.name + "." + child.list;
        m.kind = "list";
        m.question = "Does the job name all " + child.list + " of this " + owner.name + "?";
        break;
    }
    case Lack::Kind::not_encoded:
        m.kind = "not_encoded";
        m.question = "An exception or alternative that the code has here is not written out; "
                     "read the clause.";
        break;
    case Lack::Kind::no_value:
        m.kind = "no_value";
        m.question = l.text;
        break;
    }
    return m;
}

std::string path_of(const facts::Job &job, std::int32_t item, std::size_t row) {
    const std::string path = job.path(item, row);
    return path.empty() ? "job" : path;
}

Finding finding(const Book &book, const program::Program &program, const facts::Job &job,
                const evaluate::Workspace &workspace, std::size_t rule, std::size_t row) {
    return Maker(book, program, job, workspace).finding(rule, row);
}

Report findings(const Book &book, const program::Program &program, const facts::Job &job,
                const evaluate::Workspace &workspace, const std::string &stage) {
    Report report;
    report.book = &book;
    report.title = job.title;
    report.stage = stage;
    Maker maker(book, program, job, workspace);
    for (std::size_t index = 0; index < book.rules.size(); ++index) {
        const book::Rule &rule = book.rules[index];
        if (!stage.empty() &&
            std::find(rule.stages.begin(), rule.stages.end(), stage) == rule.stages.end())
            continue;
        for (std::size_t row = 0; row < job.rows(rule.item).size(); ++row)
            report.findings.push_back(maker.finding(index, row));
    }
    return report;
}

int exit_status(const Report &report, bool strict) {
    bool open = false;
    for (const Finding &f : report.findings) {
        if (report.book->rules[f.rule].force != ast::Force::shall)
            continue;
        if (f.verdict == Verdict::violates)
            return 1;
        open = open || (f.verdict == Verdict::undetermined && (strict || f.known_to_apply));
    }
    return open ? 3 : 0;
}

Diagnostics contradictions(const Book &book, const program::Program &program, const facts::Job &job,
                           const evaluate::Workspace &workspace) {
    Diagnostics out;
    for (const evaluate::Contradiction &c : workspace.contradictions) {
        const program::Slot &slot = program.slots[c.slot];
        const book::Item &item = book.items[slot.item];
        const book::Field &field = item.fields[slot.field];
        const std::string path = path_of(job, slot.item, c.row);
        Diagnostic d;
        d.code = "contradiction";
        d.where = path;
        const std::string &source = field.implied_by[c.source];
        d.message = item.name + "." + field.name + " is given as " +
                    cell_text(book, field.type, c.given) + ", but the other facts of this " +
                    item.name + " imply " + cell_text(book, field.type, c.implied) +
                    (source.empty() ? "" : " (" + source + ")");
        d.help = "correct one of the two, or leave it out";
        out.add(std::move(d));
    }
    return out;
}

const char *verdict_name(Verdict verdict) {
    static constexpr const char *names[] = {"complies", "violates", "not_applicable",
                                            "undetermined"};
    return names[static_cast<std::size_t>(verdict)];
}

const char *force_name(ast::Force force) {
    static constexpr const char *names[] = {"shall", "should", "information", "caution"};
    return names[static_cast<std::size_t>(force)];
}

const char *field_kind_name(book::FieldKind kind) {
    static constexpr const char *names[] = {"choice", "look_up", "measure", "judgement",
                                            "authority"};
    return names[static_cast<std::size_t>(kind)];
}

const std::vector<std::string> &cautions() {
    static const std::vector<std::string> lines = {
        "The locally adopted code and the authority having jurisdiction decide. This check covers "
        "only the clauses that it lists.",
        "It informs licensed work and does not replace it. Work in a panel is for a qualified "
        "person, with the power off and proven dead; test before use."};
    return lines;
}

} // namespace groundrule::report
