// A job document against a shipped book: read, checked and rendered.
//
// Cut: jobs of more than 32 items, because a check takes time for each of them and shows nothing
// new; documents with faults end where a host would have to end, after the faults were told. One
// input in eleven is rendered in one of the three forms, chosen by its bytes: to write and reread
// 400 findings takes twenty times as long as to reach them, and meets the same few sentences. One
// in sixteen is read as assumptions too, where nearly every key of a job is misspelt.
#include "expect.h"

#include "book/open.h"
#include "evaluate/scalar.h"
#include "facts/json_reader.h"
#include "program/compile.h"
#include "report/render.h"

#include <cstdint>
#include <nlohmann/json.hpp>
#include <numeric>

namespace groundrule::fuzz {

namespace {

struct Shipped {
    book::Opened opened = book::open_book("nec-2020");
    program::Program program;
    Shipped() {
        expect(opened.book != nullptr, "the shipped edition opens");
        Diagnostics faults;
        program = program::compile(*opened.book, faults);
        expect(!faults.has_errors(), "the shipped edition has a program");
    }
};

void expect_checks_soundly(const Shipped &shipped, const facts::Job &job, unsigned form) {
    static evaluate::Workspace
        workspace; // reused as a host would: old cells must not shine through
    evaluate::run(shipped.program, job, workspace);
    const book::Book &book = *shipped.opened.book;
    if (!workspace.contradictions.empty()) {
        expect_sound(report::contradictions(book, shipped.program, job, workspace), book.sources);
        return;
    }
    const report::Report report = report::findings(book, shipped.program, job, workspace, "");
    for (const report::Finding &f : report.findings)
        expect(!f.item.empty() && !f.citation.empty(), "a finding names its item and its clause");
    const int status = report::exit_status(report, false);
    expect(status == 0 || status == 1 || status == 3, "the exit status is one of three");
    if (form == 0)
        expect(nlohmann::json::accept(report::to_json(report)), "a report is JSON");
    if (form == 1)
        expect(nlohmann::json::accept(report::to_sarif(report)), "a report is SARIF");
    if (form == 2)
        expect(first_bad_utf8(report::to_text(report, {true, true})) == std::string::npos,
               "a report is UTF-8");
}

} // namespace

} // namespace groundrule::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t *data, std::size_t size) {
    using namespace groundrule;
    static const fuzz::Shipped shipped;
    const std::string_view json(reinterpret_cast<const char *>(data), size);
    Diagnostics faults;
    auto job = facts::job_from_json(*shipped.opened.book, json, "job.json", faults);
    fuzz::expect(job.has_value() != faults.has_errors(), "there is a job or a fault");
    fuzz::expect_sound(faults, {});

    const unsigned sum = std::accumulate(data, data + size, 0U);
    if (sum % 16 == 0) {
        Diagnostics assumption_faults;
        const auto assumptions =
            facts::assumptions_from_json(*shipped.opened.book, json, "job.json", assumption_faults);
        fuzz::expect_sound(assumption_faults, {});
        if (job && !assumption_faults.has_errors())
            facts::apply_assumptions(*job, assumptions);
    }
    if (job && job->row_count() <= 32)
        fuzz::expect_checks_soundly(shipped, *job, sum % 33);
    return 0;
}
