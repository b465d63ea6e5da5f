// Finds reasons in the cells of one run: what would settle an unknown, and what a known value rests
// on.
#pragma once

#include "book/model.h"
#include "evaluate/workspace.h"
#include "text/limits.h"

#include <unordered_map>
#include <unordered_set>
#include <vector>

namespace groundrule::evaluate {

// Something whose absence leaves a register open.
struct Lack {
    enum class Kind : std::uint8_t {
        fact,        // slot of row: nobody tells it
        list,        // the list of `child` items of a row is not said to be complete
        not_encoded, // an exception or path that is not written out; text
        no_value     // a computation without a value: no table cell, no standard value; text
    } kind = Kind::fact;
    std::uint32_t slot = 0;
    std::uint16_t space = 0;
    std::uint16_t child = 0;
    std::uint32_t row = 0;
    std::string text;
    std::vector<std::pair<std::uint32_t, std::uint32_t>>
        instead; // slots and rows of other facts that would imply it

    friend bool operator==(const Lack &a, const Lack &b) {
        return a.kind == b.kind && a.slot == b.slot && a.space == b.space && a.child == b.child &&
               a.row == b.row && a.text == b.text;
    }
};

// A fact that somebody assumed.
struct Assumed {
    std::uint32_t slot = 0;
    std::uint32_t row = 0;
    friend bool operator==(const Assumed &, const Assumed &) = default;
};

class Trace {
  public:
    // most: reasons that one register is given.
    Trace(const book::Book &book, const program::Program &program, const facts::Job &job,
          const Workspace &workspace, std::size_t most = limits::lacks_per_finding);

    // Why the register is not exactly known in this row; each reason once.
    std::vector<Lack> lacks(program::Register reg, std::size_t row);
    // The assumptions that the register's value rests on; each once, bounded likewise.
    std::vector<Assumed> assumptions(program::Register reg, std::size_t row);

  private:
    void lack(program::Register reg, std::size_t row);
    void lack_arguments(const program::Instruction &in, std::size_t row);
    void lack_fact(const program::Instruction &in, std::size_t row);
    void lack_lookup(const program::Instruction &in, std::size_t row);
    void lack_reduction(const program::Instruction &in, std::size_t row);
    void rest(program::Register reg, std::size_t row);
    void rest_on_fact(const program::Instruction &in, std::size_t row);
    void rest_on_list(const program::Instruction &in, std::size_t row);
    void add(const Lack &lack);
    void add(const Assumed &assumed);
    bool full(std::size_t found) const { return found >= most_; }
    bool first_visit(program::Register reg, std::size_t row);

    // The rows of a child item below a row, so that no walk over a list looks at other lists.
    struct Below {
        std::vector<std::uint32_t> first; // one a parent row, and one past the last
        std::vector<std::uint32_t> rows;
    };
    template <typename Visit>
    void each_below(std::uint16_t child, std::size_t row, Visit visit) const;
    // What a list adds is the same for every finding that reads it: found once a register and row.
    template <typename Found>
    using Known = std::unordered_map<std::uint64_t, std::vector<Found>>;

    const Cell &cell(program::Register reg, std::size_t row) const {
        return workspace_.cell(reg, row);
    }
    program::Register argument(const program::Instruction &in, std::size_t k) const {
        return program_.arguments[in.first + k];
    }

    const book::Book &book_;
    const program::Program &program_;
    const facts::Job &job_;
    const Workspace &workspace_;
    std::size_t most_;
    std::vector<Below> below_; // of each item type: its rows by parent
    bool anything_assumed_ = false;
    std::vector<Lack> lacks_;
    std::vector<Assumed> assumptions_;
    std::unordered_set<std::uint64_t> visited_;
    Known<Lack> list_lacks_;
    Known<Assumed> list_assumptions_;
};

} // namespace groundrule::evaluate
