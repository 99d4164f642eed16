// What each assumption weighs: the march again with each moved to both ends of its plausible range.
#ifndef SW_STUDY_REHEARSAL_WEIGHTS_H
#define SW_STUDY_REHEARSAL_WEIGHTS_H

#include "files/arena.h"
#include "stillwatt/rehearsal.h"

/// Weighs what can be weighed, heaviest first. The outcome of the trip itself must stand.
/// @return SW_OK or SW_NO_MEMORY
sw_status sw_weigh_assumptions(sw_rehearsal *r, sw_arena *arena);

#endif
