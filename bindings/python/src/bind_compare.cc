// Two books compared, and the jobs that they are tried on.
#include "bind.h"

#include <pybind11/stl.h>

#include <string>
#include <utility>
#include <vector>

namespace py = pybind11;

namespace binding {

namespace {

using NamedText = std::pair<std::string, std::string>;

groundrule::Comparison compare(const groundrule::Book &before, const groundrule::Book &after) {
    auto comparison = [&] {
        const py::gil_scoped_release unlocked;
        return groundrule::Comparison::of(before, after);
    }();
    return value_or_raise(std::move(comparison));
}

void add_job(groundrule::Comparison &comparison, const NamedText &job) {
    const auto added = [&] {
        const py::gil_scoped_release unlocked;
        return comparison.add_job(job.second, job.first);
    }();
    if (!added)
        raise(added.error());
}

std::string render(groundrule::Comparison &comparison, gr_format format) {
    return std::string(value_or_raise(comparison.render(format)));
}

} // namespace

void bind_compare(py::module_ &module) {
    py::class_<groundrule::Comparison>(module, "Comparison")
        .def_property_readonly(
            "same", [](const groundrule::Comparison &comparison) { return comparison.same(); })
        .def("add_job", &add_job, py::arg("job"))
        .def("to_json",
             [](groundrule::Comparison &comparison) { return render(comparison, GR_JSON); })
        .def("to_text",
             [](groundrule::Comparison &comparison) { return render(comparison, GR_PLAIN); });
    module.def("compare", &compare, py::arg("before"), py::arg("after"));
}

} // namespace binding
