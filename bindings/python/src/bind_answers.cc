// Answers beyond a verdict: why, what to ask next, what would pass, how far a fact may go.
#include "bind.h"

#include <pybind11/stl.h>

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace py = pybind11;

namespace binding {

namespace {

using NamedText = std::pair<std::string, std::string>;
using Documents = std::pair<NamedText, std::optional<NamedText>>; // a job, and its assumptions
using groundrule::Result;

Result<groundrule::Job> job_of(const groundrule::Book &book, const Documents &documents) {
    auto job = groundrule::Job::from_json(book, documents.first.second, documents.first.first);
    if (!job || !documents.second)
        return job;
    const auto assumed = job->assume_json(documents.second->second, documents.second->first);
    if (!assumed)
        return assumed.error();
    return job;
}

std::pair<std::string, std::string> explain(const groundrule::Book &book,
                                            const Documents &documents, const std::string &finding,
                                            const std::string &item, const std::string &stage) {
    auto work = [&]() -> Result<std::pair<std::string, std::string>> {
        const py::gil_scoped_release unlocked;
        auto job = job_of(book, documents);
        if (!job)
            return job.error();
        auto why = groundrule::Explanation::of(*job, {finding, item, stage});
        if (!why)
            return why.error();
        const auto json = why->render(GR_JSON);
        if (!json)
            return json.error();
        std::pair<std::string, std::string> out;
        out.first = *json;
        const auto html = why->render(GR_HTML);
        if (!html)
            return html.error();
        out.second = *html;
        return out;
    }();
    return value_or_raise(std::move(work));
}

using Fact = std::pair<std::string, std::string>; // its name, and its item's path or id

Result<gr_place> place_of(const groundrule::Book &book, const groundrule::Job &job,
                          const Fact &fact) {
    const auto slot = book.slot(fact.first);
    if (!slot)
        return slot.error();
    const auto row = groundrule::find_row(job, *slot, fact.second);
    if (!row)
        return row.error();
    return gr_place{*slot, *row};
}

std::string remedies(const groundrule::Book &book, const Documents &documents,
                     const std::string &stage, std::size_t changes, std::size_t most,
                     const std::vector<std::pair<std::string, double>> &costs,
                     const std::vector<Fact> &open) {
    const py::none nobody;
    const groundrule::Progress heard = heard_by(nobody);
    auto work = [&]() -> Result<std::string> {
        const py::gil_scoped_release unlocked;
        auto job = job_of(book, documents);
        if (!job)
            return job.error();
        groundrule::RemedyOptions how;
        how.stage = stage;
        how.most_changes = changes;
        how.most_told = most;
        how.progress = heard;
        for (const auto &[fact, cost] : costs) {
            const auto slot = book.slot(fact);
            if (!slot)
                return slot.error();
            how.costs.push_back({*slot, cost, 0.01});
        }
        for (const Fact &fact : open) {
            const auto place = place_of(book, *job, fact);
            if (!place)
                return place.error();
            how.open.push_back(*place);
        }
        auto found = groundrule::Remedies::of(*job, how);
        if (!found)
            return found.error();
        const auto json = found->render(GR_JSON);
        if (!json)
            return json.error();
        return std::string(*json);
    }();
    return value_or_raise(std::move(work));
}

std::string largest(const groundrule::Book &book, const Documents &documents, const Fact &fact,
                    const std::vector<std::string> &grid, bool advice, const std::string &stage) {
    const py::none nobody;
    const groundrule::Progress heard = heard_by(nobody);
    auto work = [&]() -> Result<std::string> {
        const py::gil_scoped_release unlocked;
        auto job = job_of(book, documents);
        if (!job)
            return job.error();
        const auto place = place_of(book, *job, fact);
        if (!place)
            return place.error();
        return groundrule::largest(*job, place->slot, place->row,
                                   {grid.at(0), grid.at(1), grid.at(2)}, GR_JSON, advice, stage,
                                   heard);
    }();
    return value_or_raise(std::move(work));
}

groundrule::Interview interview(const groundrule::Book &book, const NamedText &job, bool outline,
                                const std::string &stage) {
    auto made = [&] {
        const py::gil_scoped_release unlocked;
        return groundrule::Interview::of(book, job.second, job.first, outline, stage);
    }();
    return value_or_raise(std::move(made));
}

py::object question(groundrule::Interview &interview) {
    const auto asked = value_or_raise(interview.question());
    if (!asked)
        return py::none();
    return py::make_tuple(std::string(asked->fact), std::string(asked->item),
                          std::string(asked->kind), std::string(asked->question),
                          std::string(asked->unit), std::string(asked->choices), asked->waiting,
                          asked->decides, asked->proven);
}

void answer(groundrule::Interview &interview, const std::string &text) {
    const auto taken = [&] {
        const py::gil_scoped_release unlocked;
        return interview.answer(text);
    }();
    if (!taken)
        raise(taken.error());
}

void skip(groundrule::Interview &interview) {
    if (const auto skipped = interview.skip(); !skipped)
        raise(skipped.error());
}

} // namespace

void bind_answers(py::module_ &module) {
    module.def("explain", &explain, py::arg("book"), py::arg("documents"), py::arg("finding"),
               py::arg("item"), py::arg("stage"));
    module.def("remedies", &remedies, py::arg("book"), py::arg("documents"), py::arg("stage"),
               py::arg("changes"), py::arg("most"), py::arg("costs"), py::arg("open"));
    module.def("largest", &largest, py::arg("book"), py::arg("documents"), py::arg("fact"),
               py::arg("grid"), py::arg("advice"), py::arg("stage"));
    py::class_<groundrule::Interview>(module, "Interview")
        .def("question", &question)
        .def("answer", &answer, py::arg("text"))
        .def("skip", &skip)
        .def(
            "next",
            [](groundrule::Interview &i) { return std::string(value_or_raise(i.render(GR_JSON))); })
        .def("job", [](groundrule::Interview &i) { return std::string(value_or_raise(i.job())); });
    module.def("interview", &interview, py::arg("book"), py::arg("job"), py::arg("outline"),
               py::arg("stage"));
}

} // namespace binding
