// A jurisdiction's timeline: which book applies in which period, to which work. An adoption is
// opened like a book whose rules are its periods: a period is in force for a job where its rule
// applies. Each period lasts from its first day up to the day before its last bound, by one date of
// the job.
#pragma once

#include "book/open.h"

namespace groundrule::book {

struct Period {
    std::size_t rule = 0; // in the book of the adoption
    std::string name;
    std::string book;        // to open; empty if the work is handed over
    std::string handed_over; // to which other code
    std::int32_t by = 0;     // the field of the job that tells the deciding date
    int from = 0;            // day number
    int until = 0;           // the first day behind it; 0: open
    std::vector<std::string> overlaps;
    Span span;
};

struct Adoption {
    std::unique_ptr<const Book> book; // null if there are errors
    std::vector<Period> periods;      // by first day
    Diagnostics diagnostics;
    Sources sources; // if there is no book
};

// Faults are those of the text, books that are not known here, and holes: work that no period
// covers though the timeline goes on, and work that two of them cover without saying so.
Adoption open_adoption(const std::string &place, const std::vector<NamedText> &more = {});

// Checks that at each time exactly one period covers each kind of work, unless two declare that
// they overlap. Exact: every combination of the facts that the periods ask for is tried, each value
// in one representative of its kind.
void check_coverage(const Book &book, const std::vector<Period> &periods, Diagnostics &diagnostics);

} // namespace groundrule::book
