// Reads the types of a book's fields.
#include "facts/admission.h"

#include "facts/value_reader.h"
#include "quantity/conductor_size.h"

#include <limits>

namespace groundrule::facts {

std::size_t code_count(const book::Book &book, const book::Field &field) {
    switch (field.type.kind) {
    case ValueKind::truth:
        return 2;
    case ValueKind::choice:
        return book.choice_types[static_cast<std::size_t>(field.type.choices)].choices.size();
    case ValueKind::conductor_size:
        return static_cast<std::size_t>(conductor_size_count());
    case ValueKind::quantity:
    case ValueKind::date:
        break;
    }
    return 0;
}

Admissions::Admissions(const book::Book &book) : first_{0} {
    for (const book::Item &item : book.items) {
        for (const book::Field &field : item.fields) {
            constexpr double any = std::numeric_limits<double>::max();
            if (field.type.is_quantity())
                all_.push_back({dimension::grid_scale(field.type.dimension),
                                can_be_negative(field.type) ? -any : 0, any, false});
            else
                all_.push_back({1, 0, static_cast<double>(code_count(book, field)) - 1, true});
        }
        first_.push_back(all_.size());
    }
}

} // namespace groundrule::facts
