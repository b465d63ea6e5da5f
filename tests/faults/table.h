// Small Arrow tables that lie in static memory.
#pragma once

#include <groundrule/groundrule.h>

#include <cstdint>

struct Table {
    ArrowSchema schema = {};
    ArrowArray rows = {};
};

// A row is a circuit, of which a small book and a shipped one both know the breaker.
Table table_of_circuits();
// So many that an audit's threads all get some.
Table table_of_many_circuits();
