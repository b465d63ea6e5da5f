// For people: the timeline of a place, and which book applies to a job there.
#include "book/expression_text.h"
#include "quantity/date.h"
#include "report/answer.h"
#include "report/paragraph.h"

namespace groundrule::report {

namespace {

std::string by_name(const book::Adoption &adoption, const book::Period &p) {
    return adoption.book->items.front().fields[static_cast<std::size_t>(p.by)].name;
}

std::string what(const book::Period &p) {
    return p.book.empty() ? "handed over to: " + p.handed_over : p.book;
}

std::string days(const book::Period &p) {
    return "from " + date_text(p.from) +
           (p.until == 0 ? "" : " to " + date_text(p.until - 1)); // the last day itself
}

std::string candidate(const book::Adoption &adoption, const Candidate &c) {
    const std::string &title = adoption.book->rules[c.period->rule].title;
    std::string out = paragraph(what(*c.period), 6, 2);
    out += paragraph("period " + c.period->name + (title.empty() ? "" : ": " + title), 6, 4);
    return out + paragraph("by " + by_name(adoption, *c.period) + (c.on.empty() ? "" : " " + c.on) +
                               ", " + days(*c.period),
                           6, 4);
}

std::string question(const Missing &m) {
    std::string out = paragraph(m.fact + ": " + m.question, 6, 2);
    if (m.choices == nullptr)
        return out;
    std::string choices;
    for (const std::string &c : *m.choices)
        choices += (choices.empty() ? "one of: " : ", ") + c;
    return out + paragraph(choices, 6, 4);
}

std::string no_period(const book::Adoption &adoption) {
    const book::Period &first = adoption.periods.front();
    int after_last = 0;
    bool ends = true;
    for (const book::Period &p : adoption.periods) {
        after_last = std::max(after_last, p.until);
        if (p.until == 0)
            ends = false;
    }
    return paragraph("No period covers this job. The timeline begins on " + date_text(first.from) +
                         (ends ? " and its last day is " + date_text(after_last - 1) + "." : "."),
                     0);
}

const char *heading(Outcome outcome) {
    switch (outcome) {
    case Outcome::one_book:
        return "One book applies:";
    case Outcome::choice:
        return "Several periods are in force, and the applicant chooses one of them:";
    case Outcome::asks:
        return "Not to be told yet. These may apply:";
    case Outcome::handed_over:
        return "No book here covers this work:";
    case Outcome::no_period:
        break;
    }
    return "";
}

} // namespace

std::string to_text(const Answer &answer) {
    const book::Adoption &adoption = *answer.adoption;
    if (answer.outcome == Outcome::no_period)
        return no_period(adoption);
    std::string out = heading(answer.outcome) + std::string("\n");
    for (const Candidate &c : answer.periods)
        out += candidate(adoption, c);
    if (answer.missing.empty())
        return out;
    out += "What decides:\n";
    for (const Missing &m : answer.missing)
        out += question(m);
    return out;
}

std::string timeline_text(const book::Adoption &adoption) {
    const book::Book &book = *adoption.book;
    std::string out = paragraph(book.layers.front().title, 0);
    for (const book::Period &p : adoption.periods) {
        const book::Rule &rule = book.rules[p.rule];
        out += "\n" + paragraph(p.name + (rule.title.empty() ? "" : "  " + rule.title), 6, 0);
        out += paragraph(what(p), 6, 2);
        out += paragraph("by " + by_name(adoption, p) + ", " + days(p), 6, 2);
        const std::size_t dates = p.until == 0 ? 1 : 2; // these conditions stand first
        for (std::size_t i = dates; i < rule.conditions.size(); ++i)
            out += paragraph("where " + book::expression_text(book, rule.conditions[i].node,
                                                              {0, &rule, nullptr}),
                             6, 2);
        for (const std::string &other : p.overlaps)
            out += paragraph("the applicant may choose between this and " + other, 6, 2);
        for (const std::string &note : rule.notes)
            out += paragraph(note, 6, 2);
    }
    return out;
}

} // namespace groundrule::report
