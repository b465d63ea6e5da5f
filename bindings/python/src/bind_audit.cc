// One book over batches of rows. Arrow structs come and go in capsules, as the Arrow PyCapsule
// interface names them: a batch is lent for the call, verdicts are given away.
#include "bind.h"

#include <pybind11/stl.h>

#include <array>
#include <memory>
#include <optional>
#include <string>
#include <tuple>
#include <vector>

namespace py = pybind11;

namespace binding {

namespace {

// Column, fact, unit.
using Column = std::array<std::string, 3>;

constexpr const char *array_name = "arrow_array";
constexpr const char *schema_name = "arrow_schema";

gr_text text(const std::string &string) {
    return {string.data(), string.size()};
}

// Borrowed from the capsule, which stays the caller's.
template <typename T>
const T &inside(const py::object &capsule, const char *name) {
    auto *pointer = static_cast<T *>(PyCapsule_GetPointer(capsule.ptr(), name));
    if (pointer == nullptr)
        throw py::error_already_set();
    return *pointer;
}

// Releases what no consumer has moved out.
template <typename T>
void release(T *owned) {
    if (owned->release != nullptr)
        owned->release(owned);
    delete owned;
}

template <typename T>
struct Owned {
    void operator()(T *owned) const { release(owned); }
};

template <typename T>
py::object capsule_of(std::unique_ptr<T, Owned<T>> owned, const char *name) {
    PyObject *capsule = PyCapsule_New(owned.get(), name, [](PyObject *object) {
        release(static_cast<T *>(PyCapsule_GetPointer(object, PyCapsule_GetName(object))));
    });
    if (capsule == nullptr)
        throw py::error_already_set();
    owned.release();
    return py::reinterpret_steal<py::object>(capsule);
}

groundrule::Audit open_audit(const groundrule::Book &book, const py::object &schema,
                             const std::string &item, const std::vector<Column> &columns,
                             const std::vector<std::string> &complete,
                             const std::string &assumptions,
                             const std::optional<std::string> &stage, std::uint32_t threads,
                             bool count_missing) {
    const auto &table = inside<ArrowSchema>(schema, schema_name);
    std::vector<gr_column> named;
    named.reserve(columns.size());
    for (const Column &column : columns)
        named.push_back({text(column[0]), text(column[1]), text(column[2])});
    std::vector<gr_text> whole;
    whole.reserve(complete.size());
    for (const std::string &list : complete)
        whole.push_back(text(list));
    gr_audit_options options = GR_AUDIT_OPTIONS_INIT;
    options.item = text(item);
    options.columns = named.data();
    options.column_count = named.size();
    options.complete = whole.data();
    options.complete_count = whole.size();
    options.assumptions = text(assumptions);
    options.stage = stage ? stage->c_str() : nullptr;
    options.threads = threads;
    options.progress = answer_signals;
    options.read_all_columns = 1;
    options.count_missing = count_missing ? 1 : 0;
    auto audit = [&] {
        const py::gil_scoped_release unlocked;
        return groundrule::Audit::open(book, table, options);
    }();
    return value_or_raise(std::move(audit));
}

py::object schema(const groundrule::Audit &audit) {
    std::unique_ptr<ArrowSchema, Owned<ArrowSchema>> out(new ArrowSchema{});
    if (const auto told = audit.schema(*out); !told)
        raise(told.error());
    return capsule_of(std::move(out), schema_name);
}

// The verdicts, and how many rows have none.
std::pair<py::object, std::size_t> batch(groundrule::Audit &audit, const py::object &rows) {
    const auto &array = inside<ArrowArray>(rows, array_name);
    std::unique_ptr<ArrowArray, Owned<ArrowArray>> out(new ArrowArray{});
    auto faulty = [&] {
        const py::gil_scoped_release unlocked;
        return audit.batch(array, *out);
    }();
    const std::size_t count = value_or_raise(std::move(faulty));
    return {capsule_of(std::move(out), array_name), count};
}

// Topic, fact, kind, question, verdicts that lack the fact, those that lack nothing else.
using MissingFact =
    std::tuple<std::string, std::string, std::string, std::string, std::uint64_t, std::uint64_t>;

std::vector<MissingFact> missing(const groundrule::Audit &audit) {
    std::vector<MissingFact> out;
    for (std::size_t i = 0; i < audit.missing_count(); ++i) {
        const gr_missing_fact m = value_or_raise(audit.missing(i));
        const auto copy = [](const gr_text &t) { return std::string(t.data, t.size); };
        out.emplace_back(copy(m.topic), copy(m.fact), copy(m.kind), copy(m.question), m.verdicts,
                         m.alone);
    }
    return out;
}

groundrule::Report check_row(const groundrule::Audit &audit, const py::object &rows,
                             std::size_t row, const std::optional<std::string> &stage) {
    const auto &array = inside<ArrowArray>(rows, array_name);
    auto report = [&]() -> groundrule::Result<groundrule::Report> {
        const py::gil_scoped_release unlocked;
        auto job = audit.job(array, row);
        if (!job)
            return job.error();
        return job->check(stage);
    }();
    return value_or_raise(std::move(report));
}

} // namespace

void bind_audit(py::module_ &module) {
    py::class_<groundrule::Audit>(module, "Audit")
        .def(py::init(&open_audit), py::arg("book"), py::arg("schema"), py::arg("item"),
             py::arg("columns"), py::arg("complete"), py::arg("assumptions"), py::arg("stage"),
             py::arg("threads"), py::arg("count_missing"))
        .def("schema", &schema)
        .def("batch", &batch, py::arg("rows"))
        .def("faults", [](const groundrule::Audit &audit) { return std::string(audit.faults()); })
        .def("missing", &missing)
        .def("check_row", &check_row, py::arg("rows"), py::arg("row"), py::arg("stage"));
}

} // namespace binding
