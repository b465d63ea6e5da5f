// Facts against the types of their fields.
#include "facts/value_reader.h"

#include "quantity/date.h"
#include "text/nearest.h"

namespace groundrule::facts {

namespace {

using book::Field;
using book::Type;

// A value of a size that the trade meets.
double example_of(const Dimension &d) {
    if (d == dimension::length)
        return 609.6; // 2 ft
    if (d == dimension::area)
        return 322.58; // 0.5 in²
    if (d == dimension::volume)
        return 335934.812; // 20.5 in³
    return d == dimension::conductor_area ? 16510 : 40;
}

// A person reads "a current with its unit (A, mA, kA)".
std::string wanted(const book::Book &book, const Type &type) {
    switch (type.kind) {
    case ValueKind::truth:
        return "true or false";
    case ValueKind::conductor_size:
        return "a conductor size, such as \"8 AWG\"";
    case ValueKind::date:
        return "a date, such as \"2024-03-31\"";
    case ValueKind::choice: {
        std::string out = "one of";
        const auto &choices = book.choice_types[static_cast<std::size_t>(type.choices)].choices;
        for (std::size_t i = 0; i < choices.size(); ++i)
            out += (i == 0 ? " " : ", ") + choices[i];
        return out;
    }
    case ValueKind::quantity:
        break;
    }
    if (type.dimension.is_number())
        return "a number";
    return "a " + dimension::name_of(type.dimension) + " with its unit (" +
           units_of(type.dimension) + "), such as \"" +
           format_quantity(example_of(type.dimension), type.dimension) + "\"";
}

std::nullopt_t refuse(FactFault &fault, const char *code, std::string message,
                      std::string help = {}) {
    fault = {code, std::move(message), std::move(help)};
    return std::nullopt;
}

std::optional<double> choice_from(const book::Book &book, const Field &field,
                                  const std::string &name, std::string_view text,
                                  FactFault &fault) {
    const auto &choices = book.choice_types[static_cast<std::size_t>(field.type.choices)].choices;
    for (std::size_t i = 0; i < choices.size(); ++i) {
        if (choices[i] == text)
            return static_cast<double>(i);
    }
    const std::string near = nearest(text, choices);
    return refuse(fault, "unknown-choice", "\"" + std::string(text) + "\" is no choice of " + name,
                  near.empty() ? "expected: " + wanted(book, field.type)
                               : "did you mean \"" + near + "\"?");
}

} // namespace

bool can_be_negative(const Type &type) {
    return type.dimension.kelvin != 0;
}

std::optional<double> admitted(const Field &field, const std::string &name, double value,
                               FactFault &fault) {
    if (!field.type.is_quantity())
        return value;
    const double scale = dimension::grid_scale(field.type.dimension);
    if (!fits_grid(value, scale))
        return refuse(fault, "too-large", name + " is too large, or no number");
    if (value < 0 && !can_be_negative(field.type))
        return refuse(fault, "negative", name + " can't be less than zero");
    return snapped(value, scale) + 0.0;
}

std::optional<double> value_from_text(const book::Book &book, const Field &field,
                                      const std::string &name, std::string_view text,
                                      FactFault &fault) {
    if (field.type.kind == ValueKind::choice)
        return choice_from(book, field, name, text, fault);
    if (field.type.is_truth())
        return refuse(fault, "wrong-type",
                      name + " is a yes_no, and \"" + std::string(text) + "\" is a text",
                      "expected: true or false");
    const LiteralResult r = read_literal(text);
    const auto given = [&] { return "\"" + std::string(text) + "\""; };
    const bool whole = r.fault == LiteralFault::none && r.literal.size == text.size();
    if (r.fault == LiteralFault::unknown_unit)
        return refuse(fault, "unknown-unit",
                      name + ": \"" + std::string(r.word) + "\" is no unit known here",
                      "expected: " + wanted(book, field.type));
    if (r.fault == LiteralFault::too_large)
        return refuse(fault, "too-large", name + " is too large, or no number");
    if (!whole)
        return refuse(fault, "not-a-value", name + ": " + given() + " can't be read",
                      "expected: " + wanted(book, field.type));
    Type type;
    type.kind = r.literal.kind;
    type.dimension = r.literal.dimension;
    if (!(type == field.type)) {
        const bool bare = type.is_quantity() && type.dimension.is_number();
        return refuse(fault, bare ? "no-unit" : "wrong-unit",
                      bare ? name + ": " + given() + " has no unit"
                           : name + " is a " + type_name(book.choice_types, field.type) + ", and " +
                                 given() + " is a " + type_name(book.choice_types, type),
                      "expected: " + wanted(book, field.type));
    }
    return admitted(field, name, r.literal.value, fault);
}

std::optional<double> value_from_number(const book::Book &book, const Field &field,
                                        const std::string &name, double number, FactFault &fault) {
    if (field.type.is_quantity() && field.type.dimension.is_number())
        return admitted(field, name, number, fault);
    const bool unit = field.type.is_quantity();
    return refuse(
        fault, unit ? "no-unit" : "wrong-type",
        name + (unit ? ": a bare number has no unit" : ": a number stands where none belongs"),
        "expected: " + wanted(book, field.type));
}

std::optional<double> value_from_truth(const book::Book &book, const Field &field,
                                       const std::string &name, bool truth, FactFault &fault) {
    if (field.type.is_truth())
        return truth ? 1 : 0;
    return refuse(fault, "wrong-type", name + ": true and false stand where none belongs",
                  "expected: " + wanted(book, field.type));
}

} // namespace groundrule::facts
