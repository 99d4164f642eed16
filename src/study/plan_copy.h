// A plan that may be changed: a copy of what a change could touch, the rest shared with the original.
#ifndef SW_STUDY_PLAN_COPY_H
#define SW_STUDY_PLAN_COPY_H

#include "files/arena.h"
#include "stillwatt/plan.h"

/// Van, arrays, loads and the single parts, trip and legs are copied; texts, places, windows and weather are
/// the original's, which must outlive the copy. It has no assumptions, and room for some more legs.
/// @return NULL without memory; released with the arena
sw_plan *sw_plan_copy(const sw_plan *plan, sw_arena *arena);

/// Cuts a stay in time: the part from `from_local_s` to `to_local_s` (clock of its place) becomes a leg of
/// its own.
/// @param start_local_s of the leg on the same clock
/// @return its index, -1 if the part does not lie within the leg or there is no room
int sw_plan_cut(sw_plan *copy, int leg, int64_t start_local_s, int64_t from_local_s, int64_t to_local_s);

#endif
