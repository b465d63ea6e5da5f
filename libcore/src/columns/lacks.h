// What open verdicts lack, by columns: for every register the rows in which its value is open for
// want of a fact, as evaluate/trace.h finds them for one row.
#pragma once

#include "columns/emitter.h"
#include "evaluate/trace.h"

#include <functional>
#include <map>
#include <optional>

namespace groundrule::columns {

class Lacks {
  public:
    // value: of a register, planned if need be.
    using Values = std::function<const Value &(program::Register)>;
    Lacks(const program::Program &program, const Layout &layout, Emitter &emit, Values value)
        : program_(program), layout_(layout), emit_(emit), value_(std::move(value)) {}

    // Of a rule whose verdict is open: which facts its rows lack.
    std::vector<LackedFacts> of(const program::RuleCode &code);

  private:
    // The rows that lack a fact, as truths that are known; facts that no row lacks are left out.
    using Rows = std::map<LackedFact, Value>;

    const Rows &lacks(program::Register reg);
    Rows found(program::Register reg);
    Rows of_arguments(const program::Instruction &in);
    Rows of_fact(const program::Instruction &in);
    Rows of_choice(const program::Instruction &in);
    Rows of_first_open(const program::Instruction &in);
    Rows of_reduction(const program::Instruction &in);

    std::uint16_t tier(std::uint16_t space) const {
        return static_cast<std::uint16_t>(layout_.tier_of[space]);
    }
    program::Register argument(const program::Instruction &in, std::size_t k) const {
        return program_.arguments[in.first + k];
    }
    void add(Rows &to, const Rows &more, std::uint16_t here);
    Rows where(const Rows &rows, const Value &condition, std::uint16_t here);
    Value any(const Rows &rows, std::uint16_t here);
    Value open(program::Register reg);
    Value is(program::Register reg, Truth truth);
    Value both(const Value &a, const Value &b, std::uint16_t here);
    Value either(const Value &a, const Value &b, std::uint16_t here);
    Value logic(const Value &a, const Value &b, std::uint16_t here, bool conjunction);
    Value not_in(const Value &a, std::uint16_t here);
    Value moved(Act act, const Value &v, std::uint16_t here, std::uint16_t child);

    const program::Program &program_;
    const Layout &layout_;
    Emitter &emit_;
    Values value_;
    std::map<program::Register, Rows> known_;

    // What was made of the same buffers before, or else what `make` makes.
    enum class Made : std::uint8_t { open, both, either, negation, gathered, any_below };
    using Key = std::tuple<Made, std::uint32_t, std::uint32_t>;
    template <typename Make>
    Value once(const Key &key, Make make) {
        const auto at = made_.find(key);
        return at != made_.end() ? at->second : made_[key] = make();
    }
    std::map<Key, Value> made_;
};

} // namespace groundrule::columns
