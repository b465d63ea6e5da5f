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

// Raises GroundruleError with the parts of the error, or what a listener or a signal raised. Needs
// the interpreter lock.
[[noreturn]] void raise(const groundrule::Error &error);

// A progress function for work that runs without the interpreter lock. Ten times a second it takes
// the lock, has Python answer signals such as Ctrl-C, and tells `listener`, unless that is None.
// What these raise ends the work, and raise() passes it on. Both live as long as the work.
groundrule::Progress heard_by(const pybind11::object &listener);
// The same without a listener, for options that outlive the call.
int answer_signals(const gr_progress *progress, void *user);

// The value, or the exception. Needs the interpreter lock.
template <typename T>
T value_or_raise(groundrule::Result<T> result) {
    if (!result)
        raise(result.error());
    return std::move(*result);
}

} // namespace binding
