// Which column tells which fact, and which items a row of the table stands for. Made once from the
// schema, before the first row: a name, type or unit that does not fit is an error here.
#pragma once

#include "book/model.h"
#include "groundrule/arrow_abi.h"
#include "text/diagnostics.h"

#include <optional>
#include <string>
#include <vector>

namespace groundrule::columns {

// What the host says of one column. Names of nested columns are joined by points.
struct Mapping {
    std::string column;
    std::string fact; // "circuit.breaker"
    std::string unit; // "A"; empty where the fact has none
};

struct LayoutOptions {
    std::string item = "circuit"; // what a row of the table is
    std::vector<Mapping> columns;
    std::vector<std::string> complete; // lists that the table holds whole: "circuit.receptacles"
    bool ignore_unknown = false;       // leave out columns that name no fact
};

enum class Storage : std::uint8_t {
    null,
    boolean,
    int8,
    uint8,
    int16,
    uint16,
    int32,
    uint32,
    int64,
    uint64,
    float32,
    float64,
    text32, // text with 32-bit offsets
    text64,
    text_view,
};

// A column that tells a fact.
struct Source {
    std::string column;
    std::vector<std::size_t> path; // children to follow from its tier's struct
    Storage storage = Storage::null;
    std::optional<Storage> index; // of a dictionary's indices; `storage` is then its values'
    std::uint16_t item = 0;
    std::uint16_t field = 0;
    std::uint16_t tier = 0;
    double factor = 1; // to the base unit: value × factor + offset
    double offset = 0;
};

// Rows that stand one to one: those of the table, and those of each list column.
struct Tier {
    std::int32_t parent = -1;
    std::string column;
    std::vector<std::size_t> path; // to the list, from the parent tier's struct
    bool large = false;            // 64-bit offsets
    bool whole = false;            // the host says that the lists are complete
};

struct Layout {
    std::uint16_t item = 0; // of the table's rows
    std::vector<Tier> tiers;
    std::vector<std::int32_t> tier_of; // of each item type; -1: no rows
    std::vector<Source> sources;
    std::vector<std::int32_t> source_of;      // of each slot; -1: no column
    std::vector<std::uint8_t> whole_children; // of each item type: its list is said to be complete
};

// Nothing if there are faults.
std::optional<Layout> layout_of(const book::Book &book, const ArrowSchema &schema,
                                const LayoutOptions &options, Diagnostics &diagnostics);

} // namespace groundrule::columns
