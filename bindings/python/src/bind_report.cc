// What a check found: rendered by the core, never put together here.
#include "bind.h"

namespace py = pybind11;

namespace binding {

namespace {

std::string render(groundrule::Report &report, gr_format format, bool all) {
    return std::string(value_or_raise(report.render(format, {all, false})));
}

} // namespace

void bind_report(py::module_ &module) {
    // Rendering keeps the interpreter lock: a report belongs to one thread at a time.
    py::class_<groundrule::Report>(module, "Report")
        .def("to_json", [](groundrule::Report &report) { return render(report, GR_JSON, false); })
        .def("to_sarif", [](groundrule::Report &report) { return render(report, GR_SARIF, false); })
        .def(
            "to_text",
            [](groundrule::Report &report, bool all) { return render(report, GR_PLAIN, all); },
            py::arg("all"))
        .def(
            "exit_status",
            [](const groundrule::Report &report, bool strict) {
                return report.exit_status(strict);
            },
            py::arg("strict"));
}

} // namespace binding
