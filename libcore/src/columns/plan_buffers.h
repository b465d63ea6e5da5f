// What becomes of a plan's steps and buffers once all of them are there.
#pragma once

#include "columns/plan.h"

namespace groundrule::columns {

// Steps whose result nobody reads, left over from what was folded away.
void drop_dead_steps(Plan &plan);

// Buffers are shared by steps that don't live at the same time. What rows lack is counted when all
// steps are done.
void share_buffers(Plan &plan);

} // namespace groundrule::columns
