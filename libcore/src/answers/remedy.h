// What would make a job pass: the least changes over the facts that the book's words let change.
//
// What is promised of a remedy, over the rules that count (of the stage asked for):
//   - with its changes, and what is carried along with them, nothing violates;
//   - what violated before complies or does not apply;
//   - whatever was decided before and is open now is named beside it (and with `settled` nothing
//     that complied before is open now).
// What was open before may stay open. No part of a remedy is a remedy by itself; and none is told
// beside one that changes the same facts in the same directions, none of them further, and opens
// nothing else.
//
// They are ranked by how many findings they open, and among equals by cost: first what rests on
// nothing unknown.
#pragma once

#include "answers/trial.h"
#include "report/finding.h"
#include "text/progress.h"

#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace groundrule::answers {

// A fact and the value that it would have, with all that goes along.
struct Change {
    std::size_t remedy = 0; // of the book
    Place at;
    Cell before; // what it is now; unknown: nobody tells it
    double value = 0;
    std::int32_t steps = 0; // how far in the order of values from what it is now
    std::vector<Setting> settings;
};

struct Cost {
    double change = 1;  // of changing a fact at all
    double step = 0.01; // and for each step in the order of its values
};

struct RemedyOptions {
    std::size_t most_changes = 3;        // that one remedy makes
    std::size_t most_tries = 20000;      // jobs that are checked
    std::size_t most_told = 10;          // remedies; 0: all
    bool settled = false;                // none that leaves open what complied before
    std::map<std::uint32_t, Cost> costs; // by slot; others cost as Cost says
    std::vector<Place> open;             // to be sized: facts to choose, and no others
    GoOn go_on{};                        // told of tries
};

struct Remedy {
    std::vector<std::size_t> changes; // of Remedies::offered, ascending
    double cost = 0;
    std::vector<std::size_t> opens; // verdicts that were decided before and are open now
    // Of remedies that are told: for each of `opens` the facts that it waits for.
    std::vector<std::vector<report::Missing>> missing;
};

struct Remedies {
    bool sizing = false; // these are choices for facts that are open
    std::vector<Change> offered;
    std::vector<std::size_t> violated; // verdicts, before
    std::vector<Remedy> remedies;      // ranked
    std::size_t found = 0;             // before most_told
    std::size_t tried = 0;
    bool exhausted = true;             // all sets of up to most_changes were tried or ruled out
    bool ended = false;                // by go_on: nothing else of this is good
    std::vector<std::size_t> blocking; // sizing: what applies and stays open whatever is chosen
};

// Every change that the book offers for the job: of facts that it tells, or of `open` alone.
std::vector<Change> offered(const Subject &subject, const std::vector<Place> &open);

Remedies remedies(const Subject &subject, const RemedyOptions &options);

// The job with the changes of a remedy made.
facts::Job remedied(const Subject &subject, const Remedies &remedies, const Remedy &remedy);

std::string remedies_text(const Subject &subject, const Remedies &remedies);
std::string remedies_json(const Subject &subject, const Remedies &remedies);

} // namespace groundrule::answers
