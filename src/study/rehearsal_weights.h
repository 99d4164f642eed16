// What each assumption weighs: the march again with each moved to both ends of its plausible range.
#ifndef SW_STUDY_REHEARSAL_WEIGHTS_H
#define SW_STUDY_REHEARSAL_WEIGHTS_H

#include "files/arena.h"
#include "stillwatt/rehearsal.h"

/// Two ends an assumption, marched in lanes: beside the trip itself, as many as there is room for, then eight
/// at once.
typedef struct weighing {
    sw_rehearsal *r;
    int ends, next;   // of all assumptions; the first that is not in a lane yet
    int end[SW_TILE]; // in each lane, -1: none
    double step_h;
    sw_column lowest_soc, unserved_wh; // of the march that is running
} weighing;

/// Lists what can be weighed. @return SW_OK or SW_NO_MEMORY
sw_status sw_weighing_open(sw_rehearsal *r, sw_arena *arena, weighing *w);

/// Puts ends into the lanes from `first` on; lanes without one march the trip itself.
void sw_weighing_fill(weighing *w, int first, sw_tile_plan *plan, sw_tile_state *state);

/// To be called for each step, and after the march.
void sw_weighing_take(weighing *w, const sw_tile_flow *flow);
void sw_weighing_note(weighing *w);

/// Marches what is left, and sorts: heaviest first. The outcome of the trip itself must stand.
void sw_weighing_finish(weighing *w);

#endif
