// A host in C++ that was built against the installed library. It also holds the wrapper to what it
// promises: errors as values, and owners that may go in any order.
#include <groundrule/groundrule.hpp>

#include <cstdio>
#include <string>
#include <string_view>
#include <vector>

namespace {

constexpr std::string_view facts =
    R"({"work": "new", "panels": [{"circuits": [{"breaker": "50 A"}]}]})";

int failed(const groundrule::Error &error) {
    std::fprintf(stderr, "%s\n", error.message.c_str());
    return 1;
}

// The report outlives the job and the book that it came from.
groundrule::Result<groundrule::Report> check() {
    const auto book = groundrule::Book::open("nec-2020");
    if (!book)
        return book.error();
    auto job = groundrule::Job::from_json(*book, facts);
    if (!job)
        return job.error();
    const auto breaker = book->slot("circuit.breaker");
    if (!breaker)
        return breaker.error();
    if (const auto set = job->set_text(*breaker, 0, "40 A"); !set)
        return set.error();
    const double amperes[] = {40};
    if (const auto set = job->set_numbers(0, {&*breaker, 1}, amperes); !set)
        return set.error();
    // Verdicts alone are those of the report, one for each rule and item.
    std::vector<unsigned char> verdicts;
    if (const auto told = job->verdicts(verdicts); !told)
        return told.error();
    auto report = job->check();
    if (report && verdicts.size() < report->size())
        return groundrule::Error{GR_INTERNAL, 0, 0, "count", "", "verdicts are missing"};
    return report;
}

} // namespace

int main() {
    const auto nothing = groundrule::Book::open("nec-1881");
    if (nothing || nothing.error().status != GR_BAD_RULES || nothing.error().message.empty())
        return 2;

    auto report = check();
    if (!report)
        return failed(report.error());
    for (std::size_t i = 0; i < report->size(); ++i) {
        const auto finding = report->finding(i);
        if (!finding)
            return failed(finding.error());
        if (finding->citation.empty() || groundrule::name_of(finding->verdict).empty())
            return 3;
    }
    if (report->finding(report->size()))
        return 4;
    const auto text = report->render(GR_PLAIN);
    if (!text)
        return failed(text.error());
    std::printf("%.*s", static_cast<int>(text->size()), text->data());
    return 0;
}
