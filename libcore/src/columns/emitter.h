// Steps, buffers and tables of a plan as it grows, and values in other forms.
#pragma once

#include "columns/plan.h"

#include <functional>
#include <map>
#include <span>
#include <tuple>

namespace groundrule::columns {

class Emitter {
  public:
    Emitter(Plan &plan, const program::Program &program) : plan_(plan), program_(program) {}

    // A step with a buffer of its own for the result.
    Value emit(Step step, Form form, std::uint16_t tier);
    Value kernel(Kernel Kernels::*kernel, Form form, std::uint16_t tier,
                 std::initializer_list<Value> in, const Call &call = {});

    // A step whose result can carry a bound, into two buffers.
    Value emit_bounds(Step step, std::uint16_t tier);
    static void reads(Step &step, const Value &v);

    static Value constant(const Cell &cell);
    const Domain &domain(const Value &v) const {
        return plan_.domains[static_cast<std::size_t>(v.domain)];
    }
    Value code(Value v, Domain domain);
    static Domain identity(std::size_t size);

    // The same value in another form; the buffer of a constant if need be.
    Value as_truth(const Value &v, std::uint16_t tier);
    Value as_real(const Value &v, std::uint16_t tier);
    bool can_be_real(const Value &v) const;
    Value as_whole(const Value &v, std::uint16_t tier);
    bool can_be_whole(const Value &v) const;
    std::uint32_t buffer_of(const Value &v, Form form, std::uint16_t tier);

    // Of what can carry a bound: the number that it is at least, that it is at most, and the one
    // that it is where that is known exactly; and back.
    Value lower(const Value &v, std::uint16_t tier);
    Value upper(const Value &v, std::uint16_t tier);
    Value exact(const Value &v, std::uint16_t tier);
    Value between(const Value &low, const Value &high, std::uint16_t tier);

    // A function of finite values (truths and codes), tabulated.
    bool is_finite(const Value &v) const {
        return v.constant || v.form == Form::truth || v.form == Form::code;
    }
    std::size_t combinations(std::span<const Value> arguments) const;
    using Function = std::function<Cell(std::span<const Cell>)>;
    // Nothing if the results are too many for a code.
    std::optional<Value> tabulated(std::span<const Value> arguments, std::uint16_t tier,
                                   bool gives_truth, const Function &function);

    // Which of ascending steps a real or whole value has reached: code `meaning[count]`.
    Value searched(const Value &v, std::uint16_t tier, std::vector<double> thresholds,
                   std::vector<std::uint8_t> meaning, Domain domain);

    const std::uint8_t *keep(std::vector<std::uint8_t> table);
    const double *keep(std::vector<double> table);

    const program::Program &program() const { return program_; }

  private:
    std::size_t count_of(const Value &v) const;
    Cell cell_at(const Value &v, std::size_t k) const;
    const std::uint8_t *reached_in(const std::vector<double> &of_buckets,
                                   const std::vector<std::uint8_t> &meaning);
    const std::uint8_t *steps_of(const std::vector<std::uint8_t> &table, std::int32_t &count);
    Value side(const Value &v, Bound bound, std::uint16_t tier);
    Value spread(const Value &v, std::uint16_t tier, Bound bound);
    const std::uint8_t *window_of(const std::vector<std::uint8_t> &table, std::int32_t &first);

    Plan &plan_;
    const program::Program &program_;
    std::map<std::tuple<std::uint32_t, Form, Bound>, Value> converted_;
    std::map<std::string, Value> tables_; // look-ups that are there already, by all that they say
    std::map<std::tuple<std::uint64_t, Bound, Form, std::uint16_t>, std::uint32_t> constants_;
};

} // namespace groundrule::columns
