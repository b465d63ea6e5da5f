// A fact as a host writes it, checked against its field: "50 A" for a current, "garage" for a
// place, true for a yes_no.
#pragma once

#include "book/model.h"
#include "text/diagnostics.h"

#include <optional>
#include <string>
#include <string_view>

namespace groundrule::facts {

struct FactFault {
    std::string code;
    std::string message;
    std::string help;
};

// `name` is how the field is called in the fault: "circuit.breaker".
std::optional<double> value_from_text(const book::Book &book, const book::Field &field,
                                      const std::string &name, std::string_view text,
                                      FactFault &fault);
std::optional<double> value_from_number(const book::Book &book, const book::Field &field,
                                        const std::string &name, double number, FactFault &fault);
std::optional<double> value_from_truth(const book::Book &book, const book::Field &field,
                                       const std::string &name, bool truth, FactFault &fault);

// On the grid, not below zero where a quantity can't be. For values that come with their unit
// already applied.
std::optional<double> admitted(const book::Field &field, const std::string &name, double value,
                               FactFault &fault);

// Quantities other than temperatures and their differences have no negative values.
bool can_be_negative(const book::Type &type);

} // namespace groundrule::facts
