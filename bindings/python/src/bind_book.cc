// Books, and the check of one job: facts go in as JSON, a report comes out.
//
// The interpreter lock is given back while the core works, inside the function, so that arguments
// and results are made and destroyed while it is held.
#include "bind.h"

#include <pybind11/stl.h>

#include <optional>
#include <string>
#include <vector>

namespace py = pybind11;

namespace binding {

namespace {

// The name that messages show, and the text as UTF-8.
using NamedText = std::pair<std::string, std::string>;

groundrule::Book open_book(const std::string &name, const std::vector<NamedText> &rules,
                           const std::string &on) {
    std::vector<groundrule::Source> sources;
    sources.reserve(rules.size());
    for (const NamedText &rule : rules)
        sources.push_back({rule.first, rule.second});
    auto book = [&] {
        const py::gil_scoped_release unlocked;
        return groundrule::Book::open(name, sources, on);
    }();
    return value_or_raise(std::move(book));
}

groundrule::Result<groundrule::Report> report_on(const groundrule::Book &book, const NamedText &job,
                                                 const std::optional<NamedText> &assumptions,
                                                 const std::optional<std::string> &stage) {
    auto facts = groundrule::Job::from_json(book, job.second, job.first);
    if (!facts)
        return facts.error();
    if (assumptions) {
        const auto assumed = facts->assume_json(assumptions->second, assumptions->first);
        if (!assumed)
            return assumed.error();
    }
    return facts->check(stage);
}

groundrule::Report check(const groundrule::Book &book, const NamedText &job,
                         const std::optional<NamedText> &assumptions,
                         const std::optional<std::string> &stage) {
    auto report = [&] {
        const py::gil_scoped_release unlocked;
        return report_on(book, job, assumptions, stage);
    }();
    return value_or_raise(std::move(report));
}

} // namespace

void bind_book(py::module_ &module) {
    py::class_<groundrule::Book>(module, "Book")
        .def_property_readonly("name", [](const groundrule::Book &book) { return book.name(); })
        .def_property_readonly("digest", [](const groundrule::Book &book) { return book.digest(); })
        .def("describe", [](const groundrule::Book &book) { return book.describe(); })
        .def(
            "show",
            [](const groundrule::Book &book, bool changes) {
                auto shown = [&] {
                    const py::gil_scoped_release unlocked;
                    return book.show(changes ? GR_SHOW_CHANGES : GR_SHOW_BOOK);
                }();
                return std::string(value_or_raise(std::move(shown)).text());
            },
            py::arg("changes"))
        .def("schema", [](const groundrule::Book &book) { return book.schema(); })
        .def("check", &check, py::arg("job"), py::arg("assumptions"), py::arg("stage"));
    module.def("open_book", &open_book, py::arg("name"), py::arg("rules"), py::arg("on"));
    module.def("version", &groundrule::version);
    module.def("shipped_editions", &groundrule::shipped_editions);
    module.def("shipped_amendments", &groundrule::shipped_amendments);
}

} // namespace binding
