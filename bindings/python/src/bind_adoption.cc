// A place's timeline of books, and what it answers for a job.
#include "bind.h"

#include <pybind11/stl.h>

#include <string>
#include <utility>
#include <vector>

namespace py = pybind11;

namespace binding {

namespace {

using NamedText = std::pair<std::string, std::string>;

groundrule::Adoption open_adoption(const std::string &place, const std::vector<NamedText> &rules) {
    std::vector<groundrule::Source> sources;
    sources.reserve(rules.size());
    for (const NamedText &rule : rules)
        sources.push_back({rule.first, rule.second});
    auto adoption = [&] {
        const py::gil_scoped_release unlocked;
        return groundrule::Adoption::open(place, sources);
    }();
    return value_or_raise(std::move(adoption));
}

// The answer as JSON.
std::string find(const groundrule::Adoption &adoption, const NamedText &job, const std::string &on,
                 const std::string &choose) {
    auto answer = [&] {
        const py::gil_scoped_release unlocked;
        return adoption.find(job.second, job.first, on, choose);
    }();
    auto found = value_or_raise(std::move(answer));
    return std::string(value_or_raise(found.render(GR_JSON)));
}

} // namespace

void bind_adoption(py::module_ &module) {
    py::class_<groundrule::Adoption>(module, "Adoption")
        .def("timeline",
             [](const groundrule::Adoption &adoption) {
                 return std::string(adoption.timeline(GR_JSON));
             })
        .def("find", &find, py::arg("job"), py::arg("on"), py::arg("choose"));
    module.def("open_adoption", &open_adoption, py::arg("place"), py::arg("rules"));
    module.def("shipped_adoptions", &groundrule::shipped_adoptions);
}

} // namespace binding
