// A program laid out for one shape of job, to tell verdicts quickly: every instruction that a
// verdict needs becomes one step a row, with the places of its operands written out. What does not
// depend on facts is computed once, here; a gather is no step, its reader reads the row above.
// Steps stand in an order in which many of one kind follow each other, so that running them jumps
// seldom and never on data.
#pragma once

#include "evaluate/dense.h"
#include "facts/job.h"
#include "program/program.h"
#include "quantity/cell.h"

#include <optional>
#include <vector>

namespace groundrule::evaluate {

enum class StepKind : std::uint8_t {
    fact,      // a value of the job: field b of item a; flipped: or else what is assumed
    work,      // the same of the kind of work, which the items above tell too
    complete,  // a list's mark of completeness
    threshold, // value at least x; flipped: less than x
    within,    // value at least x and less than y
    compare,   // value at least another one, on the grid; flipped: less
    member,    // value in a set of at most 64 choices
    truth_of_value,
    value_of_truth,
    conjunction,
    disjunction,
    negation,
    choose_truth,
    choose_value,
    add,
    multiply,
    lookup,
    next,
    join,
    general_value, // whatever else gives a value or a truth: by operate()
    general_truth,
    reduce_value,
    reduce_truth,
    verdict // the last one
};

inline constexpr std::size_t step_kinds = static_cast<std::size_t>(StepKind::verdict) + 1;

struct Step {
    StepKind kind = StepKind::fact;
    bool flip = false;
    bool non_negative = false;         // of a sum: no element can be below zero
    std::uint32_t out = 0;             // place among the values, the truths, or the verdicts
    std::uint32_t a = 0;               // operand; of many: the first of `operands`
    std::uint32_t b = 0;               // operand; of many: how many
    program::Register instruction = 0; // of the program
    std::uint32_t row = 0;             // fact, complete, join; of lookup: the table
    double x = 0;                      // threshold; scale of compare and join
    double y = 0;                      // upper threshold of within
    std::uint64_t set = 0; // of member: a bit a choice; of join: its number; of fact: its cell;
                           // of lookup: its column
};

bool gives_truth(StepKind kind);

// A stretch of steps of one kind.
struct Stretch {
    StepKind kind = StepKind::fact;
    std::uint32_t end = 0; // it begins where the one before ended
};

struct Plan {
    static constexpr std::uint32_t none = 0xffffffff;

    std::vector<Step> steps;
    std::vector<Stretch> stretches;
    std::vector<std::uint32_t> operands;
    // Values and their bounds, as they are before the first run: constants, or unknown. Kept apart,
    // since a processor waits long for 16 bytes of which it has just written 8 and 1.
    std::vector<double> values;
    std::vector<Bound> bounds;
    std::vector<Truth> truths; // likewise
    // Steps that read what step i gives: users[first_user[i] … first_user[i + 1]).
    std::vector<std::uint32_t> users;
    std::vector<std::uint32_t> first_user;
    // [item][field][row]: the step of a fact, or none.
    std::vector<std::vector<std::vector<std::uint32_t>>> facts;
    std::vector<std::uint32_t> first_verdict; // of each rule; then the number of all
    std::uint32_t fact_count = 0;
    std::uint32_t join_count = 0;
};

// Nothing if the job is so large that laying it out does not pay: then run the program by rows.
std::optional<Plan> plan(const program::Program &program, const facts::Job &job);

// Puts the steps in order and notes who uses what.
void schedule(Plan &plan, const program::Program &program);

} // namespace groundrule::evaluate
