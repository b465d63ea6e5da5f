// Which book applies: the shipped places on every boundary day, and what is asked for.

#include "trial.h"

#include "quantity/date.h"
#include "report/answer.h"
#include "report/in_one_line.h"

#include "catch.h"

namespace {

using namespace groundrule;
using report::Outcome;

struct Town {
    book::Adoption adoption;
    program::Program program;
};

Town opened(const std::string &town, const std::vector<book::NamedText> &more = {}) {
    Town out;
    out.adoption = book::open_adoption(town, more);
    INFO(render(out.adoption.diagnostics, out.adoption.sources));
    REQUIRE(out.adoption.book);
    Diagnostics diagnostics;
    out.program = program::compile(*out.adoption.book, diagnostics);
    REQUIRE_FALSE(diagnostics.has_errors());
    return out;
}

report::Answer asked(const Town &town, const std::string &json, const std::string &on = {},
                     const std::string &choose = {}) {
    Diagnostics diagnostics;
    facts::Job job = trial::job_of(*town.adoption.book, json);
    job.inherit_work();
    if (!on.empty())
        report::put_date(town.adoption, *date_from_text(on), job, diagnostics);
    const report::Answer answer =
        report::answer(town.adoption, town.program, job, choose, diagnostics);
    INFO(render(diagnostics, {}));
    REQUIRE_FALSE(diagnostics.has_errors());
    return answer;
}

// "one_book nec-2020", "choice edition-2020 ordinance-25-3", "asks …: job.occupancy"
std::string told(const report::Answer &answer) {
    std::string out = report::outcome_name(answer.outcome);
    for (const report::Candidate &c : answer.periods)
        out += " " + (answer.outcome == Outcome::one_book ? c.period->book : c.period->name);
    for (std::size_t i = 0; i < answer.missing.size(); ++i)
        out += (i == 0 ? ": " : " ") + answer.missing[i].fact;
    return out;
}

std::string on(const Town &town, const std::string &day, const std::string &json = "{}") {
    return told(asked(town, json, day));
}

std::string faults(const std::string &periods) {
    const book::Adoption adoption =
        book::open_adoption("poolside", {{"poolside.rules", "adoption poolside\n" + periods}});
    return render(adoption.diagnostics, adoption.book ? adoption.book->sources : adoption.sources);
}

} // namespace

TEST_CASE("every shipped place opens, and so does every book of its periods on its first and last "
          "day") {
    CHECK(book::shipped_adoptions().size() == 4);
    for (const std::string &name : book::shipped_adoptions()) {
        const Town town = opened(name);
        for (const book::Period &p : town.adoption.periods) {
            if (p.book.empty())
                continue;
            INFO(name << " " << p.name);
            CHECK(book::open_book(p.book, {}, p.from).book);
            CHECK(book::open_book(p.book, {}, p.until == 0 ? p.from + 1 : p.until - 1).book);
        }
    }
}

TEST_CASE("a place that skipped an edition: each boundary day") {
    const Town town = opened("fernmoor-township");
    CHECK(on(town, "2018-06-30") == "no_period");
    CHECK(on(town, "2018-07-01") == "one_book nec-2017");
    CHECK(on(town, "2024-04-18") == "one_book nec-2017");
    CHECK(on(town, "2024-04-19") == "one_book nec-2023");
    CHECK(on(town, "2050-01-01") == "one_book nec-2023");
    CHECK(told(asked(town, "{}")) == "asks edition-2017 edition-2023: job.permit_date");
}

TEST_CASE("an overlap of choice: both books, the question, and the choice") {
    const Town town = opened("harbor-city");
    CHECK(on(town, "2017-12-31") == "no_period");
    CHECK(on(town, "2018-01-01") == "one_book nec-2017");
    CHECK(on(town, "2024-12-31") == "one_book nec-2017");
    CHECK(on(town, "2025-01-01") == "one_book nec-2020");
    CHECK(on(town, "2025-06-30") == "one_book nec-2020");
    CHECK(on(town, "2025-07-01") == "choice edition-2020 ordinance-25-3");
    CHECK(on(town, "2025-09-30") == "choice edition-2020 ordinance-25-3");
    CHECK(on(town, "2025-10-01") == "one_book nec-2020+harbor-city-2025");
    CHECK(told(asked(town, "{}", "2025-08-01", "edition-2020")) == "one_book nec-2020");
    CHECK(told(asked(town, "{}", "2025-08-01", "ordinance-25-3")) ==
          "one_book nec-2020+harbor-city-2025");
}

TEST_CASE("dwellings handed over to another code: the occupancy is asked for, never guessed") {
    const Town town = opened("aldermark-county");
    const std::string house = R"({"occupancy":"one_family_dwelling"})";
    const std::string pair = R"({"occupancy":"two_family_dwelling"})";
    const std::string shop = R"({"occupancy":"other_than_dwelling","kind_of_work":"addition"})";
    CHECK(on(town, "2019-12-31", house) == "no_period");
    CHECK(on(town, "2020-01-01", house) == "handed_over dwellings");
    CHECK(on(town, "2024-01-01", pair) == "handed_over dwellings");
    CHECK(on(town, "2020-01-01", shop) == "one_book nec-2020");
    CHECK(on(town, "2023-12-31", shop) == "one_book nec-2020");
    CHECK(on(town, "2024-01-01", shop) == "one_book nec-2023");
    CHECK(on(town, "2023-12-31") == "asks dwellings other-2020: job.occupancy");
    const std::string work_unknown = R"({"occupancy":"guest_room"})";
    CHECK(on(town, "2023-12-31", work_unknown) == "one_book nec-2020");
    CHECK(on(town, "2024-01-01", work_unknown) == "asks other-2023 repairs-2020: job.kind_of_work");
    CHECK(on(town, "2024-01-01", R"({"occupancy":"guest_room","kind_of_work":"repair"})") ==
          "one_book nec-2020");
    const report::Answer asks = asked(town, "{}", "2023-12-31");
    REQUIRE(asks.missing.size() == 1);
    CHECK(asks.missing[0].question == "What is the building used as?");
    REQUIRE(asks.missing[0].choices != nullptr);
    CHECK(asks.missing[0].choices->size() == 5);
}

TEST_CASE("interim amendments as of a date, and books by the extent of the work") {
    const Town town = opened("quarrywick");
    CHECK(on(town, "2017-08-31") == "no_period");
    CHECK(on(town, "2017-09-01") == "one_book nec-2017");
    CHECK(on(town, "2018-02-28") == "one_book nec-2017");
    CHECK(on(town, "2018-03-01") == "one_book nec-2017+tia-17-2");
    CHECK(on(town, "2023-05-31") == "one_book nec-2017+tia-17-2");
    const auto rewired = [](const std::string &share) {
        return R"({"kind_of_work":"rewiring","share_rewired":)" + share + "}";
    };
    CHECK(on(town, "2023-06-01", rewired("0.5")) == "one_book nec-2020");
    CHECK(on(town, "2023-06-01", rewired("0.51")) == "one_book nec-2023");
    CHECK(on(town, "2023-06-01", R"({"kind_of_work":"new_building"})") == "one_book nec-2023");
    CHECK(on(town, "2023-06-01", R"({"kind_of_work":"rewiring"})") ==
          "asks edition-2020 edition-2023: job.share_rewired");
}

TEST_CASE("the job's own date decides, and another day is refused") {
    const Town town = opened("fernmoor-township");
    const std::string job = R"({"permit_date":"2020-05-01"})";
    const report::Answer answer = asked(town, job);
    CHECK(told(answer) == "one_book nec-2017");
    CHECK(answer.periods[0].on == "2020-05-01");
    CHECK(told(asked(town, job, "2020-05-01")) == "one_book nec-2017");
    Diagnostics diagnostics;
    facts::Job facts = trial::job_of(*town.adoption.book, job);
    report::put_date(town.adoption, *date_from_text("2025-01-01"), facts, diagnostics);
    CHECK(trial::codes(diagnostics) == "other-date");
}

TEST_CASE("a choice that is none, and one where nothing is to choose") {
    const Town town = opened("harbor-city");
    for (const char *day : {"2025-08-01", "2024-01-01"}) {
        Diagnostics diagnostics;
        facts::Job job = trial::job_of(*town.adoption.book, "{}");
        report::put_date(town.adoption, *date_from_text(day), job, diagnostics);
        report::answer(town.adoption, town.program, job, "ordinance-25-4", diagnostics);
        CHECK(trial::codes(diagnostics) == "not-to-choose");
    }
}

TEST_CASE("faults of a timeline name both places") {
    const std::string overlap =
        faults("period a\n  book \"nec-2017\"\n  from 2020-01-01\n  until 2023-01-02\n"
               "  by permit_date\nperiod b\n  book \"nec-2020\"\n  from 2023-01-01\n"
               "  by permit_date\n");
    INFO(overlap);
    CHECK(overlap.find("permit_date = 2023-01-01") != std::string::npos);
    CHECK(overlap.find("poolside.rules:2:") != std::string::npos);
    CHECK(overlap.find("poolside.rules:7:") != std::string::npos);
    const std::string hole =
        faults("period a\n  book \"nec-2017\"\n  from 2020-01-01\n  until 2022-12-31\n"
               "  by permit_date\nperiod b\n  book \"nec-2020\"\n  from 2023-01-01\n"
               "  by permit_date\n");
    INFO(hole);
    CHECK(hole.find("permit_date = 2022-12-31") != std::string::npos);
    CHECK(hole.find("poolside.rules:2:") != std::string::npos);
    CHECK(hole.find("poolside.rules:7:") != std::string::npos);
    CHECK(faults("period a\n  book \"nec-2018\"\n  from 2020-01-01\n  by permit_date\n")
              .find("unknown-book") != std::string::npos);
    CHECK(faults("period a\n  book \"nec-2017\"\n  from 2020-01-01\n  by occupancy\n")
              .find("wrong-type") != std::string::npos);
}

TEST_CASE("of several dates none lies before the one in front of it") {
    // Who applied before 2024 stays under the older book, whenever the permit was issued.
    CHECK(faults("period a\n  book \"nec-2017\"\n  from 2020-01-01\n  by permit_date\n"
                 "  where application_date less than 2024-01-01\n"
                 "period b\n  book \"nec-2020\"\n  from 2024-01-01\n  by permit_date\n"
                 "  where application_date at least 2024-01-01\n") == "");
}

TEST_CASE("a place is no book, and a book no place") {
    CHECK(trial::codes(book::open_adoption("nec-2020").diagnostics) == "unknown-place");
    const book::Adoption none = book::open_adoption("nowhere");
    CHECK(trial::codes(none.diagnostics) == "unknown-place");
    CHECK(none.diagnostics.list()[0].help.find("harbor-city") != std::string::npos);
    CHECK(book::open_book("harbor-city").book->adoption);
}

TEST_CASE("answers and timelines as text and as JSON") {
    const Town town = opened("harbor-city");
    const report::Answer choice = asked(town, "{}", "2025-08-01");
    const std::string text = report::to_text(choice);
    CHECK(text.find("the applicant chooses") != std::string::npos);
    CHECK(text.find("by application_date 2025-08-01, from 2025-01-01 to 2025-09-30") !=
          std::string::npos);
    const std::string json = report::to_json(choice);
    CHECK(json.find("\"outcome\": \"choice\"") != std::string::npos);
    CHECK(json.find("\"on\": \"2025-08-01\"") != std::string::npos);
    CHECK(report::timeline_text(town.adoption).find("nec-2020+harbor-city-2025") !=
          std::string::npos);
    CHECK(report::timeline_json(town.adoption).find("\"until\": \"2025-10-01\"") !=
          std::string::npos);
    CHECK(report::to_text(asked(town, "{}", "2010-01-01")).find("begins on 2018-01-01") !=
          std::string::npos);
}

TEST_CASE("text of an answer: each outcome in words, with what decides") {
    const auto text = [](const report::Answer &answer) {
        return trial::in_one_line(report::to_text(answer));
    };
    const Town town = opened("aldermark-county");
    const std::string shop =
        text(asked(town, R"({"occupancy":"other_than_dwelling"})", "2020-01-01"));
    CHECK(trial::tells(shop, "One book applies: nec-2020 period other-2020: "));
    CHECK(!trial::tells(shop, "What decides"));
    CHECK(trial::tells(text(asked(town, R"({"occupancy":"one_family_dwelling"})", "2020-01-01")),
                       "No book here covers this work: handed over to: "));
    const std::string asks = text(asked(town, "{}", "2023-12-31"));
    CHECK(trial::tells(asks, "Not to be told yet. These may apply:"));
    const std::string undated = text(asked(opened("fernmoor-township"), "{}"));
    CHECK(trial::tells(undated, "by permit_date, from 2018-07-01 to 2024-04-18"));
    CHECK(trial::tells(undated, "What decides: job.permit_date: "));
    CHECK(trial::tells(asks, "What decides: job.occupancy: What is the building used as? one of: "
                             "one_family_dwelling, two_family_dwelling, "));
}

TEST_CASE("a period that is in force leaves open only what may overlap with it") {
    // No permit is older than its application, so with a permit of 2023 the newer edition is out.
    const std::string older =
        "period older \"Older\"\n  book \"nec-2017\"\n  from 2020-01-01\n  by permit_date\n"
        "  where permit_date less than 2024-01-01 or application_date less than 2024-01-01\n";
    const std::string newer = "period newer\n  book \"nec-2020\"\n  by application_date\n";
    const auto town = [](const std::string &periods) {
        return opened("poolside",
                      {{"poolside.rules", "adoption poolside\n  title \"Pool\"\n\n" + periods}});
    };
    const auto from = [](std::string period, const std::string &lines) {
        return period.insert(period.find("  by "), lines);
    };
    const std::string permit = R"({"permit_date":"2023-05-01"})";
    const std::string day = "  from 2024-01-01\n";
    CHECK(told(asked(town(older + from(newer, day)), permit)) == "one_book nec-2017");
    CHECK(trial::in_one_line(
              report::to_text(asked(town(older + from(newer, day)), "{}", "2019-12-31")))
              .ends_with("The timeline begins on 2020-01-01. "));
    // Where the applicant may choose from 2023 on, the date of the application decides.
    const std::string choice = "  from 2023-01-01\n";
    for (const bool first : {true, false}) {
        std::string a = older;
        std::string b = from(newer, choice);
        if (first)
            a.insert(a.find("  where "), "  overlaps newer\n");
        else
            b += "  overlaps older\n";
        const Town both = town(a + b);
        CHECK(told(asked(both, permit)) == "asks older newer: job.application_date");
        // Only what is in force can be chosen.
        CHECK(told(asked(both, permit, {}, "older")) == "one_book nec-2017");
        Diagnostics faults;
        report::answer(both.adoption, both.program, trial::job_of(*both.adoption.book, permit),
                       "newer", faults);
        REQUIRE(trial::codes(faults) == "not-to-choose");
        CHECK(faults.list()[0].help == "in force: older");
    }
}

TEST_CASE("of several dates that a job tells, one has to be the day asked for") {
    const Town town = opened(
        "poolside", {{"poolside.rules",
                      "adoption poolside\n  title \"Pool\"\n\n"
                      "period older\n  book \"nec-2017\"\n  from 2020-01-01\n  until 2024-01-01\n"
                      "  by application_date\n  note \"Kept for pools.\"\n\n"
                      "period newer\n  book \"nec-2020\"\n  from 2024-01-01\n  until 2026-01-01\n"
                      "  by permit_date\n  where application_date at least 2024-01-01\n"}});
    Diagnostics faults;
    facts::Job job = trial::job_of(
        *town.adoption.book, R"({"application_date":"2023-02-01","permit_date":"2023-05-01"})");
    report::put_date(town.adoption, *date_from_text("2023-05-01"), job, faults);
    CHECK(trial::codes(faults) == "");
    report::put_date(town.adoption, *date_from_text("2023-05-02"), job, faults);
    REQUIRE(trial::codes(faults) == "other-date");
    CHECK(faults.list()[0].message == "the job tells application_date 2023-02-01, permit_date "
                                      "2023-05-01, and the day asked for is 2023-05-02");
    const std::string timeline = trial::in_one_line(report::timeline_text(town.adoption));
    CHECK(trial::tells(timeline,
                       "older nec-2017 by application_date, from 2020-01-01 to 2023-12-31 "
                       "Kept for pools. newer nec-2020"));
    CHECK(trial::tells(trial::in_one_line(report::to_text(asked(town, "{}", "2026-01-01"))),
                       "begins on 2020-01-01 and its last day is 2025-12-31."));
    CHECK(trial::tells(trial::in_one_line(report::to_text(asked(town, "{}", "2020-01-01"))),
                       "nec-2017 period older by application_date 2020-01-01"));
}

TEST_CASE("two missing facts are both asked for, each once") {
    const Town town =
        opened("poolside",
               {{"poolside.rules",
                 "adoption poolside\n  title \"Pool\"\n\n"
                 "period small\n  book \"nec-2017\"\n  from 2020-01-01\n  by permit_date\n"
                 "  where occupancy is one_family_dwelling and kind_of_work is repair\n\n"
                 "period other\n  book \"nec-2020\"\n  from 2020-01-01\n  by permit_date\n"
                 "  where occupancy is not one_family_dwelling or kind_of_work is not repair\n"}});
    CHECK(on(town, "2021-01-01") == "asks small other: job.occupancy job.kind_of_work");
}

TEST_CASE("a job that contradicts itself gets no answer") {
    const Town town = opened("fernmoor-township");
    Diagnostics faults;
    const facts::Job job =
        trial::job_of(*town.adoption.book,
                      R"({"permit_date":"2020-05-01","panels":[{"circuits":[{"receptacles":[)"
                      R"({"configuration":"14-50R","poles":2}]}]}]})");
    const report::Answer answer = report::answer(town.adoption, town.program, job, {}, faults);
    CHECK(trial::codes(faults) == "contradiction");
    CHECK(answer.periods.empty());
}
