// Small books for tests. The shipped vocabulary is part of every book, so the items here have names
// of their own: crates in the job, and pieces in a crate.

#pragma once

#include "book/open.h"
#include "evaluate/scalar.h"
#include "facts/json_reader.h"
#include "program/compile.h"
#include "report/finding.h"

#include <stdexcept>
#include <string>
#include <vector>

namespace trial {

using namespace groundrule;

inline const std::string vocabulary = R"(vocabulary

item crate in job as crates "A crate of electrical things"
  load     : current                    measure    "How much does it draw?"
  rating   : current                    look_up    "What is it rated for?"
  supply   : voltage                    look_up    "At which voltage?"
  width    : length                     measure    "How wide is it?"
  heat     : temperature                measure    "How hot is it?"
  share    : number                     measure    "Which share?"
  colour   : one of (red, green, blue)  choice     "Which colour?"
  sealed   : yes_no                     measure    "Is it sealed?"
  approved : yes_no                     authority  "Has the authority approved it?"
  wire     : conductor_size             look_up    "Which wire?"
  made     : date                       look_up    "When was it made?"

item piece in crate as pieces "A piece in a crate"
  draw  : current  measure  "How much does the piece draw?"
  loose : yes_no   measure  "Is it loose?"
)";

inline const std::string edition_head =
    "edition trial-1\n  title \"Trial\"\n  publisher \"Nobody\"\n\n";

// A rule for crates about one condition.
inline std::string rule_that(const std::string &condition, const std::string &topic = "probe") {
    return "rule 1.1 \"A probe\"\n  topic " + topic + "\n  for crate\n  shall " + condition +
           "\n  says \"Not so.\"\n\n";
}

inline book::Opened open(const std::string &rules, const std::vector<std::string> &amendments = {},
                         const std::string &words = vocabulary) {
    std::vector<book::NamedText> texts = {{"words.rules", words},
                                          {"trial.rules", edition_head + rules}};
    std::string name = "trial-1";
    for (std::size_t i = 0; i < amendments.size(); ++i) {
        const std::string layer = "layer-" + std::to_string(i + 1);
        texts.push_back({layer + ".rules",
                         "amendment " + layer + " to trial-1\n  title \"T\"\n\n" + amendments[i]});
        name += "+" + layer;
    }
    return book::open_book(name, texts);
}

// All faults as a reader would see them; empty if the book opens.
inline std::string faults(const book::Opened &opened) {
    return render(opened.diagnostics, opened.book ? opened.book->sources : opened.sources);
}

// The code of the only fault; all of them, joined, if there are several.
inline std::string codes(const Diagnostics &diagnostics) {
    std::string out;
    for (const Diagnostic &d : diagnostics.list())
        out += (out.empty() ? "" : " ") + d.code;
    return out;
}

struct Compiled {
    std::unique_ptr<const book::Book> book;
    program::Program program;
};

inline Compiled compiled(book::Opened opened) {
    if (!opened.book)
        throw std::runtime_error(faults(opened));
    Compiled out;
    Diagnostics diagnostics;
    out.book = std::move(opened.book);
    out.program = program::compile(*out.book, diagnostics);
    if (diagnostics.has_errors())
        throw std::runtime_error(render(diagnostics, out.book->sources));
    return out;
}

inline Compiled compiled(const std::string &rules,
                         const std::vector<std::string> &amendments = {}) {
    return compiled(open(rules, amendments));
}

inline facts::Job job_of(const book::Book &book, const std::string &json) {
    Diagnostics diagnostics;
    auto job = facts::job_from_json(book, json, "job.json", diagnostics);
    if (!job)
        throw std::runtime_error(render(diagnostics, {}));
    return std::move(*job);
}

inline report::Report check(const Compiled &c, const std::string &json,
                            const std::string &stage = {}) {
    const facts::Job job = job_of(*c.book, json);
    evaluate::Workspace workspace;
    evaluate::run(c.program, job, workspace);
    if (!workspace.contradictions.empty())
        throw std::runtime_error("contradiction");
    return report::findings(*c.book, c.program, job, workspace, stage);
}

// The verdict of the only rule on the only crate.
inline std::string verdict(const Compiled &c, const std::string &json) {
    const report::Report r = check(c, json);
    if (r.findings.size() != 1)
        throw std::runtime_error(std::to_string(r.findings.size()) + " findings");
    return report::verdict_name(r.findings.front().verdict);
}

// A job with one new crate that has these facts.
inline std::string crate(const std::string &facts) {
    return R"({"work":"new","crates":[{)" + facts + "}]}";
}

// What a condition on a crate is with these facts.
inline std::string holds(const std::string &condition, const std::string &facts) {
    const std::string v = verdict(compiled(rule_that(condition)), crate(facts));
    return v == "complies" ? "yes" : (v == "violates" ? "no" : "unknown");
}

} // namespace trial
