// Which book applies to a job at a place: the periods that are in force for it, or what has to be
// found out first.
#pragma once

#include "book/adoption.h"
#include "report/finding.h"

#include <optional>
#include <string>
#include <vector>

namespace groundrule::report {

enum class Outcome : std::uint8_t {
    one_book,
    choice,      // a declared overlap: the applicant chooses among the periods
    asks,        // what is missing decides
    handed_over, // to another code; no book here covers the work
    no_period    // before the timeline begins, or behind its end
};

struct Candidate {
    const book::Period *period = nullptr;
    bool in_force = false; // else it may be, once the missing facts are known
    std::string on;        // the date that decides; empty if nobody tells it
};

struct Answer {
    const book::Adoption *adoption = nullptr;
    Outcome outcome = Outcome::no_period;
    std::vector<Candidate> periods;
    std::vector<Missing> missing;
};

// The deciding dates that the job does not tell become `on`. A fault if the job tells them all, and
// none of them is that day.
void put_date(const book::Adoption &adoption, int on, facts::Job &job, Diagnostics &diagnostics);

// `choose` names one of several periods in force; a fault if it is none of them.
Answer answer(const book::Adoption &adoption, const program::Program &program,
              const facts::Job &job, const std::string &choose, Diagnostics &diagnostics);

const char *outcome_name(Outcome outcome);

std::string to_json(const Answer &answer);
std::string to_text(const Answer &answer);
std::string timeline_json(const book::Adoption &adoption);
std::string timeline_text(const book::Adoption &adoption);

} // namespace groundrule::report
