// Which of the values that nobody gave matter for this trip: each is moved to the ends of its plausible
// range.
#ifndef SW_STUDY_REHEARSAL_WEIGHTS_H
#define SW_STUDY_REHEARSAL_WEIGHTS_H

#include "files/arena.h"
#include "stillwatt/rehearsal.h"

/// Marches the trip again with each assumption at both ends, SW_TILE lanes at a time, and sorts by effect.
/// Assumptions about place and sky (turbidity, albedo, idling) would need another forcing and are left out.
/// @return SW_OK or SW_NO_MEMORY
sw_status sw_weigh_assumptions(sw_rehearsal *r, sw_arena *arena);

#endif
