// The one exception class, and the one place where errors become exceptions.
#include "bind.h"

namespace py = pybind11;

namespace binding {

namespace {

constexpr const char *doc =
    "A rule file, a job, an assumption or an argument is at fault.\n\n"
    "str() gives all faults as a person reads them; the attributes describe the first:\n"
    "code (str, stable, such as 'unknown-field'), file (str, empty if it is in none),\n"
    "line and column (int, from 1; 0 if it is in no file).";

} // namespace

void bind_error(py::module_ &module) {
    // It bears the public name, by which it is also pickled.
    PyObject *type =
        PyErr_NewExceptionWithDoc("groundrule.GroundruleError", doc, PyExc_ValueError, nullptr);
    if (type == nullptr)
        throw py::error_already_set();
    module.attr("GroundruleError") = py::reinterpret_steal<py::object>(type);
}

void raise(const groundrule::Error &error) {
    if (error.status == GR_CANCELLED && PyErr_Occurred() != nullptr)
        throw py::error_already_set();
    // Looked up each time: a static object would outlive the interpreter.
    const py::object type = py::module_::import("groundrule._core").attr("GroundruleError");
    // What came from a file of the user's may be cut, or be no UTF-8 at all.
    const auto text = [](const std::string &bytes) {
        return py::reinterpret_steal<py::object>(
            PyUnicode_DecodeUTF8(bytes.data(), static_cast<Py_ssize_t>(bytes.size()), "replace"));
    };
    const py::object exception = type(text(error.message));
    exception.attr("code") = text(error.code);
    exception.attr("file") = text(error.file);
    exception.attr("line") = error.line;
    exception.attr("column") = error.column;
    PyErr_SetObject(type.ptr(), exception.ptr());
    throw py::error_already_set();
}

} // namespace binding
