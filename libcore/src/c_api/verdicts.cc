// gr_check_verdicts.
#include "c_api/guard.h"
#include "c_api/handles.h"
#include "c_api/stages.h"

#include <algorithm>

using groundrule::c_api::bad_pointer;
using groundrule::c_api::guard;
using groundrule::c_api::live;
namespace book = groundrule::book;
namespace evaluate = groundrule::evaluate;
namespace facts = groundrule::facts;

namespace {

void leave_out_other_stages(const book::Book &b, const char *stage, const evaluate::Verdicts &from,
                            unsigned char *verdicts) {
    for (std::size_t rule = 0; rule < b.rules.size(); ++rule) {
        const std::vector<std::string> &at = b.rules[rule].stages;
        if (std::find(at.begin(), at.end(), stage) == at.end())
            std::fill(verdicts + from.first(rule), verdicts + from.first(rule + 1),
                      static_cast<unsigned char>(GR_NOT_AT_THIS_STAGE));
    }
}

} // namespace

gr_status gr_check_verdicts(gr_job *job, const gr_check_options *options, unsigned char *verdicts,
                            size_t capacity, size_t *count, gr_error *error) noexcept {
    return guard(error, [&] {
        if (!live(job) || count == nullptr || (verdicts == nullptr && capacity != 0))
            return bad_pointer(error);
        gr_check_options with = GR_CHECK_OPTIONS_INIT;
        const gr_status right = groundrule::c_api::read_check(*job, options, with, error);
        if (right != GR_OK)
            return right;
        const char *stage = with.stage == nullptr ? "" : with.stage;
        const groundrule::c_api::OpenBook &open = *job->book;
        if (!job->facts.few_changes())
            facts::apply_assumptions(job->facts, job->assumptions);
        if (job->verdicts.update(open.program, *open.dense, job->facts) ==
            evaluate::Verdicts::Outcome::contradicted) {
            gr_report *none = nullptr;
            return gr_check(job, options, &none, error); // tells which facts
        }
        const auto all = job->verdicts.all();
        if (all.size() <= capacity) {
            std::transform(all.begin(), all.end(), verdicts,
                           [](groundrule::Verdict v) { return static_cast<unsigned char>(v); });
            if (*stage != '\0')
                leave_out_other_stages(*open.book, stage, job->verdicts, verdicts);
        }
        *count = all.size();
        return GR_OK;
    });
}
