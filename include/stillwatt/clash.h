/// AC appliances that are too much, alone or two at once, by their full power.
#ifndef STILLWATT_CLASH_H
#define STILLWATT_CLASH_H

#include "stillwatt/rehearsal.h"

typedef struct sw_clash {
    int load, other;              ///< `other` -1: one alone
    double power_w;               ///< of both, at full power
    int inverter, inlet, battery; ///< 1: more than it gives; inlet: than the trip's weakest hookup lets
                                  ///< through it; battery: at once, when it is full
} sw_clash;

#define SW_CLASHES_MAX 64

typedef struct sw_clashes {
    double hookup_va; ///< of the trip's weakest hookup, or of the inlet
    int count;
    sw_clash clash[SW_CLASHES_MAX];
} sw_clashes;

/// A pair is one for what neither of the two is too much for alone. What never meets (at a hookup and off
/// grid, parked and driving, by dark and by light) is none; of what is measured by the day nobody knows the
/// power.
void sw_find_clashes(const sw_rehearsal *of, sw_clashes *out);

#endif
