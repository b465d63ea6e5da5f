// Timelines of a place: what is wrong in one is told at its place, with a job as the example.

#include "trial.h"

#include "book/adoption.h"

#include "catch.h"

namespace {

using namespace groundrule;

book::Adoption opened(const std::string &periods, std::vector<book::NamedText> more = {}) {
    more.push_back({"place.rules", "adoption place\n  title \"A place (invented)\"\n\n" + periods});
    return book::open_adoption("place", more);
}

// "code line: message (help)", one a line.
std::string told(const book::Adoption &adoption) {
    std::string out;
    const Sources &sources = adoption.book ? adoption.book->sources : adoption.sources;
    for (const Diagnostic &d : adoption.diagnostics.list()) {
        const bool placed = d.span.file < sources.size();
        out += (out.empty() ? "" : "\n") + d.code +
               (placed ? " " + std::to_string(sources[d.span.file].place(d.span.begin).line - 3)
                       : "") +
               ": " + d.message + (d.help.empty() ? "" : " (" + d.help + ")");
        if (d.other.file < sources.size())
            out += "\n  " + d.other_is + ": " +
                   std::to_string(sources[d.other.file].place(d.other.begin).line - 3);
    }
    return out;
}

std::string told(const std::string &periods) {
    return told(opened(periods));
}

std::string period(const std::string &name, const std::string &from, const std::string &until,
                   const std::string &rest = "", const std::string &by = "permit_date",
                   const std::string &book = "book \"nec-2020\"") {
    return "period " + name + "\n  " + book + "\n  from " + from +
           (until.empty() ? "" : "\n  until " + until) + "\n  by " + by + "\n" +
           (rest.empty() ? "" : "  " + rest + "\n");
}

const std::string dwelling = "where occupancy is one_family_dwelling";
const std::string no_dwelling = "where occupancy is not one_family_dwelling";

} // namespace

TEST_CASE("a timeline without a gap opens, its periods by their first days") {
    const book::Adoption place =
        opened(period("later", "2021-01-01", "") + period("first", "2018-01-01", "2021-01-01"));
    CHECK(told(place).empty());
    REQUIRE(place.periods.size() == 2);
    CHECK(place.periods[0].name == "first");
    CHECK(place.periods[1].name == "later");
    CHECK(place.periods[1].until == 0);
}

TEST_CASE("periods that ask for facts of every kind cover all work between them") {
    const std::string half = "2018-01-01";
    const auto both = [&](const std::string &where, const std::string &otherwise) {
        return told(period("a", half, "", "where " + where) +
                    period("b", half, "", "where " + otherwise));
    };
    CHECK(both("qualified_persons", "not qualified_persons").empty());
    CHECK(both("storeys = 3", "not storeys = 3").empty());
    CHECK(both("storeys at most 3", "storeys more than 3").empty());
    CHECK(both("storeys at least 3", "storeys less than 3").empty());
    CHECK(both("floor_area at most 100 ft²", "floor_area more than 100 ft²").empty());
    CHECK(both("storeys at most 3 and qualified_persons",
               "not (storeys at most 3 and qualified_persons)")
              .empty());
    CHECK(both("occupancy is guest_room or qualified_persons",
               "not (occupancy is guest_room or qualified_persons)")
              .empty());
    CHECK(told(period("always", half, "", "where yes")).empty());
    CHECK(both("storeys at most 3", "storeys at least 3") ==
          "periods-overlap 6: `a` and `b` both cover a job with permit_date = 2018-01-01, "
          "storeys = 3 (where an applicant may choose, say so: `overlaps a`)\n"
          "  the other period: 1");
    CHECK(both("storeys less than 3", "storeys more than 3").starts_with("no-period-covers"));
}

TEST_CASE("what a period may not ask for is told") {
    const auto asks = [](const std::string &condition) {
        return told(period("a", "2018-01-01", "", "where " + condition));
    };
    const std::string refused =
        "not-for-a-period 5: a period asks for facts of the job itself, each compared with a "
        "fixed value, joined by and, or, not";
    CHECK(asks("storeys * 2 at most 3") == refused);
    CHECK(asks("3 at least storeys") == refused);
    CHECK(asks("storeys at most dwelling_units") == refused);
    CHECK(asks("any(p in panels : p.backfed)") == refused);
    CHECK(asks("(if qualified_persons then occupancy otherwise occupancy) is guest_room") ==
          refused);
}

TEST_CASE("more combinations of facts than a place should need are refused") {
    std::string where = "where storeys at most 1";
    for (const char *fact : {"storeys", "dwelling_units", "share_rewired"}) {
        for (int i = 2; i < 90; i += 3)
            where += std::string(" or ") + fact + " at most " + std::to_string(i);
    }
    where += " or qualified_persons";
    CHECK(told(period("a", "2018-01-01", "", where))
              .starts_with("too-large 1: the periods ask for more than 262144 combinations"));
}

TEST_CASE("holes are told between their neighbours in time") {
    const std::string help = " (give the work a book, or say to which code it is handed over)";
    const auto hole = [&](const std::string &periods) {
        std::string text = told(periods);
        const std::size_t at = text.find(help);
        return at == std::string::npos ? text : text.erase(at, help.size());
    };
    CHECK(hole(period("a", "2018-01-01", "2020-01-01") + period("b", "2021-01-01", "")) ==
          "no-period-covers 1: no period covers a job with permit_date = 2020-01-01\n"
          "  the next period: 6");
    CHECK(hole(period("a", "2018-01-01", "2019-01-01") + period("b", "2019-01-01", "2020-01-01") +
               period("c", "2021-01-01", "")) ==
          "no-period-covers 6: no period covers a job with permit_date = 2020-01-01\n"
          "  the next period: 11");
    CHECK(hole(period("a", "2018-01-01", "2019-01-01", dwelling) + period("b", "2019-01-01", "")) ==
          "no-period-covers 1: no period covers a job with occupancy = two_family_dwelling, "
          "permit_date = 2018-01-01\n"
          "  the next period: 7");
    // The last one to end, though it began first; and the next of two to come.
    CHECK(hole(period("a", "2018-01-01", "2022-01-01", "overlaps b") +
               period("b", "2019-01-01", "2020-01-01") + period("c", "2023-01-01", "2024-01-01") +
               period("d", "2024-01-01", "")) ==
          "no-period-covers 1: no period covers a job with permit_date = 2022-01-01\n"
          "  the next period: 12");
    CHECK(hole(period("a", "2018-01-01", "2020-01-01") + period("b", "2020-01-01", "", dwelling)) ==
          "no-period-covers 6: no period covers a job with occupancy = two_family_dwelling, "
          "permit_date = 2020-01-01\n"
          "  the period before: 1");
    CHECK(hole(period("a", "2018-01-01", "", dwelling)) ==
          "no-period-covers 1: no period covers a job with occupancy = two_family_dwelling, "
          "permit_date = 2018-01-01");
    // Of two holes between the same neighbours the first is told.
    CHECK(hole(period("a", "2018-01-01", "2019-01-01", dwelling) +
               period("b", "2018-01-01", "2019-01-01", no_dwelling) +
               period("c", "2020-01-01", "2021-01-01"))
              .find("\nno-period-covers") == std::string::npos);
}

TEST_CASE("a job applies before its permit is issued: no hole is looked for where time runs back") {
    CHECK(told(period("a", "2018-01-01", "", "where application_date less than 2020-01-01") +
               period("b", "2020-01-01", "", "where application_date at least 2020-01-01"))
              .empty());
    CHECK(told(period("a", "2018-01-01", "2020-01-01", "", "application_date") +
               period("b", "2020-01-01", "", "where application_date at least 2020-01-01",
                      "installation_date"))
              .empty());
}

TEST_CASE("what a period names must be there") {
    CHECK(told(period("a", "2018-01-01", "2017-01-01"))
              .starts_with("ends-first 1: `a` begins on 2018-01-01, and the first day behind it is "
                           "2017-01-01"));
    const auto named = [](const std::string &book) {
        return told(period("a", "2018-01-01", "", "", "permit_date", "book \"" + book + "\""));
    };
    CHECK(named("nec-2022") == "unknown-book 2: there is no edition or amendment \"nec-2022\" here "
                               "(did you mean \"nec-2020\"?)");
    CHECK(named("nec-2020+own") ==
          "unknown-book 2: there is no edition or amendment \"own\" here (give the file that "
          "holds it, too)");
    CHECK(named("nec-2017+interim-all").starts_with("unknown-book 2"));
    CHECK(named("nec-2017+tia-17-2").empty());
    CHECK(told(period("aa", "2018-01-01", "2020-01-01", "overlaps ab") +
               period("bb", "2020-01-01", "", "overlaps something-else"))
              .find("unknown-name 6: `ab` is no other period of this place (did you mean `bb`?)\n"
                    "unknown-name 11: `something-else` is no other period of this place") == 0);
    CHECK(told(period("a", "2018-01-01", "2020-01-01", "overlaps b") +
               period("b", "2020-01-01", "")) ==
          "never-overlap 1: `a` never overlaps `b`\n  the other period: 7");
    CHECK(told("").starts_with("no-period"));
}

TEST_CASE("files of other places, of editions, and without a word stand beside a timeline") {
    const std::vector<book::NamedText> more = {
        {"empty.rules", "# nothing yet\n"},
        {"own.rules", "amendment own to nec-2020\n  title \"Own\"\n\ndelete rule 334.30\n"},
        {"other.rules",
         "adoption other\n  title \"Other\"\n\n" + period("elsewhere", "2018-01-01", "2017-01-01")},
        {"edition.rules", "edition own-1\n  title \"Own\"\n\n" + period("e", "2018-01-01", "")}};
    const book::Adoption place =
        opened(period("a", "2018-01-01", "", "", "permit_date", "book \"nec-2020+own\""), more);
    CHECK(told(place).empty());
    CHECK(place.periods.size() == 1);
}

TEST_CASE("a place that is not known, or is none, is told with those that are") {
    const auto name = [](const std::string &place, const std::vector<book::NamedText> &more) {
        return told(book::open_adoption(place, more));
    };
    CHECK(name("nowhere", {})
              .starts_with("unknown-place: there is no adoption of a place "
                           "\"nowhere\" (known: "));
    CHECK(name("nec-2020", {})
              .starts_with("unknown-place: \"nec-2020\" is a book, not a place "
                           "that adopts one (known: "));
    CHECK(name("nowhere", {{"x.rules", "adoption x\n  title \"X\"\n\nperiod a\n  from\n"}})
              .starts_with("syntax"));
    CHECK(name("x", {{"x.rules", "adoption x\n  title \"X\"\n\nperiod a\n  from\n"}})
              .starts_with("syntax"));
}
