// The host's stream of batches, taken in slices of bounded length: memory and the time between two
// looks at the host's wishes don't grow with its batches.
#pragma once

#include "groundrule/arrow_abi.h"

#include <cstddef>
#include <string>

namespace groundrule::columns {

// Owns a stream that it was given, and the batch at hand.
class RowStream {
  public:
    explicit RowStream(ArrowArrayStream &moved);
    RowStream(const RowStream &) = delete;
    RowStream &operator=(const RowStream &) = delete;
    ~RowStream();

    // Undoes the constructor, as long as no rows were taken.
    void give_back(ArrowArrayStream &to);

    // As the host's functions: 0, or an errno value with fault() set.
    int schema(ArrowSchema &out);

    // The next rows, at most so many: a view that is good until the next call. Null and 0 at the
    // end.
    int next(std::size_t most, const ArrowArray *&out);

    const std::string &fault() const { return fault_; }

  private:
    int failed(int status);

    ArrowArrayStream stream_;
    ArrowArray batch_ = {};
    ArrowArray slice_ = {};
    std::int64_t done_ = 0; // rows of the batch
    bool ended_ = false;
    std::string fault_;
};

// All that a schema says of the shape of its arrays: equal texts, equal shapes.
std::string shape_of(const ArrowSchema &schema);

} // namespace groundrule::columns
