// Diagnostics as a gr_error.
#include "c_api/guard.h"

#include <charconv>

namespace groundrule::c_api {

namespace {

// "name:line:column", with more behind it perhaps, as the readers of jobs write their places.
void place_from_words(gr_error &error, std::string_view where) {
    const std::string_view head = where.substr(0, where.find(" ("));
    const std::size_t last = head.rfind(':');
    const std::size_t first = head.substr(0, last).rfind(':');
    if (first == std::string_view::npos) {
        copy_cut(error.file, sizeof error.file, where);
        return;
    }
    std::from_chars(head.data() + first + 1, head.data() + last, error.line);
    std::from_chars(head.data() + last + 1, head.data() + head.size(), error.column);
    copy_cut(error.file, sizeof error.file, head.substr(0, first));
}

} // namespace

gr_status fail_with(gr_error *error, gr_status status, const Diagnostics &diagnostics,
                    const Sources &sources) {
    gr_error for_the_log;
    if (error == nullptr && somebody_listens())
        error = &for_the_log;
    if (error == nullptr)
        return status;
    fill(error, status, "", "");
    if (diagnostics.size() == 0)
        return status;
    const Diagnostic &first = diagnostics.list().front();
    copy_cut(error->code, sizeof error->code, first.code);
    if (first.span.file < sources.size()) {
        const Place place = sources[first.span.file].place(first.span.begin);
        error->line = place.line;
        error->column = place.column;
        copy_cut(error->file, sizeof error->file, sources[first.span.file].name());
    } else {
        place_from_words(*error, first.where);
    }
    copy_cut(error->message, sizeof error->message, render(diagnostics, sources));
    tell(GR_LOG_FAILED, error->code, error->message);
    return status;
}

} // namespace groundrule::c_api
