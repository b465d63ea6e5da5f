// A program made ready for one table layout: what no column can tell is folded away, what comes
// from short lists becomes table look-ups of bytes, and every step knows its buffers. Immutable
// once made; any number of threads run it.
#pragma once

#include "columns/form.h"
#include "columns/kernels.h"
#include "columns/layout.h"
#include "evaluate/trace.h"
#include "facts/job.h"
#include "program/program.h"

#include <compare>
#include <deque>
#include <string>
#include <vector>

namespace groundrule::columns {

// The possible values of a code: code k means cells[k].
struct Domain {
    std::vector<Cell> cells;
    bool exact = true;    // no cell is a bound
    bool identity = true; // cells[k] is exactly k
};

// The value of a register for all rows of a tier: a constant, or what stands in a buffer.
struct Value {
    Form form = Form::bounds;
    bool constant = true;
    Cell cell; // of a constant
    std::uint32_t buffer = 0;
    std::uint32_t upper = 0; // of bounds: the buffer of what it is at most
    std::uint16_t tier = 0;
    std::int32_t domain = -1; // of a code
    double unit = 1;          // of a whole
    std::uint8_t grids = 0;   // of reals: all values are points of these grids (grid_bit)
    double magnitude = 0;     // of reals: never larger than this
};

enum class Act : std::uint8_t {
    kernel,
    load,       // a column into a buffer
    load_whole, // of a tier: is its list told? yes or unknown
    gather,     // a parent's value, once for each of its children
    reduce,     // a list's rows into one
    open,       // is a real or whole number unknown?
    any_below,  // does a truth hold in any row of a list?
    cells,      // an instruction, cell by cell
    join_cells,
    verdict,
};

struct Step {
    Act act = Act::kernel;
    std::uint16_t tier = 0;
    std::uint32_t out = 0;
    std::uint32_t upper = 0; // of bounds, as in Value
    Form form = Form::truth; // of the result
    std::vector<std::uint32_t> in;
    Kernel Kernels::*kernel = nullptr;
    Call call;                         // constants and tables of the kernel
    bool joins = false;                // marks rows whose sources differ
    program::Register instruction = 0; // cells, reduce, join_cells
    std::vector<Value> arguments;      // likewise
    std::uint32_t index = 0;           // load: source; load_whole: tier; verdict: rule
    std::uint16_t child = 0;           // reduce: tier of the list
    Cell fill;                         // load, join_cells: what is assumed
};

struct Buffer {
    Form form = Form::truth;
    std::uint16_t tier = 0;
    bool constant = false;
    Cell cell; // of a constant
};

// A fact that open verdicts may lack: `index` is its slot, or the child item of a list that is not
// told whole. All that is not encoded is one, and so is all that has no value.
struct LackedFact {
    evaluate::Lack::Kind kind = evaluate::Lack::Kind::fact;
    std::uint32_t index = 0; // NOLINTNEXTLINE(modernize-use-nullptr): clang-tidy's fault
    friend auto operator<=>(const LackedFact &, const LackedFact &) = default;
};

// Facts that are lacking in the same rows.
struct LackedFacts {
    std::vector<LackedFact> facts;
    std::uint32_t buffer = 0; // truths
};

struct Plan {
    Layout layout;
    std::vector<Step> steps;
    std::vector<Buffer> buffers;
    std::deque<Domain> domains;
    std::deque<std::vector<std::uint8_t>> bytes; // tables that steps point into
    std::deque<std::vector<double>> doubles;
    std::deque<std::vector<std::int32_t>> words;
    std::vector<std::uint32_t> rules; // with a column of verdicts, in the order of the book
    std::vector<std::vector<LackedFacts>> lacks; // of each of them, if asked for
    std::vector<Cell> assumed;                   // of each slot
    bool read_all = false;                       // no load is left out
};

struct PlanOptions {
    std::vector<facts::Assumption> assumptions;
    std::string stage;     // empty: all rules
    bool lacks = false;    // count what open verdicts lack
    bool read_all = false; // a cell that can't be read is told whether or not a rule needs it
};

Plan plan_for(const book::Book &book, const program::Program &program, Layout layout,
              const PlanOptions &options);

} // namespace groundrule::columns
