// The host's arrays, seen through a layout: where each fact's rows lie, and where each list's.
// Nothing is copied; the arrays must stay as they are while the view is used.
#pragma once

#include "columns/layout.h"
#include "facts/value_reader.h"
#include "quantity/cell.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace groundrule::columns {

// Bits that say which rows tell something; row r is bit `first + r`.
struct Validity {
    const std::uint8_t *bits = nullptr;
    std::size_t first = 0;
    bool at(std::size_t row) const {
        return (bits[(first + row) / 8] >> ((first + row) % 8) & 1) != 0;
    }
};

struct Column {
    const Source *source = nullptr;
    const ArrowArray *array = nullptr;
    std::size_t first = 0;          // row 0 of the tier is row `first` of the array's buffers
    std::vector<Validity> validity; // all must hold
    bool told(std::size_t row) const {
        for (const Validity &v : validity) {
            if (!v.at(row))
                return false;
        }
        return true;
    }
};

// The rows of a tier by the rows of the tier above.
struct Lists {
    const std::int32_t *offsets = nullptr; // from its first row on
    const std::int64_t *large = nullptr;   // or these
    std::vector<Validity> validity;
    std::size_t begin(std::size_t row) const { return at(row); }
    std::size_t end(std::size_t row) const { return at(row + 1); }

  private:
    std::size_t at(std::size_t i) const {
        return static_cast<std::size_t>(large != nullptr ? large[i] : offsets[i]);
    }
};

struct Table {
    std::size_t rows = 0;
    std::vector<Column> columns; // of each source
    std::vector<Lists> lists;    // of each tier; of tier 0 nothing
};

// Nothing if the arrays don't have the shape of the schema.
std::optional<Table> table_of(const Layout &layout, const ArrowArray &array, std::string &fault);

bool is_text(Storage storage);
std::string_view text_in(const ArrowArray &array, Storage storage, std::size_t row);
std::int64_t index_in(const ArrowArray &array, Storage storage, std::size_t row);

// One fact of one row, as the host tells it. Unknown if the row tells nothing; unknown with a fault
// if what it tells can't be.
Cell fact_in(const book::Book &book, const Column &column, std::size_t row,
             facts::FactFault &fault);

// A text of the column (or of its dictionary) as a value of its field.
std::optional<double> value_of_text(const book::Book &book, const Source &source,
                                    std::string_view text, facts::FactFault &fault);

} // namespace groundrule::columns
