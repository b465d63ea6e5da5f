// The numbers that fields take, made ready for a host that sets many: a quantity in its base unit,
// or the code of a choice, a size or a yes_no.
#pragma once

#include "book/model.h"
#include "quantity/dimension.h"

#include <span>
#include <vector>

namespace groundrule::facts {

// How many codes a field has; none unless it is a choice, a conductor size or a yes_no.
std::size_t code_count(const book::Book &book, const book::Field &field);

struct Admission {
    double scale = 1; // of the grid
    double least = 0;
    double most = -1;   // by default nothing
    bool coded = false; // whole as given, not moved to a whole number
};

// Whether a number can be a value of the field; `value` is the one on the grid. Nothing jumps on
// what the number is.
inline bool admits(const Admission &a, double given, double &value) {
    value = snapped(given, a.scale) + 0.0;
    const bool fits = fits_grid(given, a.scale) & (given >= a.least) & (given <= a.most);
    return fits & (!a.coded | (value == given));
}

class Admissions {
  public:
    explicit Admissions(const book::Book &book);

    // By item and field; empty if there is no such item.
    std::span<const Admission> of(std::size_t item) const {
        return item + 1 < first_.size()
                   ? std::span(all_).subspan(first_[item], first_[item + 1] - first_[item])
                   : std::span<const Admission>();
    }

  private:
    std::vector<Admission> all_;
    std::vector<std::size_t> first_; // of each item; then the number of all
};

} // namespace groundrule::facts
