// Comparisons of the shipped books against what is published about the changes of the editions. The
// source of each expectation stands beside it; the books were encoded from other readings.

#include "trial.h"

#include "book/compare.h"

#include "catch.h"

#include <map>

namespace {

using namespace groundrule;
using book::Aspect;
using book::Change;
using book::Effect;
using book::RuleChange;
using book::RuleKind;

const book::Book &opened(const std::string &name) {
    static std::map<std::string, book::Opened> books;
    book::Opened &there = books[name];
    if (!there.book)
        there = book::open_book(name);
    INFO(trial::faults(there));
    REQUIRE(there.book);
    return *there.book;
}

const book::Comparison &between(const std::string &before, const std::string &after) {
    static std::map<std::string, book::Comparison> known;
    const auto [place, fresh] = known.try_emplace(before + " " + after);
    if (fresh)
        place->second = book::compare(opened(before), opened(after));
    return place->second;
}

const RuleChange &rule(const book::Comparison &c, const std::string &topic) {
    for (const RuleChange &r : c.rules) {
        if (r.topic == topic)
            return r;
    }
    FAIL("no change of " << topic);
    return c.rules.front();
}

bool has(const std::vector<Change> &changes, Aspect aspect, const std::string &from,
         const std::string &to) {
    for (const Change &c : changes) {
        if (c.aspect == aspect && c.from.find(from) != std::string::npos &&
            c.to.find(to) != std::string::npos && c.from.empty() == from.empty() &&
            c.to.empty() == to.empty())
            return true;
    }
    return false;
}

const book::SharedChange &shared(const book::Comparison &c, const std::string &key) {
    for (const book::SharedChange &s : c.shared) {
        if (s.key == key)
            return s;
    }
    FAIL("no change of " << key);
    return c.shared.front();
}

} // namespace

// https://ecmweb.com/national-electrical-code/article/21129151/recent-rule-changes-for-gfci-protection
// https://iaeimagazine.org/issue/2021-september-october/gfci-protection-at-air-conditioning-units
TEST_CASE(
    "2017 to 2020: GFCI at dwellings reaches 250 V without a bound of amperes, all basements, "
    "and indoor damp places, outdoor outlets come in") {
    const book::Comparison &c = between("nec-2017", "nec-2020");
    const RuleChange &dwelling = rule(c, "dwelling_receptacle_gfci");
    CHECK(dwelling.kind == RuleKind::changed);
    CHECK(has(dwelling.changes, Aspect::limit, "", "250 V"));
    CHECK(has(dwelling.changes, Aspect::condition, "rated_current = 15 A or rated_current = 20 A",
              ""));
    CHECK(has(dwelling.changes, Aspect::listed, "nfinished", "Basements"));
    CHECK(has(dwelling.changes, Aspect::listed, "", "ndoor damp and wet"));
    for (const Change &change : dwelling.changes) {
        if (change.aspect == Aspect::listed)
            CHECK(change.effect != Effect::laxer);
    }
    CHECK(rule(c, "outdoor_equipment_gfci").kind == RuleKind::added);
    CHECK(rule(c, "outdoor_receptacle_gfci").effect == Effect::stricter);
}

// Count of the places: 10 in 2017, 12 in 2020, 15 in 2023.
// https://www.electricalcodeacademy.net/post/expanding-gfci-coverage-210-8-b
// https://expertce.com/courses/electricians-guide-for-nec-2023/lessons/what-are-the-2023-nec-gfci-requirements-for-non-dwelling-locations
TEST_CASE(
    "the places of 210.8(B): as many are told as new, less those gone, as the count grows by") {
    const auto grows_by = [](const std::string &before, const std::string &after) {
        int count = 0;
        for (const Change &change : rule(between(before, after), "other_receptacle_gfci").changes) {
            if (change.aspect == Aspect::listed)
                count += (change.from.empty() ? 1 : 0) - (change.to.empty() ? 1 : 0);
        }
        return count;
    };
    CHECK(grows_by("nec-2017", "nec-2020") == 12 - 10);
    CHECK(grows_by("nec-2020", "nec-2023") == 15 - 12);
}

// Charging receptacles: https://neca-neis.org (code question of the day, 13 June 2018) for 2017 and
// its amendment. Supports: http://www.mikeholt.com/newsletters.php?action=display&letterID=2363
// Equipment grounding conductors:
// https://www.thebuildingcodeforum.com/forum/threads/electrical-circuit-upsizing-the-wire-size-for-conductors-but-reduce-the-ecg-per-the-nec-250-122-b-exception.36448/latest
// Table number:
// https://iaeimagazine.org/magazine/columns/focus-on-the-code/whats-happening-to-table-310-15b7/
TEST_CASE(
    "2017 to 2020: charging receptacles, supports, grounding conductors, the table's number") {
    const book::Comparison &c = between("nec-2017", "nec-2020");
    CHECK(rule(c, "charging_receptacle_gfci").kind == RuleKind::added);
    const RuleChange &supports = rule(c, "nm_cable_supports");
    CHECK(supports.effect == Effect::stricter);
    CHECK(has(supports.changes, Aspect::limit, "", "18 in"));
    CHECK(has(rule(c, "ground_size_in_proportion").changes, Aspect::exception, "",
              "qualified person"));
    const book::SharedChange &table = shared(c, "table 310.16");
    CHECK(table.before == "Table 310.15(B)(16)");
    CHECK(table.after == "Table 310.16");
    CHECK(table.changes.empty());                           // its small sizes are the same in both
    CHECK(rule(c, "box_volume").kind == RuleKind::through); // grounds count by fourths from 2020 on
}

// https://eaton.com/us/en-us/markets/residential/nec-2023-updates/dwelling-requirements.html
// https://www.ecmag.com/section/codes-standards/examining-adjustments-chapter-2-accepting-nec-change-part-6
TEST_CASE("2020 to 2023: all of a kitchen, and the places behind it move on by one") {
    const RuleChange &r = rule(between("nec-2020", "nec-2023"), "dwelling_receptacle_gfci");
    CHECK(has(r.changes, Aspect::listed, "location is kitchen and serves is countertop",
              "Kitchens: location is kitchen"));
    bool sinks = false;
    for (const Change &change : r.changes)
        sinks = sinks || change.name == "(7), now (8)";
    CHECK(sinks);
}

// 10 A:
// https://expertce.com/courses/electricians-guide-for-nec-2023/lessons/how-does-the-2023-nec-change-standard-circuit-breaker-amp-ratings
// 210.23: …/how-are-10-amp-branch-circuits-permitted-in-the-2023-nec; terminal blocks:
// …/how-to-calculate-junction-box-size-with-terminal-blocks-nec-2023; 625.40:
// …/how-does-the-2023-nec-simplify-electric-vehicle-ev-branch-circuit-requirements
// Replaced equipment:
// http://www.digitrip.com/us/en-us/markets/residential/nec-2023-updates/gfci-210-8f-outdoor-outlets.html
TEST_CASE("2020 to 2023: 10 A, new numbers, terminal blocks, small charging units, replacements") {
    const book::Comparison &c = between("nec-2020", "nec-2023");
    const book::SharedChange &ratings = shared(c, "list 240.6(A)");
    REQUIRE(ratings.changes.size() == 1);
    CHECK(ratings.changes[0].to == "10 A");
    const RuleChange &portable = rule(c, "portable_load_share");
    CHECK(portable.kind == RuleKind::renumbered);
    CHECK(portable.before->citation == "210.23(A)(1)");
    CHECK(portable.after->citation == "210.23(B)(1)");
    CHECK(rule(c, "dwelling_afci").before->citation == "210.12(A)");
    CHECK(rule(c, "dwelling_afci").after->citation == "210.12(B)");
    CHECK(rule(c, "box_volume").effect == Effect::stricter);
    CHECK(rule(c, "charging_equipment_circuit").effect == Effect::laxer);
    CHECK(has(rule(c, "outdoor_equipment_gfci").changes, Aspect::work, "new, altered",
              "new, altered, replaced"));
}

// The amendment's three sections:
// https://www.ecmweb.com/nec/limited-time-comment-tia-related-ev-charging-systems
TEST_CASE("the interim amendment 17-2: 625.44(A) longer, 625.54 and 625.56 new, nothing else") {
    const book::Comparison &c = between("nec-2017", "nec-2017+tia-17-2");
    std::vector<std::string> told;
    for (const RuleChange &r : c.rules) {
        told.push_back(std::string(book::rule_kind_name(r.kind)) + " " + r.after->citation);
        CHECK(r.effect == (r.kind == RuleKind::added ? Effect::stricter : Effect::laxer));
        CHECK(opened("nec-2017+tia-17-2").layers[static_cast<std::size_t>(r.after->layer)].name ==
              "tia-17-2");
    }
    CHECK(told == std::vector<std::string>{"changed 625.44(A)", "added 625.54", "added 625.56"});
    CHECK(c.shared.empty());
}

// The ordinance itself (invented).
TEST_CASE("the ordinance of Harbor City: five places, each in its direction") {
    const book::Comparison &c = between("nec-2020", "nec-2020+harbor-city-2025");
    CHECK(c.rules.size() == 5);
    CHECK(rule(c, "nm_cable_supports").effect == Effect::stricter);
    CHECK(rule(c, "outdoor_equipment_gfci").effect == Effect::laxer);
    CHECK(rule(c, "other_receptacle_gfci").effect == Effect::stricter);
    CHECK(rule(c, "dwelling_receptacle_gfci").effect == Effect::laxer);
    CHECK(rule(c, "harbor_charging_receptacle_height").kind == RuleKind::added);
    CHECK(c.shared.empty());
}

// The rules that read ampacity, found by reading the rule files.
TEST_CASE(
    "one cell of the ampacity table, changed by a layer, lists its dependants and no others") {
    const std::vector<book::NamedText> layer = {
        {"cell.rules", "amendment cell to nec-2023\n  title \"One cell\"\n\n"
                       "change table 310.16 [8 AWG, copper, 60 °C] from 40 A to 35 A\n"}};
    const book::Opened changed = book::open_book("nec-2023+cell", layer);
    REQUIRE(changed.book);
    const book::Comparison c = book::compare(opened("nec-2023"), *changed.book);
    REQUIRE(c.shared.size() == 1);
    for (const RuleChange &r : c.rules) {
        CHECK(r.kind == RuleKind::through);
        CHECK(r.through == std::vector<std::string>{"Table 310.16"});
        CHECK(r.effect != Effect::laxer);
    }
    const std::vector<std::string> &dependants = c.shared[0].dependants;
    CHECK(dependants.size() == c.rules.size());
    for (const char *topic :
         {"termination_temperature", "conductor_protection", "ground_size_in_proportion"})
        CHECK(std::find(dependants.begin(), dependants.end(), topic) != dependants.end());
    for (const char *topic : {"dwelling_receptacle_gfci", "box_volume", "nm_cable_supports"})
        CHECK(std::find(dependants.begin(), dependants.end(), topic) == dependants.end());
}
