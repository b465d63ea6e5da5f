#include "report/answer.h"

#include "evaluate/scalar.h"
#include "quantity/date.h"
#include "text/nearest.h"

#include <algorithm>

namespace groundrule::report {

namespace {

bool declares(const book::Period &a, const book::Period &b) {
    return std::find(a.overlaps.begin(), a.overlaps.end(), b.name) != a.overlaps.end();
}

bool may_overlap(const book::Period &a, const book::Period &b) {
    return declares(a, b) || declares(b, a);
}

const Cell &date_of(const book::Period &period, const facts::Job &job) {
    return job.rows(0).given.at(static_cast<std::size_t>(period.by), 0);
}

// Periods ask for facts of the job itself alone.
void add_missing(const std::vector<Missing> &more, std::vector<Missing> &out) {
    for (const Missing &m : more) {
        if (std::none_of(out.begin(), out.end(),
                         [&](const Missing &o) { return o.fact == m.fact; }))
            out.push_back(m);
    }
}

// Only one period covers each job unless some overlap, so what is known to be in force leaves open
// only what may overlap with it.
void drop_what_is_excluded(std::vector<Candidate> &periods) {
    std::vector<const book::Period *> in_force;
    for (const Candidate &c : periods) {
        if (c.in_force)
            in_force.push_back(c.period);
    }
    std::erase_if(periods, [&](const Candidate &c) {
        return !c.in_force && std::any_of(in_force.begin(), in_force.end(), [&](const auto *p) {
            return !may_overlap(*p, *c.period);
        });
    });
}

void choose_one(Answer &out, const std::string &choose, Diagnostics &diagnostics) {
    std::vector<std::string> names;
    for (const Candidate &c : out.periods) {
        if (c.in_force)
            names.push_back(c.period->name);
    }
    if (std::find(names.begin(), names.end(), choose) != names.end()) {
        std::erase_if(out.periods, [&](const Candidate &c) { return c.period->name != choose; });
        return;
    }
    Diagnostic d;
    d.code = "not-to-choose";
    d.message = "\"" + choose + "\" is no period that is in force for this job";
    const std::string near = nearest(choose, names);
    for (const std::string &n : names)
        d.help += (d.help.empty() ? "in force: " : ", ") + n;
    if (!near.empty())
        d.help = "did you mean \"" + near + "\"?";
    diagnostics.add(std::move(d));
}

Outcome outcome_of(const std::vector<Candidate> &periods) {
    if (periods.empty())
        return Outcome::no_period;
    if (std::any_of(periods.begin(), periods.end(), [](const Candidate &c) { return !c.in_force; }))
        return Outcome::asks;
    if (periods.size() > 1)
        return Outcome::choice;
    return periods.front().period->book.empty() ? Outcome::handed_over : Outcome::one_book;
}

} // namespace

void put_date(const book::Adoption &adoption, int on, facts::Job &job, Diagnostics &diagnostics) {
    bool used = false;
    std::string told;
    for (const book::Period &p : adoption.periods) {
        const Cell &cell = date_of(p, job);
        if (!cell.known()) {
            job.set(0, 0, p.by, exactly(on));
            used = true;
            continue;
        }
        used = used || cell.value == on;
        const std::string name =
            adoption.book->items.front().fields[static_cast<std::size_t>(p.by)].name + " " +
            date_text(static_cast<int>(cell.value));
        if (told.find(name) == std::string::npos)
            told += (told.empty() ? "" : ", ") + name;
    }
    if (used)
        return;
    Diagnostic d;
    d.code = "other-date";
    d.message = "the job tells " + told + ", and the day asked for is " + date_text(on);
    d.help = "leave one of the two out";
    diagnostics.add(std::move(d));
}

Answer answer(const book::Adoption &adoption, const program::Program &program,
              const facts::Job &job, const std::string &choose, Diagnostics &diagnostics) {
    Answer out;
    out.adoption = &adoption;
    evaluate::Workspace workspace;
    evaluate::run(program, job, workspace);
    if (!workspace.contradictions.empty()) {
        diagnostics = contradictions(*adoption.book, program, job, workspace);
        return out;
    }
    const Report report = findings(*adoption.book, program, job, workspace, {});
    for (const book::Period &p : adoption.periods) {
        const auto finding = std::find_if(report.findings.begin(), report.findings.end(),
                                          [&](const Finding &f) { return f.rule == p.rule; });
        if (finding->verdict == Verdict::not_applicable)
            continue;
        const Cell &date = date_of(p, job);
        out.periods.push_back({&p, finding->verdict == Verdict::violates,
                               !date.known() ? "" : date_text(static_cast<int>(date.value))});
    }
    drop_what_is_excluded(out.periods);
    if (!choose.empty())
        choose_one(out, choose, diagnostics);
    out.outcome = outcome_of(out.periods);
    for (const Candidate &c : out.periods) {
        for (const Finding &f : report.findings) {
            if (f.rule == c.period->rule && !c.in_force)
                add_missing(f.missing, out.missing);
        }
    }
    return out;
}

const char *outcome_name(Outcome outcome) {
    static constexpr const char *names[] = {"one_book", "choice", "asks", "handed_over",
                                            "no_period"};
    return names[static_cast<std::size_t>(outcome)];
}

} // namespace groundrule::report
