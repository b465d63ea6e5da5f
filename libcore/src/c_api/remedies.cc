// gr_remedies, and the largest lawful value.
#include "answers/largest.h"
#include "c_api/answers.h"

#include "facts/value_reader.h"

using groundrule::c_api::asking;
using groundrule::c_api::bad_pointer;
using groundrule::c_api::bad_size;
using groundrule::c_api::cancelled;
using groundrule::c_api::fail;
using groundrule::c_api::guard;
using groundrule::c_api::handed_over;
using groundrule::c_api::let_go;
using groundrule::c_api::live;
using groundrule::c_api::or_empty;
using groundrule::c_api::take;
using groundrule::c_api::text_of;
namespace answers = groundrule::answers;
namespace book = groundrule::book;
namespace facts = groundrule::facts;

namespace {

answers::Place place_of(gr_slot slot, std::uint32_t row) {
    return {static_cast<std::int32_t>(slot.item), static_cast<std::int32_t>(row),
            static_cast<std::int32_t>(slot.field)};
}

gr_status read(const gr_job &job, const gr_remedy_options &from, answers::RemedyOptions &to,
               gr_error *error) {
    if (from.most_changes != 0)
        to.most_changes = from.most_changes;
    if (from.most_tries != 0)
        to.most_tries = from.most_tries;
    to.most_told = from.most_told;
    to.settled = from.settled != 0;
    to.go_on = asking(from.progress, from.user);
    if ((from.costs == nullptr && from.cost_count != 0) ||
        (from.open == nullptr && from.open_count != 0))
        return bad_pointer(error);
    const book::Book &b = *job.book->book;
    for (std::size_t i = 0; i < from.cost_count; ++i) {
        const gr_cost &cost = from.costs[i];
        if (cost.slot.item >= b.items.size() ||
            cost.slot.field >= b.items[cost.slot.item].fields.size())
            return fail(error, GR_BAD_ARGUMENT, "bad-slot", "this slot is not of this book");
        if (!(cost.change >= 0) || !(cost.step >= 0))
            return fail(error, GR_BAD_ARGUMENT, "bad-cost", "a cost is below zero, or no number");
        to.costs[b.items[cost.slot.item].fields[cost.slot.field].slot] = {cost.change, cost.step};
    }
    for (std::size_t i = 0; i < from.open_count; ++i) {
        const gr_status status =
            groundrule::c_api::check_place(job, from.open[i].slot, from.open[i].row, error);
        if (status != GR_OK)
            return status;
        to.open.push_back(place_of(from.open[i].slot, from.open[i].row));
    }
    return GR_OK;
}

answers::Subject subject_of(const groundrule::c_api::OpenBook &open, const facts::Job &job,
                            std::string stage) {
    return {*open.book, open.program, *open.dense, job, std::move(stage), false};
}

// Values of a grid, as texts of the field's kind.
bool read_grid(const book::Book &b, const book::Field &field, const gr_largest_options &options,
               answers::Grid &grid, facts::FactFault &fault) {
    const std::pair<const char *, double *> parts[] = {
        {options.from, &grid.from}, {options.to, &grid.to}, {options.step, &grid.step}};
    for (const auto &[text, value] : parts) {
        const auto read = facts::value_from_text(b, field, field.name, or_empty(text), fault);
        if (!read)
            return false;
        *value = *read;
    }
    return true;
}

} // namespace

gr_status gr_job_find(const gr_job *job, gr_slot slot, const char *item, size_t size, uint32_t *row,
                      gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(job) || row == nullptr || (item == nullptr && size != 0))
            return bad_pointer(error);
        if (slot.item >= job->book->book->items.size())
            return fail(error, GR_BAD_ARGUMENT, "bad-slot", "this slot is not of this book");
        const std::string name(groundrule::c_api::view(item, size));
        const auto type = static_cast<std::int32_t>(slot.item);
        const facts::Rows &rows = job->facts.rows(type);
        std::vector<std::uint32_t> found;
        for (std::uint32_t r = 0; r < rows.size(); ++r) {
            if (name.empty() || rows.id[r] == name ||
                groundrule::report::path_of(job->facts, type, r) == name)
                found.push_back(r);
        }
        if (found.size() != 1)
            return fail(error, GR_BAD_ARGUMENT, "no-such-item",
                        found.empty() ? "there is no such " + job->book->book->items[slot.item].name
                                      : "there are several; name one by its path or its id");
        *row = found.front();
        return GR_OK;
    });
}

gr_status gr_find_remedies(const gr_job *job, const gr_remedy_options *options, gr_remedies **out,
                           gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(job) || out == nullptr)
            return bad_pointer(error);
        gr_remedy_options given = GR_REMEDY_OPTIONS_INIT;
        if (!take(options, given, offsetof(gr_remedy_options, progress)))
            return bad_size(error);
        answers::RemedyOptions how;
        gr_status status = read(*job, given, how, error);
        if (status != GR_OK)
            return status;
        auto about = groundrule::c_api::asked(*job, given.stage, status, error);
        if (!about)
            return status;
        answers::Remedies found =
            answers::remedies(subject_of(*job->book, about->facts, about->stage), how);
        if (found.ended)
            return cancelled(error);
        *out = handed_over(gr_remedies{
            {}, job->book, std::move(about->facts), std::move(about->stage), std::move(found), {}});
        return GR_OK;
    });
}

void gr_remedies_free(gr_remedies *handle) noexcept {
    let_go(handle);
}

size_t gr_remedies_count(const gr_remedies *handle) noexcept {
    return !live(handle) ? 0 : handle->remedies.remedies.size();
}

int gr_remedies_exhausted(const gr_remedies *handle) noexcept {
    return live(handle) && handle->remedies.exhausted ? 1 : 0;
}

gr_status gr_remedies_apply(const gr_remedies *handle, size_t index, gr_job *job,
                            gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || !live(job))
            return bad_pointer(error);
        if (index >= handle->remedies.remedies.size())
            return fail(error, GR_BAD_ARGUMENT, "no-such-remedy", "there are fewer remedies");
        if (job->book != handle->book)
            return fail(error, GR_BAD_ARGUMENT, "other-book", "the job is of another book");
        for (const std::size_t c : handle->remedies.remedies[index].changes) {
            for (const answers::Setting &s : handle->remedies.offered[c].settings) {
                if (static_cast<std::size_t>(s.at.row) >= job->facts.rows(s.at.item).size())
                    return fail(error, GR_BAD_ARGUMENT, "no-such-row", "the job has other items");
            }
        }
        for (const std::size_t c : handle->remedies.remedies[index].changes) {
            for (const answers::Setting &s : handle->remedies.offered[c].settings)
                job->facts.set(s.at.item, s.at.row, s.at.field, s.value);
        }
        return GR_OK;
    });
}

gr_status gr_remedies_render(gr_remedies *handle, int format, gr_text *out,
                             gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(handle) || out == nullptr)
            return bad_pointer(error);
        if (format != GR_JSON && format != GR_PLAIN)
            return fail(error, GR_BAD_ARGUMENT, "unknown-format", "there is no such format");
        const answers::Subject subject = subject_of(*handle->book, handle->facts, handle->stage);
        handle->rendered = format == GR_JSON ? answers::remedies_json(subject, handle->remedies)
                                             : answers::remedies_text(subject, handle->remedies);
        *out = text_of(handle->rendered);
        return GR_OK;
    });
}

gr_status gr_find_largest(const gr_job *job, gr_place place, const gr_largest_options *options,
                          int format, gr_document **out, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(job) || options == nullptr || out == nullptr)
            return bad_pointer(error);
        gr_largest_options given = GR_LARGEST_OPTIONS_INIT;
        if (!take(options, given, offsetof(gr_largest_options, progress)))
            return bad_size(error);
        if (format != GR_JSON && format != GR_PLAIN)
            return fail(error, GR_BAD_ARGUMENT, "unknown-format", "there is no such format");
        gr_status status = groundrule::c_api::check_place(*job, place.slot, place.row, error);
        if (status != GR_OK)
            return status;
        const book::Book &b = *job->book->book;
        const book::Field &field = b.items[place.slot.item].fields[place.slot.field];
        if (!field.type.is_quantity())
            return fail(error, GR_BAD_ARGUMENT, "no-quantity", field.name + " is no quantity");
        answers::Grid grid;
        facts::FactFault fault;
        if (!read_grid(b, field, given, grid, fault))
            return fail(error, GR_BAD_FACTS, fault.code,
                        fault.message + (fault.help.empty() ? "" : "; " + fault.help));
        if (answers::points_of(grid) == 0)
            return fail(error, GR_BAD_ARGUMENT, "bad-grid",
                        "the grid has no points, or more than " +
                            std::to_string(answers::most_points));
        const auto about = groundrule::c_api::asked(*job, given.stage, status, error);
        if (!about)
            return status;
        answers::Subject subject = subject_of(*job->book, about->facts, about->stage);
        subject.advice = given.advice != 0;
        const auto found = answers::largest(subject, place_of(place.slot, place.row), grid,
                                            asking(given.progress, given.user));
        if (!found)
            return cancelled(error);
        *out = handed_over(gr_document{{},
                                       format == GR_JSON ? answers::largest_json(subject, *found)
                                                         : answers::largest_text(subject, *found)});
        return GR_OK;
    });
}
