// Mutants of a book that its tests do not notice.
#include "bind.h"

#include <pybind11/stl.h>

#include <string>

namespace py = pybind11;

namespace binding {

namespace {

groundrule::Mutation mutate(const groundrule::Book &book, const std::string &file,
                            std::uint32_t threads, const py::object &progress) {
    const groundrule::Progress heard = heard_by(progress);
    auto mutation = [&] {
        const py::gil_scoped_release unlocked;
        return groundrule::Mutation::of(book, file, threads, heard);
    }();
    return value_or_raise(std::move(mutation));
}

std::string render(groundrule::Mutation &mutation, gr_format format) {
    return std::string(value_or_raise(mutation.render(format)));
}

} // namespace

void bind_mutation(py::module_ &module) {
    py::class_<groundrule::Mutation>(module, "Mutation")
        .def_property_readonly("mutants", [](const groundrule::Mutation &m) { return m.mutants(); })
        .def_property_readonly("killed", [](const groundrule::Mutation &m) { return m.killed(); })
        .def("to_json", [](groundrule::Mutation &m) { return render(m, GR_JSON); })
        .def("to_text", [](groundrule::Mutation &m) { return render(m, GR_PLAIN); });
    module.def("mutate", &mutate, py::arg("book"), py::arg("file"), py::arg("threads"),
               py::arg("progress"));
}

} // namespace binding
