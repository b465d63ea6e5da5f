// Stages of work by name.
#pragma once

#include "c_api/handles.h"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>

namespace groundrule::c_api {

// Also empty: all stages.
inline bool is_stage(std::string_view name) {
    static constexpr std::array<std::string_view, 5> stages = {"", "design", "rough_in", "trim_out",
                                                               "acceptance"};
    return std::find(stages.begin(), stages.end(), name) != stages.end();
}

inline std::string no_such_stage(const std::string &name) {
    return "there is no stage \"" + name + "\"; design, rough_in, trim_out or acceptance";
}

// What a check is asked for; else a failure.
inline gr_status read_check(const gr_job &job, const gr_check_options *options,
                            gr_check_options &with, gr_error *error) {
    if (!take(options, with, offsetof(gr_check_options, most_findings)))
        return bad_size(error);
    const std::string stage = with.stage == nullptr ? "" : with.stage;
    if (!is_stage(stage))
        return fail(error, GR_BAD_ARGUMENT, "unknown-stage", no_such_stage(stage));
    if (with.most_findings == 0)
        return GR_OK;
    std::size_t findings = 0;
    for (const book::Rule &rule : job.book->book->rules)
        findings += job.facts.rows(rule.item).size();
    if (findings > with.most_findings)
        return too_large(error, GR_BAD_ARGUMENT, "a check gives findings,", with.most_findings);
    return GR_OK;
}

} // namespace groundrule::c_api
