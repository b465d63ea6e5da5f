// Values next to one that is written: what a slip of one step would have made of it.
#pragma once

#include "book/model.h"

#include <string>
#include <string_view>
#include <vector>

namespace groundrule::mutate {

struct Neighbour {
    const char *kind; // "figure", or "unit"
    std::string text;
    double value;
};

// Of a figure its last written digit one up and one down, and another unit where one is easily
// taken for it; of a size the next ones that are made; of a date the days beside it; of a choice
// the one declared next; of yes, no. None of them equals the value on its grid.
std::vector<Neighbour> neighbours(const book::Book &book, const book::Type &type, double value,
                                  std::string_view written);

} // namespace groundrule::mutate
