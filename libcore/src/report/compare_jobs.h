// Two books on the same jobs: which findings change, by clause.
#pragma once

#include "book/compare.h"
#include "report/finding.h"

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace groundrule::report {

// A finding under the older and the newer book; nothing where the book has no such rule.
struct ChangedFinding {
    std::string job; // "jobs.jsonl:3", or as the caller names it
    std::string topic;
    std::string item;
    std::string citation_before;
    std::string citation_after;
    std::optional<Verdict> before;
    std::optional<Verdict> after;
    std::string says; // of the newer finding, if it is a violation
};

using Verdicts = std::pair<std::optional<Verdict>, std::optional<Verdict>>;

struct ClauseEffect {
    std::string topic;
    std::string citation_before; // of the rule; empty: no such rule
    std::string citation_after;
    bool counts = true; // its force is `shall`, in the newer book if it is there
    std::map<Verdicts, std::size_t> verdicts; // numbers of findings whose verdict changed
    std::size_t told_otherwise = 0;           // same verdict, other message or other missing facts
};

struct JobComparison {
    std::size_t jobs = 0;
    std::size_t findings = 0; // compared; a rule of one book only makes a finding too
    std::size_t changed = 0;
    std::size_t told_otherwise = 0;
    std::map<std::string, ClauseEffect> clauses; // by topic; only those with an effect
    std::vector<ChangedFinding> list;
};

// A rule that is not there and one that does not apply ask for the same: nothing. So between the
// two there is no change.
void add_job(JobComparison &out, const std::string &job, const Report &before, const Report &after);

std::string to_json(const book::Comparison &comparison, const JobComparison *jobs);
std::string to_text(const book::Comparison &comparison, const JobComparison *jobs);

} // namespace groundrule::report
