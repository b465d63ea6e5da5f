// Why a finding is what it is: every value that it rests on, where each came from, and how one was
// computed from others. Whoever computes the steps again from their leaves comes to the verdict.
#pragma once

#include "book/model.h"
#include "evaluate/workspace.h"
#include "report/finding.h"

#include <cstdint>
#include <string>
#include <vector>

namespace groundrule::answers {

inline constexpr std::uint32_t no_step = 0xffffffff;

// Where the value of a step comes from.
enum class Source : std::uint8_t {
    computed, // by an operation, from its parts
    given,
    implied, // by other facts; parts: what each source that is known says
    assumed,
    not_told,
    derived, // a definition; parts: its expression
    called,  // a function of the book; parts: what it was given, then its expression
    constant,
    limit,   // of the rule
    table,   // a cell; parts: the keys
    list,    // a search; parts: the limit, or a test an element
    counted, // over the items of a list; elements
    whole,   // whether a list is complete
    rule,    // whether another rule applies; parts: how that came out
    not_encoded
};

// An item of a list that was counted over.
struct Element {
    std::string item;
    std::uint32_t filter = no_step; // none: every item counts
    std::uint32_t body = no_step;   // none: filtered out, or nothing is asked of it
};

struct Step {
    book::NodeOp op = book::NodeOp::constant;
    Source source = Source::computed;
    book::Type type;
    Cell value;
    std::vector<std::uint32_t> parts; // earlier steps
    std::vector<Element> elements;
    std::int32_t index = -1; // table, list
    std::uint32_t cell = 0;  // of a table: which
    bool largest = false;    // of a search: from the end of its list
    bool non_negative = false;
    bool complete = false;         // of what is counted: the list is
    bool facing_bounds = false;    // of a fact: sources may bound it from both sides
    std::vector<std::uint8_t> set; // in_set: a flag a choice
    Cell told;                     // of a fact: what is given, or assumed
    std::string name;              // "run.size"; empty: it has none
    std::string item;              // whose: "panels[0].circuits[0].runs[0]"
    std::string words;             // as the book writes it
    std::string from;              // "NEMA WD 6", the title of a definition, a row of a table
    std::int32_t layer = -1;       // of the text that it came from; -1: of no text
};

// A condition, part or requirement of the rule.
struct Line {
    std::string label; // "(2)", "Exception No. 1", the name of a condition
    std::string title;
    std::string words;
    bool encoded = true;
    std::uint32_t step = no_step;
    std::string layer;
};

struct Explanation {
    const book::Book *book = nullptr;
    report::Finding finding;
    std::vector<Step> steps; // parts stand before what is made of them
    std::vector<Line> bound; // one, or none where the rule binds every kind of work
    std::vector<Line> conditions;
    std::vector<Line> listed;
    std::vector<Line> exceptions;
    std::vector<Line> requirement; // one or none
    std::vector<Line> paths;
    std::vector<Line> permits;
    std::vector<std::uint32_t> named; // steps with a name, those that others rest on last
};

// Of one rule on one row, from the cells of a run over the job.
Explanation explain(const book::Book &book, const program::Program &program, const facts::Job &job,
                    const evaluate::Workspace &workspace, std::size_t rule, std::size_t row);

// The findings that a reader asks for by clause ("210.19(A)(1)(a)", "210.19") or topic, and by item
// (its path or id); empty: any. Without a clause: what is violated, or else what applies and is
// open.
std::vector<Explanation> explain_some(const book::Book &book, const program::Program &program,
                                      const facts::Job &job, const evaluate::Workspace &workspace,
                                      const std::string &stage, const std::string &clause,
                                      const std::string &item);

// The operation of a step written with the values of its parts, as on paper: "40 A × 125 %"; empty
// if there is nothing to write.
std::string figures(const Explanation &explanation, std::uint32_t step);
std::string shown(const Explanation &explanation, std::uint32_t step); // its value: "50 A"

std::string explained_text(const std::vector<Explanation> &explanations);
std::string explained_json(const book::Book &book, const std::vector<Explanation> &explanations);
// A page of its own: no script, nothing from elsewhere; it can be printed.
std::string explained_html(const book::Book &book, const std::vector<Explanation> &explanations);

const char *source_name(Source source);

// The value of a step from the values of its parts and from the book's tables and lists alone.
Cell recomputed(const book::Book &book, const std::vector<Step> &steps, const Step &step);
// All steps computed again from their leaves, and the verdict that the lines then make.
Verdict recomputed_verdict(Explanation explanation);

} // namespace groundrule::answers
