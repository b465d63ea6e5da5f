// Findings as a reader gets them: a verdict on one item under one rule, with everything needed to
// believe it.
#pragma once

#include "book/model.h"
#include "evaluate/trace.h"

#include <string>
#include <vector>

namespace groundrule::report {

struct Value {
    std::string name;   // "circuit.breaker"
    std::string value;  // "50 A", "unknown", "at least 40 A"
    std::string source; // given, assumed, implied: NEMA WD 6, derived, limit, …
};

struct Missing {
    std::string fact; // "receptacle.gfci"; of a list: "circuit.receptacles"
    std::string item; // whose
    std::string kind; // choice, look_up, measure, judgement, authority; list; not_encoded; no_value
    std::string question;
    const std::vector<std::string> *choices = nullptr; // of the book; null if it is no choice
    std::vector<std::string> instead;                  // other facts that would imply it
};

struct Finding {
    std::size_t rule = 0; // in the book
    std::size_t row = 0;
    Verdict verdict = Verdict::undetermined;
    bool known_to_apply = false;
    std::string citation;
    std::string item;
    std::string item_id;
    std::string layer;
    std::string decided_by;
    std::string says;
    std::vector<Value> values;
    std::vector<Missing> missing;
    std::vector<std::string> assumed;
};

struct Report {
    const book::Book *book = nullptr;
    std::string title; // of the job, from its note
    std::string stage; // empty: all
    std::vector<Finding> findings;
};

// Findings of every rule of the stage (empty: all), by citation, then by item.
Report findings(const book::Book &book, const program::Program &program, const facts::Job &job,
                const evaluate::Workspace &workspace, const std::string &stage);

// One finding: of a rule on a row of its item.
Finding finding(const book::Book &book, const program::Program &program, const facts::Job &job,
                const evaluate::Workspace &workspace, std::size_t rule, std::size_t row);

// What a reason names, but for the place in a job.
Missing missing_fact(const book::Book &book, const program::Program &program,
                     const evaluate::Lack &lack);

// Where an item stands in its job, for people: "panels[0].circuits[0]", "job" for the job itself.
std::string path_of(const facts::Job &job, std::int32_t item, std::size_t row);

// 0: nothing violated, nothing open; 1: some violation; 3: a rule known to apply (strict: any) is
// undetermined.
int exit_status(const Report &report, bool strict);

// Facts that two sources tell differently, as a list of faults.
Diagnostics contradictions(const book::Book &book, const program::Program &program,
                           const facts::Job &job, const evaluate::Workspace &workspace);

const char *verdict_name(Verdict verdict);
const char *force_name(ast::Force force);
const char *field_kind_name(book::FieldKind kind);
const std::vector<std::string> &cautions();

} // namespace groundrule::report
