// The private module groundrule._core: one file for each concept that it binds. No sugar here; the
// package around it has the names, types and texts that Python programs see.
#pragma once

#include <groundrule/groundrule.hpp>

#include <pybind11/pybind11.h>

#include <utility>

namespace binding {

void bind_error(pybind11::module_ &module);
void bind_report(pybind11::module_ &module);
void bind_book(pybind11::module_ &module);
void bind_text(pybind11::module_ &module);
void bind_adoption(pybind11::module_ &module);
void bind_compare(pybind11::module_ &module);
void bind_audit(pybind11::module_ &module);
void bind_mutation(pybind11::module_ &module);
void bind_answers(pybind11::module_ &module);

// Raises GroundruleError with the parts of the error. Needs the interpreter lock.
[[noreturn]] void raise(const groundrule::Error &error);

// The value, or the exception. Needs the interpreter lock.
template <typename T>
T value_or_raise(groundrule::Result<T> result) {
    if (!result)
        raise(result.error());
    return std::move(*result);
}

} // namespace binding
