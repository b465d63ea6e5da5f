// The other direction: how far one fact may go. Every point of a grid is checked, so nothing is
// presumed of how the verdicts run between its ends.
#pragma once

#include "answers/trial.h"
#include "report/finding.h"
#include "text/progress.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace groundrule::answers {

struct Grid {
    double from = 0; // base unit of the fact's dimension
    double to = 0;
    double step = 1;
};

inline constexpr std::size_t most_points = 100000;

// Points of the grid between which no point is unlawful.
struct Lawful {
    double from = 0;
    double to = 0;
};

// A point is lawful if, of the rules that count and depend on the fact, none violates there and
// none that is known to apply is open.
struct Largest {
    Place at;
    Grid grid;
    std::size_t points = 0;
    std::vector<Lawful> lawful; // ascending; empty: no point is
    // At the first point beyond the last lawful one (or at the grid's beginning, if there is none):
    std::vector<std::size_t> violated; // verdicts
    std::vector<std::size_t> open;
    bool to_the_end = false; // the last point is lawful: the grid ends, not the law
};

// How many points; 0 if the grid has none or more than most_points.
std::size_t points_of(const Grid &grid);

// Nothing if go_on, which is told of points, ends it.
std::optional<Largest> largest(const Subject &subject, const Place &at, const Grid &grid,
                               const GoOn &go_on = {});

std::string largest_text(const Subject &subject, const Largest &largest);
std::string largest_json(const Subject &subject, const Largest &largest);

} // namespace groundrule::answers
