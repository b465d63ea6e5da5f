// Rule text: its layout and its faults.
#include "bind.h"

#include <pybind11/stl.h>

#include <string>
#include <utility>
#include <vector>

namespace py = pybind11;

namespace binding {

namespace {

using NamedText = std::pair<std::string, std::string>;

std::string lay_out(const NamedText &rules) {
    auto document = [&] {
        const py::gil_scoped_release unlocked;
        return groundrule::lay_out({rules.first, rules.second});
    }();
    return std::string(value_or_raise(std::move(document)).text());
}

std::string lint(const std::string &book, const std::vector<NamedText> &rules) {
    std::vector<groundrule::Source> sources;
    sources.reserve(rules.size());
    for (const NamedText &rule : rules)
        sources.push_back({rule.first, rule.second});
    auto faults = [&] {
        const py::gil_scoped_release unlocked;
        return groundrule::lint(book, sources, GR_LINT_LSP);
    }();
    return std::string(value_or_raise(std::move(faults)).told.text());
}

} // namespace

void bind_text(py::module_ &module) {
    module.def("lay_out", &lay_out, py::arg("rules"));
    module.def("lint", &lint, py::arg("book"), py::arg("rules"));
}

} // namespace binding
