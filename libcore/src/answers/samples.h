// Values to try for facts that nobody tells: of choices all, of quantities those that stand in the
// book, what lies between two of them, and what is less and more than all of them.
#pragma once

#include "book/model.h"
#include "facts/job.h"

#include <map>
#include <string>
#include <vector>

namespace groundrule::answers {

class Samples {
  public:
    explicit Samples(const book::Book &book);

    // Ascending; at most `most` of them, spread out.
    std::vector<double> of(const book::Type &type, std::size_t most) const;
    // The same, and what the job tells of that type: an equation may hold with that alone.
    std::vector<double> with_told(const book::Type &type, std::size_t most,
                                  const facts::Job &job) const;

  private:
    using Pools = std::map<std::string, std::vector<double>>;
    void collect(const book::Type &type, double value);

    const book::Book &book_;
    Pools pools_; // by the name of the type
};

} // namespace groundrule::answers
