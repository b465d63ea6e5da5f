// gr_job: facts by JSON and by typed setters.
#include "c_api/guard.h"
#include "c_api/handles.h"

#include "facts/admission.h"
#include "facts/json_reader.h"
#include "facts/value_reader.h"
#include "text/nearest.h"

#include <bit>
#include <cmath>
#include <optional>

using groundrule::Cell;
using groundrule::Diagnostics;
using groundrule::exactly;
using groundrule::c_api::bad_pointer;
using groundrule::c_api::check_items;
using groundrule::c_api::check_size;
using groundrule::c_api::fail;
using groundrule::c_api::fail_with;
using groundrule::c_api::guard;
using groundrule::c_api::handed_over;
using groundrule::c_api::let_go;
using groundrule::c_api::live;
using groundrule::c_api::view;
namespace book = groundrule::book;
namespace facts = groundrule::facts;

namespace {

const book::Book &book_of(const gr_job &job) {
    return *job.book->book;
}

// The child item whose list has this name, whatever its parent; names of lists are unique in a
// book.
std::optional<std::int32_t> list_named(const book::Book &b, std::string_view name) {
    for (std::size_t i = 1; i < b.items.size(); ++i) {
        if (b.items[i].list == name)
            return static_cast<std::int32_t>(i);
    }
    return std::nullopt;
}

gr_status unknown_list(const book::Book &b, std::string_view name, gr_error *error) {
    std::vector<std::string> known;
    for (std::size_t i = 1; i < b.items.size(); ++i)
        known.push_back(b.items[i].list);
    const std::string near = groundrule::nearest(name, known);
    return fail(error, GR_BAD_ARGUMENT, "unknown-list",
                "there is no list \"" + std::string(name) + "\"" +
                    (near.empty() ? "" : "; did you mean \"" + near + "\"?"));
}

bool has_row(const gr_job &job, std::int32_t item, std::uint32_t row) {
    return row < job.facts.rows(item).size();
}

// The field of a slot, or a failure told in `status`.
const book::Field *field_at(const gr_job *job, gr_slot slot, std::uint32_t row, gr_status &status,
                            gr_error *error) {
    if (!live(job)) {
        status = bad_pointer(error);
        return nullptr;
    }
    const book::Book &b = book_of(*job);
    if (slot.item >= b.items.size() || slot.field >= b.items[slot.item].fields.size()) {
        status = fail(error, GR_BAD_ARGUMENT, "bad-slot", "this slot is not of this book");
        return nullptr;
    }
    if (!has_row(*job, static_cast<std::int32_t>(slot.item), row)) {
        status = fail(error, GR_BAD_ARGUMENT, "no-such-row", "there is no such item");
        return nullptr;
    }
    return &b.items[slot.item].fields[slot.field];
}

std::string name_of(const gr_job &job, gr_slot slot) {
    const book::Item &item = book_of(job).items[slot.item];
    return item.name + "." + item.fields[slot.field].name;
}

// A value that is right for its field is stored at once; only a wrong one costs a message.
void store(gr_job &job, gr_slot slot, std::uint32_t row, double value) {
    job.facts.set(static_cast<std::int32_t>(slot.item), static_cast<std::int32_t>(row),
                  static_cast<std::int32_t>(slot.field), exactly(value));
}

// Which facts are told can't be foreseen, so nothing jumps on it. One that isn't has the value 0,
// and is unknown.
double number_or_zero(double value) {
    return std::bit_cast<double>(std::bit_cast<std::uint64_t>(value) &
                                 -static_cast<std::uint64_t>(!std::isnan(value)));
}
static_assert(static_cast<int>(groundrule::Bound::unknown) == 0 &&
              static_cast<int>(groundrule::Bound::exact) == 1);

gr_status no_value_of(const gr_job &job, gr_slot slot, double given, gr_error *error) {
    const book::Field &field = book_of(job).items[slot.item].fields[slot.field];
    facts::FactFault fault = {
        "unknown-code",
        name_of(job, slot) + (field.type.is_truth() ? " is a yes_no: 0 or 1" : " has no such code"),
        ""};
    if (field.type.is_quantity())
        facts::admitted(field, name_of(job, slot), given, fault);
    return fail(error, GR_BAD_FACTS, fault.code, fault.message);
}

template <typename Convert>
gr_status set(gr_job *job, gr_slot slot, std::uint32_t row, gr_error *error, Convert convert) {
    gr_status status = GR_OK;
    const book::Field *field = field_at(job, slot, row, status, error);
    if (field == nullptr)
        return status;
    facts::FactFault fault;
    const std::optional<double> value = convert(book_of(*job), *field, name_of(*job, slot), fault);
    if (!value)
        return fail(error, GR_BAD_FACTS, fault.code,
                    fault.message + (fault.help.empty() ? "" : "; " + fault.help));
    store(*job, slot, row, *value);
    return GR_OK;
}

} // namespace

gr_status gr_job_new(const gr_book *handle, gr_job **out, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || out == nullptr)
            return bad_pointer(error);
        *out = handed_over(gr_job{{}, handle->open, facts::Job(*handle->open->book), {}, {}});
        return GR_OK;
    });
}

gr_status gr_job_from_json(const gr_book *handle, const char *json, size_t size, const char *name,
                           size_t name_size, gr_job **out, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || json == nullptr || out == nullptr)
            return bad_pointer(error);
        Diagnostics diagnostics;
        const std::string shown = name == nullptr ? "job" : std::string(view(name, name_size));
        gr_status fits = check_size(*handle->open, size, error);
        if (fits != GR_OK)
            return fits;
        auto job = facts::job_from_json(*handle->open->book, view(json, size), shown, diagnostics);
        if (!job)
            return fail_with(error, GR_BAD_FACTS, diagnostics, {});
        fits = check_items(*handle->open, job->row_count(), GR_BAD_FACTS, error);
        if (fits != GR_OK)
            return fits;
        *out = handed_over(gr_job{{}, handle->open, std::move(*job), {}, {}});
        return GR_OK;
    });
}

void gr_job_free(gr_job *job) noexcept {
    let_go(job);
}

gr_status gr_job_add(gr_job *job, uint32_t parent_row, const char *list, size_t size, uint32_t *row,
                     gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(job) || list == nullptr || row == nullptr)
            return bad_pointer(error);
        const book::Book &b = book_of(*job);
        const auto item = list_named(b, view(list, size));
        if (!item)
            return unknown_list(b, view(list, size), error);
        if (!has_row(*job, b.items[static_cast<std::size_t>(*item)].parent, parent_row))
            return fail(error, GR_BAD_ARGUMENT, "no-such-row", "there is no such item to add to");
        const gr_status fits =
            check_items(*job->book, job->facts.row_count() + 1, GR_BAD_ARGUMENT, error);
        if (fits != GR_OK)
            return fits;
        *row = static_cast<uint32_t>(job->facts.add(*item, static_cast<std::int32_t>(parent_row)));
        return GR_OK;
    });
}

gr_status gr_job_complete(gr_job *job, uint32_t parent_row, const char *list, size_t size,
                          int complete, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(job) || list == nullptr)
            return bad_pointer(error);
        const book::Book &b = book_of(*job);
        const auto child = list_named(b, view(list, size));
        if (!child)
            return unknown_list(b, view(list, size), error);
        const std::int32_t owner = b.items[static_cast<std::size_t>(*child)].parent;
        if (!has_row(*job, owner, parent_row))
            return fail(error, GR_BAD_ARGUMENT, "no-such-row", "there is no such item");
        const std::vector<std::int32_t> &children =
            b.items[static_cast<std::size_t>(owner)].children;
        for (std::size_t i = 0; i < children.size(); ++i) {
            if (children[i] == *child)
                job->facts.mark_complete(owner, static_cast<std::int32_t>(parent_row),
                                         static_cast<std::int32_t>(i), complete != 0);
        }
        return GR_OK;
    });
}

gr_status gr_job_set_text(gr_job *job, gr_slot slot, uint32_t row, const char *text, size_t size,
                          gr_error *error) noexcept {
    return guard(error, [&] {
        if (text == nullptr)
            return bad_pointer(error);
        const std::string_view given = view(text, size);
        return set(job, slot, row, error,
                   [&](const book::Book &b, const book::Field &f, const std::string &n,
                       facts::FactFault &fault) {
                       if (f.type.is_truth() && (given == "yes" || given == "no"))
                           return std::optional<double>(given == "yes" ? 1 : 0);
                       return facts::value_from_text(b, f, n, given, fault);
                   });
    });
}

gr_status gr_job_set_number(gr_job *job, gr_slot slot, uint32_t row, double value,
                            gr_error *error) noexcept {
    return guard(error, [&] {
        gr_status status = GR_OK;
        const book::Field *field = field_at(job, slot, row, status, error);
        if (field == nullptr)
            return status;
        double right = 0;
        if (field->type.is_quantity() &&
            facts::admits(job->book->admissions->of(slot.item)[slot.field], value, right)) {
            store(*job, slot, row, right);
            return GR_OK;
        }
        return set(job, slot, row, error,
                   [&](const book::Book &b, const book::Field &f, const std::string &n,
                       facts::FactFault &fault) {
                       return f.type.is_quantity()
                                  ? facts::admitted(f, n, value, fault)
                                  : facts::value_from_number(b, f, n, value, fault);
                   });
    });
}

gr_status gr_job_set_numbers(gr_job *job, uint32_t row, const gr_slot *slots, const double *values,
                             size_t count, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(job) || (count != 0 && (slots == nullptr || values == nullptr)))
            return bad_pointer(error);
        job->numbers.resize(count);
        double *right = job->numbers.data();
        constexpr std::uint32_t none = 0xffffffff;
        std::uint32_t item = none;
        std::span<const facts::Admission> fields;
        for (size_t i = 0; i < count; ++i) {
            if (slots[i].item != item) {
                item = slots[i].item;
                fields = job->book->admissions->of(item);
                if (!fields.empty() && !has_row(*job, static_cast<std::int32_t>(item), row))
                    fields = {};
            }
            if (slots[i].field >= fields.size()) {
                gr_status status = GR_OK;
                field_at(job, slots[i], row, status, error);
                return status;
            }
            const bool right_one =
                facts::admits(fields[slots[i].field], number_or_zero(values[i]), right[i]);
            if (!(right_one | std::isnan(values[i])))
                return no_value_of(*job, slots[i], values[i], error);
        }
        item = none;
        facts::Job::ItemFacts of = {};
        for (size_t i = 0; i < count; ++i) {
            if (slots[i].item != item) {
                item = slots[i].item;
                of = job->facts.facts_of(static_cast<std::int32_t>(item),
                                         static_cast<std::int32_t>(row));
            }
            const auto bound = static_cast<groundrule::Bound>(!std::isnan(values[i]));
            job->facts.set(of, static_cast<std::int32_t>(slots[i].field), {right[i], bound});
        }
        return GR_OK;
    });
}

gr_status gr_job_set_truth(gr_job *job, gr_slot slot, uint32_t row, int value,
                           gr_error *error) noexcept {
    return guard(error, [&] {
        gr_status status = GR_OK;
        const book::Field *field = field_at(job, slot, row, status, error);
        if (field == nullptr)
            return status;
        if (field->type.is_truth()) {
            store(*job, slot, row, value != 0 ? 1 : 0);
            return GR_OK;
        }
        return set(job, slot, row, error,
                   [&](const book::Book &b, const book::Field &f, const std::string &n,
                       facts::FactFault &fault) {
                       return facts::value_from_truth(b, f, n, value != 0, fault);
                   });
    });
}

gr_status gr_book_code(const gr_book *handle, gr_slot slot, const char *text, size_t size,
                       uint32_t *out, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || text == nullptr || out == nullptr)
            return bad_pointer(error);
        const book::Book &b = *handle->open->book;
        if (slot.item >= b.items.size() || slot.field >= b.items[slot.item].fields.size())
            return fail(error, GR_BAD_ARGUMENT, "bad-slot", "this slot is not of this book");
        const book::Field &field = b.items[slot.item].fields[slot.field];
        if (field.type.is_truth() || facts::code_count(b, field) == 0)
            return fail(error, GR_BAD_ARGUMENT, "no-codes",
                        field.name + " is neither a choice nor a conductor size");
        facts::FactFault fault;
        const auto value = facts::value_from_text(
            b, field, b.items[slot.item].name + "." + field.name, view(text, size), fault);
        if (!value)
            return fail(error, GR_BAD_FACTS, fault.code, fault.message);
        *out = static_cast<uint32_t>(*value);
        return GR_OK;
    });
}

gr_status gr_job_set_code(gr_job *job, gr_slot slot, uint32_t row, uint32_t code,
                          gr_error *error) noexcept {
    return guard(error, [&] {
        gr_status status = GR_OK;
        const book::Field *field = field_at(job, slot, row, status, error);
        if (field == nullptr)
            return status;
        if (field->type.is_truth() || code >= facts::code_count(book_of(*job), *field))
            return fail(error, GR_BAD_FACTS, "unknown-code",
                        name_of(*job, slot) + " has no such code");
        store(*job, slot, row, code);
        return GR_OK;
    });
}

gr_status gr_job_clear(gr_job *job, gr_slot slot, uint32_t row, gr_error *error) noexcept {
    return guard(error, [&] {
        gr_status status = GR_OK;
        if (field_at(job, slot, row, status, error) == nullptr)
            return status;
        job->facts.set(static_cast<std::int32_t>(slot.item), static_cast<std::int32_t>(row),
                       static_cast<std::int32_t>(slot.field), Cell{});
        return GR_OK;
    });
}

gr_status gr_job_assume_json(gr_job *job, const char *json, size_t size, const char *name,
                             size_t name_size, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(job) || json == nullptr)
            return bad_pointer(error);
        const gr_status fits = check_size(*job->book, size, error);
        if (fits != GR_OK)
            return fits;
        Diagnostics diagnostics;
        const std::string shown =
            name == nullptr ? "assumptions" : std::string(view(name, name_size));
        const auto assumptions =
            facts::assumptions_from_json(book_of(*job), view(json, size), shown, diagnostics);
        if (diagnostics.has_errors())
            return fail_with(error, GR_BAD_FACTS, diagnostics, {});
        job->assumptions.insert(job->assumptions.end(), assumptions.begin(), assumptions.end());
        job->facts.unsettle();
        return GR_OK;
    });
}
