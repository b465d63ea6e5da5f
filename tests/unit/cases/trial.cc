#include "cases/trial.h"

#include "book/adoption.h"
#include "evaluate/review.h"
#include "evaluate/scalar.h"
#include "facts/json_reader.h"
#include "program/compile.h"
#include "report/finding.h"

#include <algorithm>
#include <fstream>
#include <iterator>
#include <sstream>

namespace groundrule::cases {

namespace {

namespace fs = std::filesystem;

struct Plan {
    std::string book = "trial";
    bool with_edition = true;
    bool adoption = false; // the book is a place
};

Plan plan_for(const std::string &text) {
    Plan plan;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with("# book: ")) {
            plan.book = line.substr(8);
            return plan;
        }
        if (line.starts_with("#") || line.empty())
            continue;
        std::istringstream words(line);
        std::string kind;
        std::string name;
        words >> kind >> name;
        if (kind == "edition") {
            plan.book = name;
            plan.with_edition = name != "trial";
        } else if (kind == "amendment") {
            plan.book = "trial+" + name;
        } else if (kind == "adoption") {
            plan.book = name;
            plan.adoption = true;
        }
        break;
    }
    return plan;
}

book::NamedText base_file(const std::string &name) {
    return {"base/" + name, read_file(source_dir() / "tests/cases/wrong/base" / name)};
}

Outcome outcome_of(const Diagnostics &diagnostics, const Sources &sources) {
    Outcome out;
    out.text = render(diagnostics, sources);
    for (const Diagnostic &d : diagnostics.list()) {
        if (std::find(out.codes.begin(), out.codes.end(), d.code) == out.codes.end())
            out.codes.push_back(d.code);
    }
    return out;
}

// Warnings are looked for if the text says which: `# warnings: never, unused`. Small examples have
// much that nothing uses.
bool is_asked(const std::string &code, const std::string &text) {
    const std::size_t line = text.find("# warnings: ");
    return line != std::string::npos &&
           text.substr(line, text.find('\n', line) - line).find(code) != std::string::npos;
}

const book::Book &trial_book() {
    static const book::Opened opened =
        book::open_book("trial", {base_file("facts.rules"), base_file("edition.rules")});
    return *opened.book;
}

} // namespace

fs::path source_dir() {
    return GROUNDRULE_SOURCE_DIR;
}

std::string read_file(const fs::path &path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

Outcome faults_in(const std::string &name, const std::string &text) {
    const Plan plan = plan_for(text);
    std::vector<book::NamedText> files = {base_file("facts.rules"), base_file("county.rules"),
                                          base_file("interim.rules")};
    if (plan.with_edition)
        files.push_back(base_file("edition.rules"));
    files.push_back({name, text});
    if (plan.adoption) {
        const book::Adoption opened = book::open_adoption(plan.book, files);
        return outcome_of(opened.diagnostics, opened.book ? opened.book->sources : opened.sources);
    }
    book::Opened opened = book::open_book(plan.book, files);
    if (opened.book == nullptr)
        return outcome_of(opened.diagnostics, opened.sources);
    Diagnostics all;
    evaluate::review(*opened.book, all);
    Diagnostics told;
    for (const Diagnostic &d : all.list()) {
        const bool own = d.span.file + 1 == opened.book->sources.size();
        if (d.severity == Severity::error || (own && is_asked(d.code, text)))
            told.add(d);
    }
    told.sort();
    return outcome_of(told, opened.book->sources);
}

Outcome faults_in_job(const std::string &json) {
    Diagnostics diagnostics;
    const book::Book &book = trial_book();
    const auto job = facts::job_from_json(book, json, "job.json", diagnostics);
    if (!job)
        return outcome_of(diagnostics, {});
    const program::Program program = program::compile(book, diagnostics);
    evaluate::Workspace workspace;
    evaluate::run(program, *job, workspace);
    return outcome_of(report::contradictions(book, program, *job, workspace), {});
}

} // namespace groundrule::cases
